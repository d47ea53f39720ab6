"""Sessions planned and done, gaps, effort."""

import datetime as dt

import pytest

from programs.review.adherence import count_weeks, gaps, mean_effort, percent
from safety.findings import Modality
from tests.programs.logs import START, balance, day, planned, session, steady, week

BALANCE = Modality.BALANCE


def test_adherence_of_a_trial() -> None:
    """304 of 336 sessions are 90.5 % (PMID 23291565)."""
    assert percent(304, 336) == pytest.approx(90.5, abs=0.05)


@pytest.mark.parametrize(
    ("on", "number", "full"),
    [
        (START - dt.timedelta(days=1), 0, 0),
        (START, 1, 0),
        (START + dt.timedelta(days=6), 1, 0),
        (START + dt.timedelta(days=7), 2, 1),
        (START + dt.timedelta(days=26 * 7), 27, 26),
        (START + dt.timedelta(days=40 * 7), 41, 26),
    ],
)
def test_weeks_of_a_program(on: dt.date, number: int, full: int) -> None:
    assert planned().week_of(on) == number
    assert planned().full_weeks(on) == full


def test_a_program_may_start_on_any_weekday() -> None:
    thursday = START + dt.timedelta(days=3)
    signed = planned(starts_on=thursday)
    assert signed.week_of(thursday + dt.timedelta(days=6)) == 1
    assert signed.days(1, BALANCE) == (
        thursday + dt.timedelta(days=1),
        thursday + dt.timedelta(days=4),
        thursday + dt.timedelta(days=6),
    )


def test_what_is_not_planned_has_no_sessions_and_no_days() -> None:
    assert planned().sessions(1, Modality.PLATE) == 0
    assert planned().days(1, Modality.PLATE) == ()
    assert planned().sessions(0, BALANCE) == 0
    assert planned(0).sessions(1, BALANCE) == 0
    assert planned().modalities == (BALANCE,)


def test_the_last_week_goes_on_after_the_end() -> None:
    assert planned(4).sessions(9, BALANCE) == 3


def test_all_days_where_the_timetable_names_none() -> None:
    assert len(planned(timetable={}).days(1, BALANCE)) == 7


def test_part_counts_half_and_what_is_more_than_planned_does_not_count() -> None:
    log = [
        *(session(day(1, d)) for d in range(5)),
        session(day(2), done="part"),
        session(day(2, 2), done="none"),
        session(day(2, 4), modality=Modality.PLATE),
    ]
    first, second, third = count_weeks(planned(), BALANCE, log, (1, 2, 3))
    assert (first.planned, first.logged, first.done, first.percent) == (3, 5, 3, 100)
    assert (second.logged, second.done) == (2, 0.5)
    assert second.percent == pytest.approx(50 / 3)
    assert (third.logged, third.done, third.percent) == (0, 0, 0)


def test_a_week_without_a_plan_has_no_percent() -> None:
    (count,) = count_weeks(planned(), Modality.PLATE, [], (1,))
    assert count.percent is None


def test_no_gap_where_every_session_was_done() -> None:
    assert gaps(planned(), BALANCE, steady(range(1, 5)), day(5)) == ()


def test_a_missed_week_is_a_gap_of_seven_days() -> None:
    (gap,) = gaps(planned(), BALANCE, steady((1, 3)), day(4))
    assert (gap.since, gap.until, gap.days, gap.still_open) == (day(2), day(3), 7, False)


def test_a_session_not_done_ends_no_gap() -> None:
    log = [*steady((1,)), session(day(2), done="none"), session(day(2, 2), done="part")]
    (gap,) = gaps(planned(), BALANCE, log, day(2, 3))
    assert (gap.since, gap.until) == (day(2), day(2, 2))


def test_a_gap_from_the_start_and_one_still_open() -> None:
    before, after = gaps(planned(), BALANCE, [session(day(1, 4))], day(3))
    assert (before.since, before.until, before.still_open) == (day(1), day(1, 4), False)
    assert (after.since, after.until, after.still_open) == (day(2), day(3), True)


def test_a_week_may_name_more_days_than_it_has_sessions() -> None:
    signed = planned(sessions=2)
    assert gaps(signed, BALANCE, [session(day(1)), session(day(1, 2))], day(2)) == ()
    (gap,) = gaps(signed, BALANCE, [session(day(1)), session(day(1, 2))], day(3))
    assert gap.since == day(2)


def test_a_gap_goes_on_after_the_program_has_ended() -> None:
    (gap,) = gaps(planned(2), BALANCE, steady((1, 2)), day(6))
    assert (gap.since, gap.days) == (day(3), 21)


def test_weeks_without_the_modality_have_nothing_to_miss() -> None:
    weeks = [week(1, balance=balance()), week(2), week(3)]
    assert gaps(planned(0, weeks=weeks), BALANCE, steady((1,)), day(4)) == ()


def test_mean_effort() -> None:
    log = [
        session(day(1), effort=2),
        session(day(1, 2), effort=5),
        session(day(1, 4), effort=None),
        session(day(2), effort=9),
    ]
    assert mean_effort(BALANCE, log, day(1), day(1, 6)) == 3.5
    assert mean_effort(BALANCE, log, day(3), day(4)) is None
