"""Reading a signed program: what is refused, what is asked once, and what was erased by law."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients.append_only import drop_triggers
from patients.models.patient import Audit
from programs.actions.as_signed import (
    NotAsSigned,
    document_of,
    erased,
    look_at,
    program_of,
    why_not_as_signed,
)
from programs.actions.record_check import look_over
from programs.models.program import Plan, SignedPlan
from programs.models.seal import SignedErasure, SignedSeal
from tests.programs import reviews, rows
from tests.programs.rows import AT

pytestmark = pytest.mark.database


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


def again(row: SignedPlan) -> SignedPlan:
    return SignedPlan.objects.select_related("plan").get(pk=row.pk)


def test_several_are_looked_at_in_few_queries(
    signed: SignedPlan, clinician: User, django_assert_num_queries: object
) -> None:
    other = reviews.signed(clinician)
    both = [again(signed), again(other)]
    with django_assert_num_queries(2):  # type: ignore[operator]
        look_at(both)
        assert [why_not_as_signed(row) for row in both] == ["", ""]
        assert program_of(both[0]).version == document_of(both[0])["version"]


def test_it_is_asked_anew_once_the_row_in_memory_is_another(signed: SignedPlan) -> None:
    row = again(signed)
    assert why_not_as_signed(row) == ""
    row.signed_name = "Somebody Else"
    assert "stands beside another text" in why_not_as_signed(row)


def test_a_text_that_holds_no_whole_program_is_told(clinician: User) -> None:
    least = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    assert why_not_as_signed(least) == ""
    with pytest.raises(NotAsSigned, match="cannot be read"):
        program_of(least)


def test_lines_that_are_gone_or_of_another_are_told(signed: SignedPlan) -> None:
    drop_triggers(connection.schema_editor(), ("patients_audit",))
    drafting = Audit.objects.get(action="draft plan", object_id=str(signed.plan_id))
    rows.rewrite(drafting, reason="another")
    assert "of its drafting, is not as it was written" in why_not_as_signed(again(signed))
    Audit.objects.filter(pk=drafting.pk).delete()
    assert "No line of the record tells of its drafting" in why_not_as_signed(again(signed))
    signing = Audit.objects.get(action="sign plan", object_id=str(signed.pk))
    rows.rewrite(signing, reason="another")
    assert f"Line {signing.seq} of the record, which tells" in why_not_as_signed(again(signed))
    Audit.objects.filter(pk=signing.pk).delete()
    assert "No line of the record tells of its signing" in why_not_as_signed(again(signed))


def test_a_salt_that_is_none_is_told(signed: SignedPlan) -> None:
    rows.rewrite(SignedSeal.objects.get(signed=signed), salt="no number")
    assert "not what its keyed seal was made for" in why_not_as_signed(again(signed))


def test_a_plan_that_is_gone_is_told(signed: SignedPlan) -> None:
    row = SignedPlan.objects.get(pk=signed.pk)
    row.__dict__["plan_id"] = signed.plan_id
    drop_triggers(connection.schema_editor(), ("programs_plan", "programs_planedit"))
    with connection.constraint_checks_disabled():
        Plan.objects.filter(pk=signed.plan_id)._raw_delete("default")
        assert "Its plan is gone" in why_not_as_signed(row)
        assert look_over().broken != ()
        signed.plan.save(force_insert=True)


def erase(row: SignedPlan, by: User) -> SignedErasure:
    """Take the content and the salt away, as a lawful erasure would."""
    made = SignedErasure.objects.create(signed=row, why="She asked for it, Art. 17", by=by, at=AT)
    rows.on_record(made, "erase content", by=by)
    rows.rewrite(row, body="")
    rows.rewrite(SignedSeal.objects.get(signed=row), salt="")
    return made


def test_an_erased_content_leaves_both_chains_whole(signed: SignedPlan, clinician: User) -> None:
    reviews.signed(clinician)
    erase(signed, clinician)
    row = again(signed)
    assert why_not_as_signed(row) == (
        "Its content was erased on 2 Mar 2026 by Marta Ferro: She asked for it, Art. 17."
    )
    assert erased(row)
    assert look_over().broken == ()
    with pytest.raises(NotAsSigned, match=r"erased on 2 Mar 2026 by Marta Ferro: She asked"):
        program_of(row)


def test_an_erasure_that_nobody_recorded_is_none(signed: SignedPlan, clinician: User) -> None:
    SignedErasure.objects.create(signed=signed, why="forged", by=clinician, at=AT)
    rows.rewrite(signed, body="")
    row = again(signed)
    assert "no line of the record tells of its erasure" in why_not_as_signed(row)
    assert not erased(row)
    assert look_over().broken != ()


def test_of_an_erased_one_the_signer_is_still_sealed(signed: SignedPlan, clinician: User) -> None:
    erase(signed, clinician)
    rows.rewrite(signed, version=5)
    assert "Its keyed seal does not hold" in why_not_as_signed(again(signed))
