"""Programs of an older rulebook: each in force is held once; one that differs is not printed."""

import datetime as dt
import json
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit, FractureRow
from programs.actions import papers, rulebook_check
from programs.actions.papers import make_paper
from programs.actions.refusals import NotDone
from programs.actions.rulebook_check import (
    HOLD,
    ToLookAt,
    hold_against_rulebook,
    hold_all,
    plan_columns,
    to_look_at,
    to_look_at_in,
    why_not_printed,
)
from programs.models.program import Handout, Plan, SignedPlan
from programs.models.rulebook_check import RulebookCheck
from programs.review.against_rulebook import read
from programs.signed.snapshot import digest_of
from safety.rules.all_rules import RULEBOOK
from tests.people import steady_document
from tests.programs import older, reviews, rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db


def look(of: SignedPlan, at: dt.datetime = AT) -> ToLookAt | None:
    """Look at the newest signed plan of a patient, as her pages do."""
    plans = Plan.objects.filter(patient=of.patient, state=Plan.SIGNED).annotate(**plan_columns())
    return to_look_at_in(plans.latest("version"), at)


def patients(found: list[Any]) -> list[int]:
    return [one.signed.patient_id for one in found]


def test_a_program_is_held_once_and_the_record_says_so(clinician: User) -> None:
    signed = older.signed(clinician)
    row = hold_against_rulebook(signed=signed, at=AT, by=clinician)
    assert (row.rulebook, row.by) == (RULEBOOK, clinician)
    assert [one["modality"] for one in row.differs] == ["resistance"]
    assert "82 %" in read(row.differs)[0].words
    line = Audit.objects.get(action=HOLD)
    assert (line.object_id, line.actor) == (str(row.pk), clinician)
    assert "82 %" in line.new
    assert hold_against_rulebook(signed=signed, at=AT) == row
    assert RulebookCheck.objects.count() == Audit.objects.filter(action=HOLD).count() == 1


def test_two_at_once_keep_one(clinician: User, monkeypatch: pytest.MonkeyPatch) -> None:
    signed = older.signed(clinician)
    found = rulebook_check._differences(signed, DAY)

    def meanwhile(*_: Any) -> Any:
        rulebook_check._keep(signed, found, AT, None)
        return found

    monkeypatch.setattr(rulebook_check, "_differences", meanwhile)
    hold_against_rulebook(signed=signed, at=AT)
    assert RulebookCheck.objects.count() == 1


def test_a_program_that_tells_nothing_above_is_kept_as_that(clinician: User) -> None:
    """Its weeks above are behind her, or were changed before it was signed."""
    weeks = [{**week, "resistance": None} for week in _weeks(older.signed(clinician))]
    row = hold_against_rulebook(signed=older.signed(clinician, weeks=weeks), at=AT)
    assert row.differs == []


def _weeks(of: SignedPlan) -> list[dict[str, Any]]:
    weeks: list[dict[str, Any]] = json.loads(of.body)["weeks"]
    return weeks


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"body": "{}"}, "not the one that was signed"),
        ({"body": "[]", "digest": digest_of("[]")}, "is not known"),
    ],
)
def test_what_cannot_be_read_is_looked_at(
    clinician: User, changes: dict[str, Any], why: str
) -> None:
    signed = older.signed(clinician)
    rows.rewrite(signed, **changes)
    row = hold_against_rulebook(signed=signed, at=AT)
    assert why in row.differs[0]["allowed"]


def test_facts_that_cannot_stand_together_are_looked_at(clinician: User) -> None:
    signed = older.signed(clinician)
    wrist = {"site": "wrist", "date": dt.date(1950, 1, 1)}
    FractureRow.objects.create(patient=signed.patient, entered_by=clinician, entered_at=AT, **wrist)
    row = hold_against_rulebook(signed=signed, at=AT)
    assert "do not fit together" in row.differs[0]["allowed"]


def test_all_in_force_are_held_in_batches(clinician: User) -> None:
    for _ in range(3):
        older.signed(clinician)
    assert [len(hold_all(at=AT, most=2)) for _ in range(3)] == [2, 1, 0]
    assert len(to_look_at(DAY)) == 3


def test_which_are_in_force(clinician: User) -> None:
    week = dt.timedelta(weeks=1)
    mine = older.signed(clinician, DAY - 30 * week + dt.timedelta(days=1))
    older.signed(clinician, DAY - 30 * week)
    replaced = older.signed(clinician)
    newer = older.signed(clinician, patient=replaced.patient, version=2)
    stopped = older.signed(clinician)
    older.stopped(stopped, clinician)
    partly = older.signed(clinician)
    older.stopped(partly, clinician, all_of_it=False, at=AT + week)
    reviews.signed(clinician)
    held = [row.signed for row in hold_all(at=AT, most=20)]
    assert held == [mine, newer, partly]


def test_a_newer_version_ends_it(clinician: User) -> None:
    signed = older.signed(clinician)
    hold_all(at=AT, most=20)
    assert patients(to_look_at(DAY)) == [signed.patient_id]
    rows.signed(rows.plan(signed.patient, clinician, state=Plan.SIGNED, version=2), clinician)
    assert to_look_at(DAY) == []
    assert look(signed) is None


def test_of_one_patient_it_is_held_on_the_first_look(clinician: User) -> None:
    signed = older.signed(clinician)
    older.signed(clinician)
    found = look(signed)
    assert found is not None
    assert (found.signed, len(found.differs)) == (signed, 1)
    assert look(signed) == found
    assert RulebookCheck.objects.count() == 1


def test_of_one_patient_it_is_in_force_for_thirty_weeks_unless_stopped(clinician: User) -> None:
    signed = older.signed(clinician)
    assert look(signed, AT + dt.timedelta(weeks=30, days=-1)) is not None
    assert look(signed, AT + dt.timedelta(weeks=30)) is None
    older.stopped(signed, clinician)
    assert look(signed) is None


def test_of_one_patient_it_is_held_and_nothing_differs(clinician: User) -> None:
    assert look(older.signed(clinician, weeks=[])) is None
    assert RulebookCheck.objects.count() == 1


def test_held_and_without_a_difference_nothing_is_said(clinician: User) -> None:
    signed = older.signed(clinician)
    rows.rulebook_check(signed)
    assert to_look_at(DAY) == []
    assert look(signed) is None
    assert why_not_printed(signed, AT) == ""


# --- Nothing of it is printed anew --------------------------------------------------------


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(papers, "pdf", lambda template, *_, **__: b"%PDF")


@pytest.mark.parametrize("kind", ["handout", "to visit", "sheets", "summary", "plate session"])
def test_no_paper_of_it_is_made(clinician: User, kind: str, press: None) -> None:
    signed = older.signed(clinician)
    with pytest.raises(NotDone, match=r"until a review.*82 %"):
        make_paper(signed=signed, kind=kind, by=clinician, at=AT)
    assert not Handout.objects.exists()


def test_a_paper_kept_before_is_not_handed_out_again(clinician: User, press: None) -> None:
    signed = older.signed(clinician)
    rows.handout(signed)
    with pytest.raises(NotDone, match="until a review"):
        make_paper(signed=signed, kind="handout", by=clinician, at=AT)


def test_a_review_that_stops_all_of_it_ends_it(clinician: User, press: None) -> None:
    signed = older.signed(clinician)
    older.stopped(signed, clinician, all_of_it=False)
    hold_all(at=AT, most=20)
    assert patients(to_look_at(DAY)) == [signed.patient_id]
    older.stopped(signed, clinician, at=AT + dt.timedelta(hours=1))
    assert to_look_at(DAY) == []


def test_one_that_was_replaced_or_ran_out_is_not_printed_either(
    clinician: User, press: None
) -> None:
    signed = older.signed(clinician, DAY - dt.timedelta(weeks=40))
    rows.signed(rows.plan(signed.patient, clinician, state=Plan.SIGNED, version=2), clinician)
    assert "until a review" in why_not_printed(signed, AT)


def test_a_program_of_todays_rulebook_prints(clinician: User, press: None) -> None:
    patient = rows.recorded(clinician, steady_document())
    assert patient.pk
    signed = reviews.signed(clinician)
    assert make_paper(signed=signed, kind="handout", by=clinician, at=AT).pk
    assert not RulebookCheck.objects.exists()
