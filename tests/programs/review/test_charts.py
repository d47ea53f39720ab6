"""Geometry of the review's charts."""

from __future__ import annotations

from itertools import pairwise

import pytest

from programs.review.adherence import WeekCount
from programs.review.charts import BAR_PX, bar, effort_strip, pain_strip, rows
from safety.findings import Modality
from tests.programs.logs import START, day, planned, session


def count(done: float, wanted: int, week: int = 1) -> WeekCount:
    return WeekCount(week=week, planned=wanted, logged=wanted, done=done)


@pytest.mark.parametrize(("done", "wanted", "share"), [(0, 3, 0), (1.5, 3, 0.5), (3, 3, 1)])
def test_a_bar_is_as_long_as_its_percent(done: float, wanted: int, share: float) -> None:
    drawn = bar(count(done, wanted))
    assert drawn is not None
    assert drawn.done == pytest.approx(BAR_PX * share, abs=0.05)
    assert drawn.mark == pytest.approx(BAR_PX * 0.8, abs=0.05)


def test_no_bar_where_nothing_was_planned() -> None:
    assert bar(count(0, 0)) is None


def test_the_worst_pain_of_each_day() -> None:
    log = [
        session(day(1), pain=2),
        session(day(1), pain=5, pain_settled=True),
        session(day(1), pain=5, modality=Modality.PLATE),
        session(day(1, 2), pain=5, pain_settled=True),
        session(day(1, 4), pain=None),
        session(day(2), pain=3),
    ]
    strip = pain_strip(planned(), day(2, 1), log)
    assert [(p.title.split(":")[0], p.unsettled) for p in strip.points] == [
        (str(day(1)), True),
        (str(day(1, 2)), False),
        (str(day(2)), False),
    ]
    assert strip.points[0].title.startswith("2026-03-02: 5 with")


def test_of_two_equal_pains_the_one_that_settled_does_not_hide_the_other() -> None:
    log = [
        session(day(1), pain=5, modality=Modality.PLATE),
        session(day(1), pain=5, pain_settled=True),
    ]
    for held in (log, log[::-1]):
        (point,) = pain_strip(planned(), day(2), held).points
        assert point.unsettled
        assert "not known to have settled" in point.title


def test_the_greatest_effort_of_each_day() -> None:
    log = [session(day(1), effort=3), session(day(1), effort=6), session(day(2), effort=None)]
    strip = effort_strip(planned(), day(2), log)
    assert [point.title for point in strip.points] == ["2026-03-02: 6"]


def test_more_is_higher_and_later_is_further_right() -> None:
    log = [session(day(1), pain=0), session(day(3), pain=10)]
    strip = pain_strip(planned(), day(3), log)
    first, last = strip.points
    assert strip.left < first.x < last.x < strip.right
    assert first.y == strip.bottom
    assert first.y > last.y
    assert [line.label for line in strip.across] == ["0", "3", "6", "10"]
    assert [tick.label for tick in strip.weeks] == ["1", "2", "3"]


def test_many_weeks_are_not_all_labelled() -> None:
    strip = pain_strip(planned(), day(60), [])
    apart = [b.at - a.at for a, b in pairwise(strip.weeks)]
    assert min(apart) >= 26
    assert strip.points == ()


def test_before_the_start_there_is_one_week() -> None:
    assert [t.label for t in pain_strip(planned(), START, []).weeks] == ["1"]


def test_weeks_across_modalities() -> None:
    columns = [[count(1, 3), count(2, 3, 2)], [count(0, 2), count(1, 2, 2)]]
    assert [(week, [c.planned for c in held]) for week, held in rows(columns)] == [
        (1, [3, 2]),
        (2, [3, 2]),
    ]
    assert rows([]) == []
