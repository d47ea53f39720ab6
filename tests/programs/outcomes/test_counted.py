"""One person as she is counted: her time in programs, sessions, harms, tests, scans, today."""

import datetime as dt
from typing import Any

import pytest

from patients.facts.declared import Scan
from patients.facts.declared import Tests as Results
from programs.outcomes.counted import InProgram, Now, Person, in_program
from programs.review.adherence import Session
from safety.findings import Modality
from tests.programs.logs import START, day, planned, session, steady

#: The day of the count: ten full weeks after the first day.
TODAY = day(11)


def person(*programs: InProgram, **more: Any) -> Person:
    held = programs or (in_program(planned(), TODAY, None, None),)
    return Person(**{"day": TODAY, "programs": held, "stopped": False, **more})


def log(*weeks: int, **more: Any) -> tuple[Session, ...]:
    return tuple(steady(weeks, **more))


# --- Time in a program ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("today", "following", "stopped", "until"),
    [
        (TODAY, None, None, TODAY),
        (TODAY, day(6, 3), None, day(6, 3)),
        (TODAY, day(20), None, TODAY),
        (TODAY, day(6), day(5, 1), day(5, 2)),
        (TODAY, day(6), day(6), day(6)),
        (day(40), None, None, day(31)),
    ],
)
def test_a_program_ends_with_whatever_comes_first(
    today: dt.date, following: dt.date | None, stopped: dt.date | None, until: dt.date
) -> None:
    assert in_program(planned(), today, following, stopped).until == until


def test_a_program_that_the_next_one_came_before_holds_no_day() -> None:
    none = in_program(planned(), TODAY, START - dt.timedelta(days=1), None)
    assert person(none).sessions(Modality.BALANCE) == (0, 0.0)


# --- Sessions -------------------------------------------------------------------------------


def test_full_weeks_are_counted_and_a_week_is_never_more_than_full() -> None:
    seen = person(log=(*log(1, 2), session(day(1, 1)), session(day(2), done="part")))
    assert seen.sessions(Modality.BALANCE) == (30, 6.0)
    assert seen.percent(Modality.BALANCE) == 20.0
    assert seen.percent(Modality.PLATE) is None


def test_the_running_week_is_not_counted_but_its_harms_are() -> None:
    until = day(4, 3)
    first = in_program(planned(), TODAY, until, None)
    seen = person(first, log=log(4, fell=True))
    assert seen.sessions(Modality.BALANCE) == (9, 0.0)
    assert (seen.done, seen.falls) == (2, 2)


def test_two_versions_follow_each_other_without_a_day_twice() -> None:
    second = day(4, 2)
    held = (
        in_program(planned(), TODAY, second, None),
        in_program(planned(starts_on=second), TODAY, None, None),
    )
    seen = person(*held, log=log(*range(1, 11)))
    weeks = (TODAY - second).days // 7
    assert seen.sessions(Modality.BALANCE)[0] == 3 * (3 + weeks)
    assert seen.done == 30


def test_what_lies_outside_of_a_program_is_not_counted() -> None:
    stopped = in_program(planned(), TODAY, None, day(2, 6))
    told = {"fell": True, "red_flag": "chest", "pain": 9, "broke": "wrist"}
    before, after = session(START - dt.timedelta(days=1), **told), session(day(3), **told)
    seen = person(stopped, log=(before, after), fractures=(day(3),), stopped=True)
    assert (seen.done, seen.falls, seen.flags, seen.pain_stops, seen.breaks) == (0,) * 5


def test_the_day_of_a_stop_is_counted() -> None:
    """What she told that day is why she was stopped."""
    stopped = in_program(planned(), TODAY, None, day(3, 2))
    seen = person(stopped, log=(session(day(3, 2), fell=True),), stopped=True)
    assert (seen.done, seen.falls) == (1, 1)


# --- Harms ----------------------------------------------------------------------------------


def test_a_day_counts_once_for_each_harm() -> None:
    both = [session(day(2), modality=m, fell=True, red_flag="dizzy") for m in Modality]
    seen = person(log=(*both, session(day(2, 2), done="none", fell=True)))
    assert (seen.done, seen.falls, seen.flags) == (5, 2, 1)


@pytest.mark.parametrize(
    ("pain", "settled", "stops"),
    [(5, False, 0), (6, True, 0), (6, False, 1), (6, None, 1), (None, None, 0)],
)
def test_pain_stops_where_a_review_would(
    pain: int | None, settled: bool | None, stops: int
) -> None:
    assert person(log=(session(day(2), pain=pain, pain_settled=settled),)).pain_stops == stops


def test_a_broken_bone_of_log_and_record_is_one() -> None:
    logged = session(day(2), broke="wrist")
    assert person(log=(logged,), fractures=(day(2), day(5), TODAY)).breaks == 2


# --- Tests and scans ------------------------------------------------------------------------


def result(on: dt.date, seconds: float | None) -> Results:
    return Results(date=on, up_and_go_s=seconds)


YEAR = dt.timedelta(days=365)


@pytest.mark.parametrize(
    ("before", "after", "change"),
    [
        (START, day(9), -2.0),
        (START, day(9) - dt.timedelta(days=1), None),
        (START - YEAR, day(9), -2.0),
        (START - YEAR - dt.timedelta(days=1), day(9), None),
        (START + dt.timedelta(days=1), day(9), None),
        (START, TODAY, None),
    ],
)
def test_a_result_before_and_one_from_week_eight_on(
    before: dt.date, after: dt.date, change: float | None
) -> None:
    tests = (result(after, 8.0), result(before, 10.0), result(day(1), None))
    assert person(tests=tests).change("up_and_go_s") == change


def test_the_newest_of_each_side_counts_and_one_without_a_day_does_not() -> None:
    days = (START - YEAR, START, day(9), day(10))
    tests = tuple(result(on, value) for on, value in zip(days, (20, 12, 11, 9), strict=True))
    seen = person(tests=(*tests, Results(date=None, up_and_go_s=1.0)))
    assert seen.change("up_and_go_s") == -3


def scanned(on: dt.date, bmd: float, scanner: str | None = "A") -> Scan:
    return Scan(date=on, site="total_hip", bmd_g_cm2=bmd, scanner=scanner)


def looked(*scans: Scan, parts: tuple[str | None, ...] = ()) -> str | None:
    late = START + dt.timedelta(days=500)
    held = in_program(planned(), late, None, None)
    change = person(held, day=late, scans=scans, parts=parts).density_change("total_hip", {})
    return change and change.verdict


@pytest.mark.parametrize(
    ("factor", "verdict"), [(1.10, "gain"), (1.01, "within_error"), (0.90, "loss")]
)
def test_a_scan_a_year_after_counts_beyond_the_error(factor: float, verdict: str) -> None:
    assert looked(scanned(START, 0.7), scanned(START + YEAR, 0.7 * factor)) == verdict


def test_another_scanner_is_not_comparable() -> None:
    assert looked(scanned(START, 0.7), scanned(START + YEAR, 0.8, "B")) == "not_comparable"


def test_without_a_scan_before_or_a_year_after_there_is_no_look() -> None:
    a_day = dt.timedelta(days=1)
    assert looked(scanned(START, 0.7), scanned(START + YEAR - a_day, 0.8)) is None
    assert looked(scanned(START + a_day, 0.7), scanned(START + YEAR + a_day, 0.8)) is None
    assert looked(scanned(START - YEAR - a_day, 0.7), scanned(START + YEAR, 0.8)) is None
    assert looked() is None


# --- Today ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("weeks", "logged", "more", "now"),
    [
        (10, (7,), {}, Now.TRAINING),
        (10, (6,), {}, Now.DROPPED_OUT),
        (10, (), {}, Now.DROPPED_OUT),
        (4, (), {}, Now.DROPPED_OUT),
        (3, (), {}, Now.TOO_EARLY),
        (3, (1,), {}, Now.TRAINING),
        (29, (), {}, Now.DROPPED_OUT),
        (30, (29,), {}, Now.OVER),
        (10, (10,), {"stopped": True}, Now.STOPPED),
    ],
)
def test_how_it_stands_today(
    weeks: int, logged: tuple[int, ...], more: dict[str, Any], now: Now
) -> None:
    today = day(weeks + 1)
    held = in_program(planned(), today, None, None)
    assert person(held, day=today, log=log(*logged), **more).standing is now
