"""A program's state: begun, stopped, replaced, ended; what may be handed out; who was told."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction

from patients import audit
from patients.models.patient import Audit, FractureRow
from programs.actions import papers
from programs.actions.drafting import draft_plan
from programs.actions.may_hand_out import blocked_today, standing_of
from programs.actions.program_state import (
    CHANGE_STATE,
    kinds_stopped,
    state_of,
    stop_program,
    stops_not_told,
    told_of_stop,
)
from programs.actions.refusals import NotDone
from programs.actions.sessions import log_session
from programs.actions.signing import sign_plan
from programs.actions.without_a_kind import draft_without
from programs.models.program import Handout, Plan, Review, SignedPlan
from programs.models.program_state import ProgramState, StopTold
from programs.papers.kinds import DISCHARGE
from programs.review.adherence import Session
from programs.review.next_steps import Next
from safety.findings import Modality
from tests.programs import reviews, rows
from tests.programs.reviews import after, log_weeks
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.django_db, pytest.mark.long, pytest.mark.counted, pytest.mark.database]
M = Modality
HIP = "pain in the hip, rang today"


@pytest.fixture(scope="module")
def signed_once(clinician_of_this_file: User) -> int:
    return reviews.signed(clinician_of_this_file).pk


@pytest.fixture
def clinician(db: None, clinician_of_this_file: User) -> User:
    """Whoever signed it, in place of somebody of this name for each test."""
    return User.objects.get(pk=clinician_of_this_file.pk)


@pytest.fixture
def signed(db: None, signed_once: int) -> SignedPlan:
    return reviews.read_anew(signed_once)


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(papers, "pdf", lambda template, *_, **__: b"%PDF")


def stop(of: SignedPlan, by: User, **more: Any) -> ProgramState:
    return stop_program(signed=of, **{"why": HIP, "by": by, "at": AT} | more)


def again(of: SignedPlan, by: User, at: dt.datetime) -> SignedPlan:
    """Sign the next version of a program."""
    day = at.date()
    plan = Plan.objects.filter(patient=of.patient, state=Plan.DRAFT).first() or draft_plan(
        patient=of.patient, as_of=day, starts_on=day, by=by, at=at
    )
    return sign_plan(
        plan=plan, lock=plan.lock, by=by, at=at, today=day, starts_on=day, clinic=reviews.CLINIC
    )


def states(of: SignedPlan) -> list[tuple[str, str]]:
    found = ProgramState.objects.filter(signed=of).order_by("pk")
    return [(row.state, row.modality) for row in found]


def test_signing_takes_it_into_force_and_replaces_the_one_before(
    signed: SignedPlan, clinician: User
) -> None:
    assert states(signed) == [("in force", "")]
    assert standing_of(signed, AT).why == ()
    newer = again(signed, clinician, after(1))
    newest = again(newer, clinician, after(2))
    assert states(signed) == states(newer) == [("in force", ""), ("replaced", "")]
    assert states(newest) == [("in force", "")]
    state = state_of(signed, DAY)
    assert not state.in_force
    assert state.words.startswith("Replaced on 9 Mar 2026 by ")
    assert state.words.endswith(": Version 2 was signed.")


@pytest.mark.parametrize(("weeks", "days", "over"), [(30, -1, False), (30, 0, True)])
def test_it_ends_after_its_weeks(signed: SignedPlan, weeks: int, days: int, over: bool) -> None:
    """Rulebook row 29a: 26 weeks, and 4 at the last dose."""
    state = state_of(signed, DAY + dt.timedelta(weeks=weeks, days=days))
    assert state.in_force is not over
    if over:
        assert state.words.startswith("Ended on 27 Sep 2026")


def test_a_stop_ends_it_at_once_and_is_not_taken_back(signed: SignedPlan, clinician: User) -> None:
    row = stop(signed, clinician)
    assert (row.state, row.modality, row.why, row.by) == ("stopped", "", HIP, clinician)
    assert stop(signed, clinician, why="again") == row
    (why,) = standing_of(signed, AT).why
    assert why.startswith("Stopped on 2 Mar 2026 by ")
    assert HIP in why
    with pytest.raises(NotDone, match="not in force"):
        stop(signed, clinician, modality=M.PLATE)
    line = Audit.objects.filter(action=CHANGE_STATE).latest("seq")
    assert HIP in line.new


def test_a_stop_needs_a_reason(signed: SignedPlan, clinician: User) -> None:
    with pytest.raises(NotDone, match="Say why"):
        stop(signed, clinician, why="  ")
    assert states(signed) == [("in force", "")]


def test_one_kind_stopped_keeps_all_of_the_text_back(
    signed: SignedPlan, clinician: User, press: None
) -> None:
    stop(signed, clinician, modality=M.PLATE)
    standing = standing_of(signed, AT)
    assert standing.state.in_force
    assert standing.state.modalities == (M.PLATE,)
    assert "until a new version is signed" in standing.why[0]
    with pytest.raises(NotDone, match="Plate: stopped on 2 Mar"):
        papers.make_paper(signed=signed, kind="handout", by=clinician, at=AT)
    assert kinds_stopped(signed.patient) == {M.PLATE}


def test_a_kept_row_is_never_changed(signed: SignedPlan) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        ProgramState.objects.filter(signed=signed).update(why="another")


# --- What comes after a stop --------------------------------------------------------------


@pytest.mark.parametrize("weeks", [0, 3])
def test_the_draft_without_it_takes_one_step(
    signed: SignedPlan, clinician: User, weeks: int
) -> None:
    at = after(weeks)
    if weeks:
        log_weeks(signed, clinician, *range(1, weeks + 1))
    stop(signed, clinician, modality=M.PLATE, at=at)
    plan = draft_without(signed=signed, stopped=[M.PLATE], by=clinician, at=at)
    assert plan.version == 2
    assert all(week["plate"] is None for week in plan.weeks)
    assert any(week["resistance"] for week in plan.weeks)
    held = Review.objects.filter(signed=signed)
    assert [one.decision["modalities"]["plate"]["chosen"] for one in held] == [Next.STOP]
    newer = again(signed, clinician, at)
    assert standing_of(newer, at).why == ()
    assert kinds_stopped(signed.patient) == frozenset()


def test_before_the_first_day_it_is_drafted_without_a_review(clinician: User) -> None:
    signed = reviews.signed(clinician)
    rows.rewrite(signed.plan, starts_on=DAY + dt.timedelta(weeks=1))
    plan = draft_without(signed=signed, stopped=[M.PLATE], by=clinician, at=AT)
    assert all(week["plate"] is None for week in plan.weeks)
    assert not Review.objects.exists()


def test_drafted_anew_a_stopped_kind_stays_out(signed: SignedPlan, clinician: User) -> None:
    stop(signed, clinician, modality=M.PLATE)
    plan = draft_plan(patient=signed.patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    assert all(week["plate"] is None for week in plan.weeks)


def test_a_review_that_stops_keeps_it(signed: SignedPlan, clinician: User) -> None:
    log_weeks(signed, clinician, 1, 2, 3, 4)
    of = reviews.seen(signed)
    decided = reviews.as_proposed(of)
    decided[M.POSTURE] = reviews.Decision(next=Next.STOP, reason="her wish")
    held = reviews.held(signed, clinician, of=of, decisions=decided)
    row = ProgramState.objects.get(signed=signed, state="stopped")
    assert (row.modality, row.why, row.review) == ("posture", "her wish", held)


# --- Today ----------------------------------------------------------------------------------


def test_a_warning_sign_recorded_today_stops_the_paper(
    signed: SignedPlan, clinician: User, press: None
) -> None:
    kept = papers.make_paper(signed=signed, kind="handout", by=clinician, at=AT)
    rows.answer(signed.patient, clinician, symptoms={"chest_pain": "yes"})
    standing = standing_of(signed, AT)
    assert standing.state.in_force
    assert any("chest pain" in why.lower() for why in standing.today)
    with pytest.raises(NotDone, match=r"(?i)chest pain"):
        papers.make_paper(signed=signed, kind="handout", by=clinician, at=AT)
    assert Handout.objects.get() == kept


def test_what_cannot_stand_together_stops_the_paper(signed: SignedPlan, clinician: User) -> None:
    broken = {"site": "wrist", "date": dt.date(1900, 1, 1)}
    of = {"patient": signed.patient, "entered_by": clinician, "entered_at": AT}
    FractureRow.objects.create(**broken, **of)
    told = standing_of(signed, AT).today
    assert any(why.startswith("The facts entered now do not fit together: ") for why in told)


def test_what_bars_a_signed_kind_stops_the_paper(signed: SignedPlan, clinician: User) -> None:
    rows.answer(signed.patient, clinician, conditions={"acute_thrombosis": "yes"})
    assert any(why.startswith("Plate: ") for why in standing_of(signed, AT).today)


@pytest.mark.parametrize("told", [{"fell": True}, {"red_flag": "fainted"}])
def test_a_fall_in_the_log_stops_the_paper_until_a_review(
    signed: SignedPlan, clinician: User, told: dict[str, Any]
) -> None:
    entry = Session(on=DAY, modality=M.BALANCE, done="all", **told)
    log_session(patient=signed.patient, session=entry, by=clinician, at=after(1))
    (first, *_) = standing_of(signed, after(1)).today
    assert first.startswith("The log of 2 Mar 2026 tells of ")
    rows.review(signed, clinician, at=after(2))
    later = standing_of(signed, after(2)).today
    assert not any(why.startswith("The log of") for why in later)


def test_a_fracture_entered_later_stops_the_paper(signed: SignedPlan, clinician: User) -> None:
    FractureRow.objects.create(
        patient=signed.patient,
        site="wrist",
        date=dt.date(2019, 5, 2),
        entered_by=clinician,
        entered_at=after(1),
    )
    assert "no review was held" in standing_of(signed, after(1)).today[0]


def test_a_stop_while_it_is_printed_wins(
    signed: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    def meanwhile(*_: Any, **__: Any) -> bytes:
        stop(signed, clinician)
        return b"%PDF"

    monkeypatch.setattr(papers, "pdf", meanwhile)
    with pytest.raises(NotDone, match="Stopped on"):
        papers.make_paper(signed=signed, kind="handout", by=clinician, at=AT)
    assert not Handout.objects.exists()


# --- She knows ------------------------------------------------------------------------------


def tell(row: ProgramState, by: User, **more: Any) -> StopTold:
    held = {"told_by": "Marta Ferro", "how": "by telephone", "on": DAY, "by": by, "at": AT}
    return told_of_stop(stop=row, **held | more)


def test_a_stop_waits_until_she_knows(signed: SignedPlan, clinician: User) -> None:
    row = stop(signed, clinician)
    assert list(stops_not_told()) == [row]
    told = tell(row, clinician)
    assert tell(row, clinician, told_by="Another") == told
    assert list(stops_not_told()) == []


def test_a_newer_program_tells_her(signed: SignedPlan, clinician: User) -> None:
    stop(signed, clinician)
    assert list(stops_not_told(signed.patient))
    again(signed, clinician, after(1))
    assert not list(stops_not_told(signed.patient))


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"told_by": " "}, "who told it"),
        ({"on": DAY - dt.timedelta(days=1)}, "between the stop and today"),
        ({"on": DAY + dt.timedelta(days=1)}, "between the stop and today"),
    ],
)
def test_what_is_told_must_be_whole(
    signed: SignedPlan, clinician: User, more: dict[str, Any], why: str
) -> None:
    with pytest.raises(NotDone, match=why):
        tell(stop(signed, clinician), clinician, **more)
    assert not StopTold.objects.exists()


@pytest.mark.parametrize("kind", [None, M.PLATE])
def test_the_notice_is_kept_and_stays_as_it_is(
    signed: SignedPlan, clinician: User, press: None, kind: Modality | None
) -> None:
    row = stop(signed, clinician, modality=kind)
    made = papers.make_stop_notice(stop=row, by=clinician, at=AT)
    assert papers.make_stop_notice(stop=row, by=clinician, at=after(1)) == made
    assert papers.make_stop_notice(stop=row, by=clinician, at=AT, language="es") != made
    assert papers.bytes_to_hand_out(made, AT) == b"%PDF"


def test_the_page_of_a_discharge_is_marked_only_while_something_blocks(
    signed: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(papers, "marked", lambda held, state, words: b"marked")
    options = {"kind": f"{DISCHARGE.code} 1", "language": "en", "paper": "A4", "type_pt": 16}
    with audit.writing():
        page = papers.keep_paper(signed, b"%PDF", options, clinician, AT, {})
    rows.state(signed, ProgramState.ENDED)
    assert papers.bytes_to_hand_out(page, AT) == b"%PDF"
    rows.answer(signed.patient, clinician, symptoms={"chest_pain": "yes"})
    assert papers.bytes_to_hand_out(page, AT) == b"marked"


def test_what_cannot_stand_together_blocks(signed: SignedPlan, clinician: User) -> None:
    assert not blocked_today(signed.patient, DAY)
    before_birth = {"site": "wrist", "date": dt.date(1950, 1, 1)}
    kept = {"patient": signed.patient, "entered_by": clinician, "entered_at": AT}
    FractureRow.objects.create(**kept, **before_birth)
    assert blocked_today(signed.patient, DAY)


def test_one_form_sent_twice_stops_once(signed: SignedPlan, clinician: User) -> None:
    token = uuid4()
    row = stop(signed, clinician, modality=M.PLATE, token=token)
    assert stop(signed, clinician, modality=M.BALANCE, token=token) == row
    assert states(signed) == [("in force", ""), ("stopped", "plate")]
