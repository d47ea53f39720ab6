"""The worry scale: its totals are those of the Short FES-I, its words our own."""

import datetime as dt

import pytest

from patients.measured import worry
from patients.measured.worry import Answered, worry_series

DAY = dt.date(2026, 3, 2)


def of(*answers):
    return Answered(DAY, answers)


def test_seven_activities_make_7_to_28():
    """Kempen 2008, PMID 18032400: 7 items, 1 to 4 each, range 7 to 28."""
    assert len(worry.ITEMS) == 7
    assert of(*[worry.LEAST] * 7).concern.total == 7
    assert of(*[worry.MOST] * 7).concern.total == 28


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        # Bands: Delbaere 2010, from memory, to be confirmed.
        ((1, 1, 1, 1, 1, 1, 2), "8 of 28, low"),
        ((1, 1, 1, 1, 1, 2, 2), "9 of 28, moderate"),
        ((1, 2, 2, 2, 2, 2, 2), "13 of 28, moderate"),
        ((2,) * 7, "14 of 28, high"),
        # Six answers of 8 in all: 9.33, rounded up (from memory, to be confirmed).
        ((1, 1, 1, 1, 2, 2, None), "10 of 28, moderate, one blank filled in"),
        ((1, 1, 1, 1, 1, None, None), "no total, 2 of 7 not answered"),
    ],
)
def test_in_words(answers, words):
    assert of(*answers).words == words


def test_over_time_without_what_has_no_total():
    days = [of(*[1] * 7), of(*[None] * 7), of(*[3] * 7)]
    series = worry_series(days)
    assert [point.value for point in series.points] == [7, 21]
    assert (series.baseline.value, series.band, series.against_last) == (7, None, None)
    assert worry_series([of(*[None] * 7)]) is None
