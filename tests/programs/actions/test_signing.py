"""Signing: once, by somebody with a name, what was seen and nothing else."""

import datetime as dt
import json
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients.actions.joining import join_records
from patients.audit import verify_chain
from patients.joining import HERE, Pair
from patients.models.patient import Audit
from patients.staff.rights import Role
from programs.actions.drafting import draft_plan
from programs.actions.editing import edit_plan
from programs.actions.refusals import ChangedMeanwhile, NotDone, NotOpen, Stale
from programs.actions.signing import (
    MEANING,
    as_signed,
    chain_break,
    sign_plan,
    why_not,
)
from programs.models.program import Plan, SignedPlan
from programs.signed.snapshot import FIRST_DIGEST, read, verify, wrong_with
from tests.people import steady_document
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.rows import AT, DAY
from tests.staff import person_of

pytestmark = pytest.mark.database

CLINIC = {"name": "Example bone clinic", "phone": "01 000 000", "address": "1 Example Street"}


def drafted(by: User, document: dict[str, Any] | None = None) -> Plan:
    """Return an open draft of somebody on record."""
    patient = rows.recorded(by, document)
    return draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=by, at=AT)


def sign(plan: Plan, by: User, **more: Any) -> SignedPlan:
    """Sign a plan on its day, with numbers to call on record."""
    rows.reached(by)
    held = {"lock": plan.lock, "at": AT, "today": DAY, "starts_on": DAY, "clinic": CLINIC}
    return sign_plan(plan=plan, by=by, **held | more)


def test_nothing_is_signed_while_a_joined_record_waits_to_be_looked_through(
    plan: Plan, clinician: User
) -> None:
    double = rows.patient(clinician, family_name="Twice")
    pair = Pair.of(plan.patient, double, DAY)
    join_records(
        into=plan.patient,
        double=double,
        choices={clash.name: HERE for clash in pair.clashes()},
        seal=pair.seal,
        reason="The same person.",
        by=clinician,
        at=AT,
    )
    with pytest.raises(NotDone, match="nobody has looked through it"):
        sign(plan, clinician)
    assert not SignedPlan.objects.exists()


@pytest.fixture
def plan(clinician: User) -> Plan:
    """An open draft of the steady person."""
    return drafted(clinician)


def test_what_is_signed_holds_all_of_it(plan: Plan, clinician: User) -> None:
    changed = edit_plan(
        plan=plan, edits=[edit("balance.minutes", 60, 1, 3)], lock=1, by=clinician, at=AT
    )
    signed = SignedPlan.objects.get(pk=sign(changed, clinician).pk)
    told = read(signed.body)
    assert verify(signed.body, signed.digest)
    assert wrong_with(as_signed(signed)) == ""
    assert told["facts"] == json.loads(json.dumps(changed.facts))
    assert told["findings"] == told["draft"]["findings"]
    assert told["draft"]["weeks"][0]["balance"]["minutes"] == 75
    assert told["weeks"][0]["balance"]["minutes"] == 60
    assert told["edits"][0]["old"] == [75, 105, 120]
    assert (told["version"], told["replaces"]) == (1, None)
    assert told["signer"] == {
        "username": "m.ferro",
        "name": "Marta Ferro",
        "at": "2026-03-02T09:30:00+00:00",
        "meaning": MEANING,
    }
    assert told["clinic"] == CLINIC
    assert told["previous_digest"] == FIRST_DIGEST
    plan.refresh_from_db()
    assert plan.state == Plan.SIGNED
    line = Audit.objects.get(action="sign plan")
    assert signed.digest in line.new
    assert verify_chain() is None


def test_the_name_stays_as_it_was_signed(plan: Plan, clinician: User) -> None:
    """21 CFR 11.50: the printed name is part of the record."""
    signed = sign(plan, clinician)
    clinician.first_name = "Another"
    clinician.save()
    signed.refresh_from_db()
    assert signed.signed_name == "Marta Ferro"
    assert wrong_with(as_signed(signed)) == ""


def test_a_second_click_gives_the_same_signature(plan: Plan, clinician: User) -> None:
    token = uuid4()
    first = sign(plan, clinician, token=token)
    assert sign(plan, clinician, token=token) == first
    assert sign(plan, clinician, token=uuid4()) == first
    assert SignedPlan.objects.count() == 1
    assert Audit.objects.filter(action="sign plan").count() == 1


def test_nobody_signs_over_somebody_elses_signature(plan: Plan, clinician: User) -> None:
    sign(plan, clinician)
    other = person_of(Role.CLINICIAN, username="j.okafor")
    with pytest.raises(NotOpen, match="signed"):
        sign(plan, other)


def test_the_next_version_replaces_the_one_before(plan: Plan, clinician: User) -> None:
    first = sign(plan, clinician)
    again = draft_plan(patient=plan.patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    second = sign(again, clinician, starts_on=DAY + dt.timedelta(days=7))
    told = read(second.body)
    assert (second.version, told["replaces"]) == (2, 1)
    assert told["starts_on"] == "2026-03-09"
    assert second.previous_digest == first.digest
    assert chain_break() is None


def test_a_text_changed_behind_the_database_is_found(clinician: User) -> None:
    signed = [sign(drafted(clinician), clinician) for _ in range(4)]
    assert [b.previous_digest == a.digest for a, b in pairwise(signed)] == [True] * 3
    assert chain_break() is None
    with connection.cursor() as cursor:
        on = " ON programs_signedplan" if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER programs_signedplan_no_update{on}")
        cursor.execute(
            "UPDATE programs_signedplan SET body = replace(body, 'female', 'male') WHERE id = %s",
            [signed[2].pk],
        )
    found = chain_break()
    assert found is not None
    assert found.row == signed[2].pk


def test_an_older_lock_and_a_dropped_draft_are_refused(plan: Plan, clinician: User) -> None:
    edit_plan(plan=plan, edits=[edit("balance.minutes", 60)], lock=1, by=clinician, at=AT)
    with pytest.raises(ChangedMeanwhile):
        sign(plan, clinician)
    draft_plan(patient=plan.patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    with pytest.raises(NotOpen, match="newer draft"):
        sign(plan, clinician)


def test_a_signer_without_a_full_name_is_refused(plan: Plan) -> None:
    nameless = person_of(Role.CLINICIAN, username="x", first_name=" ")
    with pytest.raises(NotDone, match="full name"):
        sign(plan, nameless)


def test_what_has_changed_since_is_drafted_anew(plan: Plan, clinician: User) -> None:
    assert why_not(plan, DAY, []) == ()
    rows.answer(plan.patient, clinician, symptoms={"chest_pain": "yes"})
    assert "symptoms" in why_not(plan, DAY, [])[0]
    with pytest.raises(Stale, match="symptoms"):
        sign(plan, clinician)
    plan.refresh_from_db()
    assert plan.state == Plan.DRAFT


def test_nothing_is_issued_while_a_red_flag_stands(clinician: User) -> None:
    flagged = drafted(clinician, steady_document(symptoms={"chest_pain": "yes"}))
    assert "issued" in why_not(flagged, DAY, [])[0]
    with pytest.raises(NotDone, match="issued"):
        sign(flagged, clinician)


def test_weeks_that_no_change_made_are_refused(plan: Plan, clinician: User) -> None:
    plan.refresh_from_db()
    plan.weeks[0]["balance"]["minutes"] = 60
    plan.save()
    with pytest.raises(NotDone, match="Redraft"):
        sign(plan, clinician)
    assert "Redraft" in why_not(plan, DAY, [])[0]


def test_a_hard_limit_is_looked_for_once_more(
    plan: Plan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A limit that was tightened after the change was made."""
    over = [edit("balance.minutes", 70, 1, 1)]
    changed = edit_plan(plan=plan, edits=over, lock=1, by=clinician, at=AT)
    from programs.actions import signing
    from programs.dose.limit import Breach

    tightened = Breach(path="", week=1, name="x", text="Too much.", source="", judgement=False)
    monkeypatch.setattr(signing, "check", lambda weeks, basis: (tightened,))
    with pytest.raises(NotDone, match="Too much"):
        sign(changed, clinician)


def test_whoever_does_not_sign_is_refused_though_the_button_was_there(plan: Plan) -> None:
    helper = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(NotDone, match="may not sign a program"):
        sign(plan, helper)
    assert not SignedPlan.objects.exists()


@pytest.mark.slow
def test_five_at_once_make_one_signature(transactional_db: None) -> None:
    """Several clicks on Sign: openemr, digital-form-builder and others met this as a bug."""
    by = person_of(Role.CLINICIAN, username="m.ferro")
    plan, token = drafted(by), uuid4()

    def click(_: int) -> int:
        try:
            return sign(plan, by, token=token).pk
        finally:
            connection.close()

    with ThreadPoolExecutor(5) as pool:
        made = list(pool.map(click, range(5)))
    assert len(set(made)) == 1
    assert SignedPlan.objects.count() == 1
    assert chain_break() is None
    assert Audit.objects.filter(action="sign plan").count() == 1
