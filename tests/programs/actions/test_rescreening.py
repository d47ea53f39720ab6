"""Screening everybody anew: who is due, what is kept, what stays, and where a run goes on."""

import datetime as dt
from dataclasses import replace

import pytest
from django.contrib.auth.models import User

from patients.actions.patient_record import change_patient, identity_of
from patients.actions.withdrawing import withdraw
from patients.models.patient import FractureRow, Patient, SizeRow
from programs.actions import rescreening
from programs.actions.papers import make_paper
from programs.actions.refusals import NotDone
from programs.actions.rescreening import Batch, rescreen_all
from programs.actions.rescreens_to_look_at import not_looked_at
from programs.actions.sessions import log_session
from programs.models.rescreen import Rescreen, RescreenBatch
from programs.review.adherence import Session
from programs.review.paper_in_hand import Rank, paper_from_kept
from programs.signed.snapshot import digest_of
from safety import actions as safety
from safety.compared_screens import Effect, change_from_kept
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import older, reviews, rows
from tests.programs.reviews import after
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.django_db]
LATER = after(1)
CHEST_PAIN = {"otherwise": "no", "chest_pain": "yes"}


def run(at: dt.datetime = LATER, at_once: int = 2) -> list[Batch]:
    return list(rescreen_all(at=at, at_once=at_once))


def screened(at: dt.datetime = LATER, at_once: int = 2) -> list[Rescreen]:
    return [row for batch in run(at, at_once) for row in batch.rows]


def screened_by(of: Patient, by: User, at: dt.datetime) -> None:
    safety.screen_patient(patient=of, as_of=at.date(), by=by, at=at)


def changes(row: Rescreen) -> list[tuple[str, Effect]]:
    return [(one["rule"], change_from_kept(one).after) for one in row.changes]


# --- Who is due -----------------------------------------------------------------------------


def test_somebody_never_screened_is_due_and_has_nothing_to_compare(clinician: User) -> None:
    rows.recorded(clinician, steady_document(conditions={"implanted_stimulator": "yes"}))
    (row,) = screened()
    assert (row.since, row.changes, row.paper, row.rank) == (None, [], None, None)
    assert "implanted_stimulator.plate" in [one["rule"] for one in row.findings]
    assert screened() == []


def test_a_screen_newer_than_the_facts_is_enough(clinician: User) -> None:
    of = rows.recorded(clinician)
    screened_by(of, clinician, after(0) + dt.timedelta(minutes=1))
    assert screened() == []


def test_a_fact_of_the_very_moment_may_be_newer(clinician: User) -> None:
    screened_by(rows.recorded(clinician), clinician, AT)
    assert len(screened()) == 1


def test_an_older_rulebook_makes_everybody_due(
    clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    of = rows.recorded(clinician)
    screened_by(of, clinician, AT + dt.timedelta(minutes=1))
    monkeypatch.setattr(rescreening, "RULEBOOK", "2099.1")
    (row,) = screened()
    assert (row.patient, row.rulebook, row.changes) == (of, "2099.1", [])


@pytest.mark.parametrize("what", ["answer", "row", "struck out", "born", "clearance", "log"])
def test_whatever_a_fact_is_read_from_makes_her_due(clinician: User, what: str) -> None:
    signed = reviews.signed(clinician)
    of, at = signed.patient, after(2)
    screened()
    wrong = SizeRow.objects.get(patient=of)
    assert screened() == []
    if what == "answer":
        reviews.answer(of, "symptoms", {"symptoms": CHEST_PAIN}, clinician, at)
    elif what == "row":
        reviews.broken(of, {"site": "wrist", "date": "2026-03-10"}, clinician, at)
    elif what == "struck out":
        withdraw(row=wrong, reason="Another person's", by=clinician, at=at)
    elif what == "born":
        Patient.objects.filter(pk=of.pk).update(version=2)
    elif what == "clearance":
        leave(of, clinician, at)
    else:
        session = Session(on=DAY, modality=Modality.BALANCE, done="all", fell=True)
        log_session(patient=of, session=session, by=clinician, at=at)
    assert len(screened(at)) == 1
    assert screened(at) == []


def leave(of: Patient, by: User, at: dt.datetime, weeks: int = 10) -> None:
    safety.add_clearance(
        patient=of,
        subject="implanted_stimulator",
        modalities=["plate", "resistance"],
        given_by="Heart clinic",
        on=at.date(),
        until=at.date() + dt.timedelta(weeks=weeks),
        by=by,
        at=at,
    )


@pytest.mark.counted
def test_a_clearance_that_ended_makes_her_due_without_a_new_row(clinician: User) -> None:
    of = rows.recorded(clinician, steady_document(conditions={"implanted_stimulator": "yes"}))
    leave(of, clinician, AT, weeks=2)
    assert len(screened(after(1))) == 1
    assert screened(after(2)) == []
    (row,) = screened(after(3))
    assert ("implanted_stimulator.plate", Effect.HELD) in changes(row)
    assert row.decided == [
        "Cleared by Heart clinic, ended on 16 Mar 2026: Pacemaker, defibrillator or other "
        "implanted stimulator, for vibration plate, resistance (dosed as a precaution)."
    ]


def test_who_is_put_right_after_a_screen_is_due(clinician: User) -> None:
    of = rows.recorded(clinician)
    screened_by(of, clinician, after(0) + dt.timedelta(minutes=1))
    who = replace(identity_of(of), born=dt.date(1950, 8, 14))
    change_patient(patient=of, who=who, version=1, by=clinician, at=LATER)
    assert len(screened()) == 1


# --- What is kept ---------------------------------------------------------------------------


def test_what_changed_and_what_the_paper_says(clinician: User) -> None:
    signed = reviews.signed(clinician)
    of = signed.patient
    reviews.answer(of, "symptoms", {"symptoms": CHEST_PAIN}, clinician, LATER)
    (row,) = screened()
    assert row.since == signed.signed_at
    assert changes(row)[0][1] is Effect.STOPPED
    assert (row.signed, row.rank) == (signed, Rank.STOP)
    paper = paper_from_kept(row.paper or {})
    assert paper.weeks == tuple(range(2, 27))
    assert [one.modality for one in paper.above] == ["all"]


@pytest.mark.parametrize("what", ["acute_thrombosis", "chest pain"])
def test_j04_who_is_now_barred_is_listed_and_her_paper_stops(clinician: User, what: str) -> None:
    signed = reviews.signed(clinician)
    if what == "chest pain":
        reviews.answer(signed.patient, "symptoms", {"symptoms": CHEST_PAIN}, clinician, LATER)
    else:
        told = {"conditions": {"otherwise": "no", what: "yes"}}
        reviews.answer(signed.patient, "conditions", told, clinician, LATER)
    (row,) = screened()
    assert [one.patient for one in not_looked_at()] == [row.patient]
    with pytest.raises(NotDone, match=r"(?i)chest pain|clot"):
        make_paper(signed=signed, kind="handout", by=clinician, at=LATER)


@pytest.mark.counted
def test_j05_a_persons_decisions_stay_beside_what_is_found(clinician: User) -> None:
    signed = reviews.signed(clinician, steady_document(conditions={"implanted_stimulator": "yes"}))
    leave(signed.patient, clinician, LATER)
    kept = signed.patient.clearances.get()
    (row,) = screened()
    assert changes(row)[0] == ("implanted_stimulator.plate", Effect.CLEARED)
    assert "Cleared by Heart clinic, until 18 May 2026" in row.decided[0]
    kept.refresh_from_db()
    assert (kept.withdrawn_at, kept.given_by) == (None, "Heart clinic")


@pytest.mark.counted
def test_a_screen_that_was_kept_is_compared_with(clinician: User) -> None:
    of = rows.recorded(clinician, steady_document(conditions={"implanted_stimulator": "yes"}))
    screened_by(of, clinician, AT)
    clot = {"otherwise": "no", "implanted_stimulator": "yes", "acute_thrombosis": "yes"}
    reviews.answer(of, "conditions", {"conditions": clot}, clinician, LATER)
    (row,) = screened()
    assert row.since == AT
    assert {rule.partition(".")[0] for rule, _ in changes(row)} == {"acute_thrombosis"}
    assert row.rank == Rank.MORE_THAN_ALLOWED


def test_what_nobody_looked_at_is_told_again_beside_newer_facts(clinician: User) -> None:
    """Else a new weight would take a new hold off the list before anybody saw it."""
    signed = reviews.signed(clinician)
    clot = {"otherwise": "no", "acute_thrombosis": "yes"}
    reviews.answer(signed.patient, "conditions", {"conditions": clot}, clinician, LATER)
    (first,) = screened()
    size = {"date": after(2).date(), "weight_kg": 61, "entered_at": after(2)}
    SizeRow.objects.create(patient=signed.patient, entered_by=clinician, **size)
    (second,) = screened(after(2))
    assert first.since == second.since == signed.signed_at
    assert changes(first) == changes(second)
    assert second.rank == Rank.MORE_THAN_ALLOWED


def test_after_a_look_only_what_is_newer_is_told(clinician: User) -> None:
    signed = reviews.signed(clinician)
    clot = {"otherwise": "no", "acute_thrombosis": "yes"}
    reviews.answer(signed.patient, "conditions", {"conditions": clot}, clinician, LATER)
    screened()
    rows.review(signed, clinician, at=after(2))
    reviews.answer(signed.patient, "symptoms", {"symptoms": CHEST_PAIN}, clinician, after(3))
    (row,) = screened(after(3))
    assert row.since == LATER
    assert {effect for _, effect in changes(row)} == {Effect.STOPPED}


def test_contradicting_facts_are_counted_kept_once_and_looked_at(clinician: User) -> None:
    signed = reviews.signed(clinician)
    wrist = {"site": "wrist", "date": dt.date(1950, 1, 1), "entered_at": LATER}
    FractureRow.objects.create(patient=signed.patient, entered_by=clinician, **wrist)
    (batch,) = run()
    (row,) = batch.rows
    assert batch.contradicting == [signed.patient]
    assert row.contradiction
    assert (row.findings, row.rank) == ([], Rank.STOP)
    (again,) = run()
    assert (list(again.rows), again.contradicting) == ([], [signed.patient])


def test_contradicting_facts_without_a_paper_wait_for_the_next_draft(clinician: User) -> None:
    of = rows.recorded(clinician)
    wrist = {"site": "wrist", "date": dt.date(1950, 1, 1), "entered_at": LATER}
    FractureRow.objects.create(patient=of, entered_by=clinician, **wrist)
    (row,) = screened()
    assert row.rank is None


def test_nobody_without_facts_is_screened(clinician: User) -> None:
    of = rows.patient(clinician)
    (batch,) = run()
    assert (batch.without_facts, list(batch.rows)) == ([of], [])
    assert not RescreenBatch.objects.exists()


@pytest.mark.counted
@pytest.mark.parametrize("body", ["{}", "[]"])
def test_a_paper_that_cannot_be_read_is_looked_at(clinician: User, body: str) -> None:
    digest = {"digest": digest_of(body)} if body == "[]" else {}
    rows.rewrite(older.signed(clinician), body=body, **digest)
    (row,) = screened()
    assert row.rank == Rank.STOP
    why = "is not known" if body == "[]" else "not the one that was signed"
    assert why in row.paper["above"][0]["allowed"]  # type: ignore[index]


@pytest.mark.counted
def test_a_program_that_ended_or_was_stopped_is_in_nobodys_hand(clinician: User) -> None:
    ended = older.signed(clinician, DAY - dt.timedelta(weeks=31))
    stopped = older.signed(clinician)
    older.stopped(stopped, clinician)
    in_force = older.signed(clinician)
    found = {row.patient_id: row.signed for row in screened()}
    assert found == {
        ended.patient_id: None,
        stopped.patient_id: None,
        in_force.patient_id: in_force,
    }


@pytest.mark.counted
def test_reasons_of_a_signed_program_are_told(clinician: User) -> None:
    text = reviews.signed(clinician)
    review = rows.review(text, clinician, decision={"lifted": {"plate.cap": "Twelve weeks."}})
    left_out = {"left_out": {"impact": "She does not want it."}}
    edit = {
        "seq": 1,
        "week_from": 1,
        "week_to": 4,
        "path": "plate.peak_g",
        "old": 1,
        "new": 2,
        "limit_passed": "at most 1 g",
        "reason": "Used to it.",
        "by": "Marta Ferro",
        "at": "2026-03-02T09:30:00+00:00",
    }
    plain = {**edit, "seq": 2, "limit_passed": "", "reason": "Her wish."}
    signed = older.signed(clinician, edits=[edit, plain], **left_out)
    rows.rewrite(signed.plan, review=review)
    row = next(row for row in screened() if row.patient_id == signed.patient_id)
    assert row.decided == [
        "Lifted at a review, plate.cap: Twelve weeks.",
        "Vibration plate, past a limit by Marta Ferro: Used to it.",
        "Impact, left out: She does not want it.",
    ]
