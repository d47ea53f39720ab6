"""What the log of one modality leads to: both sides of every threshold (rows 26a and 26b)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from programs.review.adherence import Seen, WeekCount
from programs.review.grounds import (
    Since,
    alarming,
    by_log,
    by_untold_falls,
    done_words,
    planned_effort,
    weeks_without_falls_told,
)
from programs.review.next_steps import CAREFUL, WORDS, Ground, Next, bolder
from programs.week.week import ResistanceWeek
from safety.findings import Modality
from tests.programs.logs import (
    START,
    Looked,
    balance,
    changed,
    day,
    hundreds,
    looked,
    planned,
    session,
    steady,
    week,
)

FIVE = day(5)
FOUR = steady(range(1, 5))


def ground(found: Looked, chosen: Next) -> Ground:
    return next(one for one in found.grounds if one.next is chosen)


# --- Adherence ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        (40, 40, Next.ADVANCE),  # 80 %
        (40, 39, Next.HOLD),  # 79 %
        (25, 25, Next.HOLD),  # 50 % in both
        (25, 24, Next.HOLD),  # 49 % over both, but one week at 50 %
        (24, 24, Next.SIMPLIFY),  # 48 % in both
        (24, 25, Next.HOLD),
        (0, 50, Next.HOLD),
    ],
)
def test_adherence(first: int, second: int, expected: Next) -> None:
    """Thresholds: project choice, for the clinic to confirm (rulebook row 26a)."""
    signed, log = hundreds(first, second)
    by_adherence = ground(looked(log, day(3), signed), expected)
    assert any("Kelley" in source for source in by_adherence.sources)


def test_79_9_percent_is_not_shown_as_80() -> None:
    weeks = (WeekCount(week=1, planned=1000, logged=1000, done=799.5),)
    assert "in week 1 (79 %)" in done_words(weeks)


def test_words_name_sessions_weeks_and_what_is_not_logged() -> None:
    log = [*steady((1, 2, 3)), session(day(4)), session(day(4, 2), done="part")]
    words = looked(log).grounds[0].text
    assert words.startswith("4.5 of 6 sessions in weeks 3 and 4 (75 %, 1 not logged).")


def test_a_steady_log_may_advance_and_rests_on_its_entries() -> None:
    found = looked(FOUR)
    assert found.next is Next.ADVANCE
    assert found.grounds[0].words == "Go on with the ramp"
    assert [one.on for one in found.grounds[0].entries] == [
        day(w, d) for w in (3, 4) for d in (0, 2, 4)
    ]


def test_of_fewer_than_two_full_weeks_those_are_read_that_there_are() -> None:
    assert looked(steady((1,)), day(2)).next is Next.ADVANCE
    none = looked([session(day(1))], day(1, 6))
    assert none.next is Next.HOLD
    assert "over yet" in none.grounds[0].text


def test_weeks_count_on_after_the_end() -> None:
    """Not weeks 1 and 2 for ever, which were done in full."""
    log = [*steady((1, 2)), *(session(day(w), done="part") for w in range(3, 9))]
    assert looked(log, day(9), planned(2)).next is Next.SIMPLIFY


def test_a_modality_that_was_not_planned_lately_holds() -> None:
    weeks = [week(1, balance=balance()), *(week(n) for n in range(2, 6))]
    assert looked(steady((1,)), FIVE, planned(weeks=weeks)).next is Next.HOLD


def test_never_done_starts_again() -> None:
    found = looked([], day(9), reached=0)
    assert found.next is Next.START_AGAIN
    assert any("log it first" in one.text for one in found.grounds)
    assert {one.next for one in found.grounds} == {Next.START_AGAIN, Next.SIMPLIFY}
    some = looked([session(day(1))], day(2), reached=0)
    assert "log it first" not in some.grounds[0].text


# --- Effort, and more than planned -----------------------------------------------------------


def lifting(reserve: int | None) -> ResistanceWeek:
    return ResistanceWeek(
        sessions=2,
        group="A",
        sets=3,
        reps=15,
        could_lift=None if reserve is None else 15 + reserve,
        percent_1rm=None if reserve is None else 67,
        reps_in_reserve=reserve,
        exercises=(),
    )


@pytest.mark.parametrize(("reserve", "effort"), [(2, 8), (5, 5), (7, 3), (22, 3), (None, None)])
def test_planned_effort_follows_the_repetitions_left(
    reserve: int | None, effort: int | None
) -> None:
    """10 leaves none (the scale by repetitions left); over 20 "easy: 3 of 10" (row 19a)."""
    assert planned_effort(lifting(reserve)) == effort
    assert planned_effort(balance()) is None


def lifted(efforts: list[int | None]) -> list[Next]:
    signed = planned(
        weeks=[week(n, resistance=lifting(5)) for n in range(1, 27)],
        timetable={"mon": ["resistance"], "thu": ["resistance"]},
    )
    days = [day(w, d) for w in (1, 2, 3, 4) for d in (0, 3)]
    log = [
        session(on, modality=Modality.RESISTANCE, effort=effort)
        for on, effort in zip(days, [5, 5, 5, 5, *efforts], strict=True)
    ]
    seen = Seen(signed, FIVE, Modality.RESISTANCE, log)
    return [one.next for one in by_log(seen, 4, Since(review=None, asked={}))]


@pytest.mark.parametrize(
    ("efforts", "holds"),
    [
        ([7, 7, 7, 7], 1),  # 2 above the planned 5
        ([7, 7, 7, 6], 0),
        ([5, 5, 9, 10], 2),  # 7.25 on average, and twice so hard
        ([3, 3, 9, 9], 1),
        ([5, 5, 5, 9], 0),
        ([None, None, None, None], 0),
    ],
)
def test_effort_above_plan_holds(efforts: list[int | None], holds: int) -> None:
    assert lifted(efforts).count(Next.HOLD) == holds


def test_more_sessions_than_planned_hold() -> None:
    extra = [session(day(w, 1)) for w in (3, 4)]
    found = looked([*FOUR, *extra])
    assert found.next is Next.HOLD
    assert "more is not better" in found.grounds[0].text
    assert looked([*FOUR, extra[0]]).next is Next.ADVANCE


# --- Pain ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pain", "settled", "expected"),
    [
        (0, None, Next.ADVANCE),
        (3, None, Next.ADVANCE),
        (3, False, Next.ADVANCE),
        (4, True, Next.HOLD),
        (4, False, Next.BACK_ONE),
        (4, None, Next.BACK_ONE),
        (5, True, Next.HOLD),
        (5, None, Next.BACK_ONE),
        (6, True, Next.BACK_ONE),
        (6, False, Next.STOP),
        (6, None, Next.STOP),
        (10, True, Next.BACK_ONE),
    ],
)
def test_pain(pain: int, settled: bool | None, expected: Next) -> None:
    """0-3 go, 4-5 if it settles in 24 h, 6 and more stop or cut (clinic pain guides)."""
    found = looked(changed(FOUR, 11, pain=pain, pain_settled=settled))
    assert found.next is expected
    if expected is not Next.ADVANCE:
        assert [one.pain for one in found.grounds[0].entries] == [pain]


def test_pain_counts_from_the_last_review_on_by_its_day_or_its_entry() -> None:
    """Row 26a: also of weeks long past, and of one entered late."""
    log = [*changed(FOUR, 0, pain=8), *steady((5, 6, 7, 8))]
    assert looked(log, day(9)).next is Next.STOP
    assert looked(log, day(9), since=day(2)).next is Next.ADVANCE
    late = changed(log, 0, entered_on=day(3))
    assert looked(late, day(9), since=day(2)).next is Next.STOP
    assert looked(log, day(9), since=day(1)).next is Next.ADVANCE  # the review read that day


def test_pain_that_settled_holds_for_four_full_weeks() -> None:
    log = changed([*FOUR, *steady((5,))], 0, pain=5, pain_settled=True)
    assert looked(log[:12]).next is Next.HOLD
    assert looked(log, day(6)).next is Next.ADVANCE


def test_pain_of_each_of_the_two_weeks_is_to_be_known() -> None:
    unknown = [replace(one, pain=None) if one.on >= day(4) else one for one in FOUR]
    found = looked(unknown)
    assert found.next is Next.HOLD
    assert "not known does not mean none" in found.grounds[0].text
    assert looked(changed(unknown, 11, pain=0)).next is Next.ADVANCE


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({}, False),
        ({"pain": None}, False),
        ({"pain": 3, "pain_settled": False}, False),
        ({"pain": 5, "pain_settled": True}, False),
        ({"pain": 4, "pain_settled": None}, True),
        ({"pain": 6, "pain_settled": True}, True),
        ({"fell": True}, True),
        ({"red_flag": "fever"}, True),
        ({"broke": "the wrist"}, True),
    ],
)
def test_what_is_looked_at_first(more: dict[str, Any], expected: bool) -> None:
    assert alarming(session(**more)) is expected


# --- Gaps ---------------------------------------------------------------------------------

DAILY = {name: ["balance"] for name in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")}


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (7, None),
        (8, Next.HOLD),
        (13, Next.HOLD),
        (14, Next.BACK_ONE),
        (21, Next.BACK_ONE),
        (22, Next.BACK_TWO),
        (55, Next.BACK_TWO),
        (56, Next.START_AGAIN),
        (90, Next.START_AGAIN),
    ],
)
def test_gap(days: int, expected: Next | None) -> None:
    """Days since it was last done (rulebook row 26b)."""
    signed = planned(sessions=7, timetable=DAILY)
    log = [session(START + dt.timedelta(days=n)) for n in range(28)]
    found = looked(log, day(4, 6) + dt.timedelta(days=days), signed)
    by_gap = [one for one in found.grounds if "since it was last done" in one.text]
    assert [one.next for one in by_gap] == ([expected] if expected else [])


def test_no_gap_where_no_session_was_missed() -> None:
    weeks = [*(week(n, balance=balance()) for n in range(1, 5)), *(week(n) for n in range(5, 27))]
    found = looked(FOUR, day(8), planned(weeks=weeks))
    assert not any("days since" in one.text for one in found.grounds)


def test_a_gap_from_the_start() -> None:
    found = looked([], day(3), reached=6)
    assert "15 days and none of it done" in found.grounds[0].text
    assert found.next is Next.BACK_ONE


# --- Falls that nobody wrote down -----------------------------------------------------------


def untold(log: list[Any], asked: dict[str, dt.date] | None = None, **more: Any) -> tuple[int, ...]:
    since = Since(review=more.get("review"), asked=asked or {})
    return weeks_without_falls_told(planned(), log, since)


def test_weeks_in_which_no_fall_was_asked_about() -> None:
    log = [replace(one, fell=None) for one in FOUR]
    assert untold(log) == (1, 2, 3, 4)
    assert untold(changed(log, 4, fell=False)) == (1, 3, 4)
    assert untold(log, review=day(3)) == (3, 4)
    assert untold(log, {"falls": day(2, 4)}) == (3, 4)
    assert untold(log, {"falls": day(2, 3)}) == (2, 3, 4)
    assert untold([replace(one, done="none") for one in log]) == ()


def test_they_hold_plate_impact_and_balance() -> None:
    held = {m for m in Modality for _ in by_untold_falls(m, (2, 3))}
    assert held == {Modality.PLATE, Modality.IMPACT, Modality.BALANCE}
    assert [*by_untold_falls(Modality.PLATE, ())] == []


# --- The careful one ----------------------------------------------------------------------


def test_the_most_careful_of_several_is_proposed_and_all_are_named() -> None:
    found = looked(changed(steady((1, 2, 3)), 8, pain=5, pain_settled=False))
    order = [CAREFUL.index(one.next) for one in found.grounds]
    assert order == sorted(order, reverse=True)
    assert found.next is Next.BACK_ONE
    assert {Next.BACK_ONE, Next.HOLD} <= {one.next for one in found.grounds}
    assert all(one.text.endswith(".") and one.sources for one in found.grounds)


def test_bolder() -> None:
    assert bolder(Next.HOLD, Next.STOP)
    assert bolder(Next.ADVANCE, Next.HOLD)
    assert not bolder(Next.HOLD, Next.HOLD)
    assert not bolder(Next.STOP, Next.ADVANCE)
    assert WORDS.keys() == set(CAREFUL)
