"""Why she does it, what is left out and why, when she comes back, and the paper's last line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace

import pytest

from programs.papers import ENGLISH, Handout, issue_of, pages
from programs.papers.paper_parts import Section
from programs.papers.span import Span, all_weeks
from programs.signed.program import PlannedReview, SignedProgram
from programs.signed.snapshot import Document
from safety.findings import Modality
from safety.screen import Status
from tests.each import each
from tests.programs.sample_papers import DIGEST, in_format_1, program_of, snapshot_of

pytestmark = pytest.mark.long

ANCHOR = "41-abcdef012345"


def paper(
    program: SignedProgram, *, last_week: int | None = None, replaced_on: dt.date | None = None
) -> Handout:
    issue = issue_of(
        program, ENGLISH, digest=DIGEST, zone=dt.UTC, anchor=ANCHOR, replaced_on=replaced_on
    )
    whole = all_weeks(program)
    span = whole if last_week is None else Span(first=whole.first, last=last_week)
    return pages(program, ENGLISH, issue, span)


def section(handout: Handout, title: str) -> Section | None:
    return next((one for one in handout.advice if one.title == title), None)


# --- Why ------------------------------------------------------------------------------------


def test_what_matters_most_comes_first_then_what_each_kind_is_for() -> None:
    why = paper(program_of(snapshot_of("hip_first"))).why
    assert why.tell == (
        "You told us: “Walk to O'Dell's & carry 2 bags”",
        "You told us what matters most: my hips, not to fall.",
        "Vibration plate: for your legs, and against falls.",
        "Lifting: for your muscles, your hips and your back.",
        "Firm steps and landings: for your hips.",
        "Balance: against falls.",
        "Posture: for your back.",
    )


@pytest.mark.counted
def test_where_no_aim_is_known_the_kinds_say_why() -> None:
    program = replace(program_of(snapshot_of("hip_first")), aims=("unheard of",), own_goal="")
    assert paper(program).why.tell[0].startswith("Vibration plate: for")
    assert paper(replace(program, aims=())).why.tell[0].startswith("Vibration plate: for")


@each("made", [snapshot_of, lambda who: in_format_1(snapshot_of(who))])
def test_her_own_goal_is_the_signed_one_and_first(made: Callable[[str], Document]) -> None:
    hers, silent = made("hip_first"), made("faller")
    assert program_of(hers).own_goal == "Walk to O'Dell's & carry 2 bags"
    assert program_of(silent).own_goal == ""
    assert paper(program_of(silent)).why.tell[0].startswith("You told us what matters most:")


def test_her_own_goal_is_printed_as_typed() -> None:
    typed = "{goal} «Otra vez», 100 % <b>王</b>"
    program = replace(program_of(snapshot_of("hip_first")), own_goal=typed)
    assert paper(program).why.tell[0] == f"You told us: “{typed}”"


def test_walking_is_for_the_heart() -> None:
    told = paper(program_of(snapshot_of("vertebral_fracture"))).why.tell
    assert "Brisk walking: for your heart, and to keep you going." in told


def test_no_reason_is_a_promise_about_bone() -> None:
    told = " ".join(paper(program_of(snapshot_of("hip_first"))).why.tell).lower()
    assert [word for word in ("bone", "break", "fracture", "density") if word in told] == []


# --- What is not in it ------------------------------------------------------------------------


def absent(program: SignedProgram, **more: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    held = section(paper(program, **more), "What is not in your program")
    return (held.tell, held.do) if held else ((), ())


def without(modality: Modality, status: str, **changes: object) -> SignedProgram:
    whole = program_of(snapshot_of("hip_first"))
    weeks = tuple(replace(week, **{str(modality): None}) for week in whole.weeks)
    standing = replace(whole.standings[modality], status=status)
    standings = {**whole.standings, modality: standing}
    return replace(whole, weeks=weeks, standings=standings, **changes)  # type: ignore[arg-type]


@pytest.mark.counted
def test_a_kind_that_fits_but_has_no_room_is_not_told_as_a_danger() -> None:
    assert absent(without(Modality.IMPACT, Status.INCLUDED)) == (
        ("No room for it now: Firm steps and landings.",),
        ("Ask us before you add what there is no room for.",),
    )


@pytest.mark.parametrize("status", [Status.ON_HOLD, Status.EXCLUDED])
def test_a_kind_that_something_speaks_against_is(status: Status) -> None:
    tell, do = absent(without(Modality.PLATE, status))
    assert tell == ("Not for now: Vibration plate.",)
    assert do == ("Do not add it on your own. Ask us why.",)


def test_what_the_clinician_left_out_is_not_told_as_without_room() -> None:
    left = {Modality.PLATE: "She is afraid of it"}
    tell, _ = absent(without(Modality.PLATE, Status.INCLUDED, left_out=left))
    assert tell == ("Not for now: Vibration plate.",)


# --- Visits -----------------------------------------------------------------------------------


def visits(*weeks: int, last_week: int | None) -> tuple[str, ...]:
    program = replace(
        program_of(snapshot_of("hip_first")),
        reviews=tuple(PlannedReview(week=week, what="all") for week in weeks),
    )
    held = section(paper(program, last_week=last_week), "Your next visits")
    assert held is None or held.fill == ("Day", "Time")
    return held.do if held else ()


def test_visits_are_those_of_the_weeks_printed_and_the_next() -> None:
    told = visits(4, 12, 26, 52, last_week=12)
    assert told == (
        "Come in week 4, which begins on 23 March 2026.",
        "Come in week 12, which begins on 18 May 2026.",
        "Come in week 26, which begins on 24 August 2026.",
    )


def test_where_none_is_to_come_nothing_is_said() -> None:
    assert visits(last_week=4) == ()


# --- The last line ----------------------------------------------------------------------------


def test_the_last_line_is_short_and_holds_the_anchor() -> None:
    program = program_of(snapshot_of("hip_first"))
    told = paper(program, replaced_on=dt.date(2025, 11, 3)).last
    assert told == (
        "Plan 2, signed by Marta Ferro on 2 Mar 2026. "
        f"It replaces the paper of 3 November 2025. Record {ANCHOR}"
    )


def test_what_is_for_the_clinic_is_not_on_her_paper() -> None:
    handout = paper(program_of(snapshot_of("hip_first")))
    told = " ".join((*handout.about.tell, *handout.about.do, handout.last))
    for part in (DIGEST[:12], "UTC", "answer for it", "09:30"):
        assert part not in told


def test_a_draft_has_no_last_line() -> None:
    signer = dict.fromkeys(("username", "name", "at", "meaning"), "")
    assert paper(program_of(snapshot_of(signer=signer))).last == ""
