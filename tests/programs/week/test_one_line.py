"""A week in a line: percent with its band, forces as they are known, and older documents."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from programs.edit.plan_in_words import dose_words, more_words, strength_words
from programs.week.document import read_weeks, write_weeks
from programs.week.one_line import (
    NEAR_SUPPORT,
    force_words,
    hz_read,
    impact_words,
    percent_words,
    short_dose,
)
from programs.week.week import ImpactIndex
from tests.programs.edit.test_changes import STEADY, basis

WEEKS = STEADY.made.weeks


@pytest.mark.parametrize(
    ("could_lift", "words"),
    [
        (12, "78 %, 70 to 78 % by the classic chart"),
        (11, "80 %, 73 to 80 % by the classic chart"),
        (20, "67 %, 61 to 67 % by the classic chart"),
        (25, "about 60 %, 57 to 63 % by other equations"),
        (30, "about 55 %, 50 to 60 % by other equations"),
    ],
)
def test_percent_with_the_band_of_the_readings(could_lift: int, words: str) -> None:
    """Rulebook row 19a: 12 times is 78 %, 70 % by the classic chart; over 20 "about"."""
    assert percent_words(could_lift) == words


def test_forces_of_leg_and_body_and_whether_measured() -> None:
    """Rulebook row 20: a soft heel raise about 2.0 and 1.0; a stamp 3.08, measured."""
    first, last = WEEKS[0].impact, WEEKS[25].impact
    assert first is not None
    assert last is not None
    assert force_words(first) == "about 1 a leg, 2 in all"
    assert force_words(last) == "3.08"
    # Hip 1.0 x ln 11 x 3 days = 7.2, a fifth either way; spine 2.0 x ln 11 x 3 = 14.4.
    assert impact_words(first) == (
        "about 1 on a leg; planning index of the week: hip 6 to 9, spine 12 to 17"
    )
    # Nobody's guess, so no range: 3.08 x ln 26 x 5 = 50.2, and 3.08 x ln 51 x 5 = 60.6.
    assert impact_words(last) == "3.08 on a leg; planning index of the week: hip 50, spine 61"


def test_a_measured_plate_is_told_with_what_its_panel_shows() -> None:
    part = WEEKS[0].plate
    assert part is not None
    assert hz_read(part) == "25 Hz"
    measured = replace(part, frequency_hz=25.842, panel_hz=25)
    assert hz_read(measured) == "25.8 Hz measured (panel 25 Hz)"
    assert "25.8 Hz measured (panel 25 Hz), " in short_dose(measured)


def test_support_sitting_and_what_has_no_load_are_told() -> None:
    faller = basis(falls={"last_12_months": 2}).made.weeks[0].balance
    assert faller is not None
    assert more_words(faller) == NEAR_SUPPORT
    assert short_dose(faller).endswith(f"level 4, {NEAR_SUPPORT}")
    seated = basis(person={"mobility": "wheelchair"}).made.weeks[0].balance
    assert seated is not None
    assert strength_words(seated) == "sitting"
    bare = basis(resources={"equipment": ["chair"]}, lifts=None).made.weeks[0].resistance
    assert bare is not None
    assert "without a weight" in dose_words(bare)
    assert "times" in dose_words(bare)
    assert (strength_words(bare), more_words(bare)) == ("", "")
    assert short_dose(bare).endswith("without a weight")
    posture = WEEKS[0].posture
    assert posture is not None
    assert "each 5 times, held 5 s" in short_dose(posture)


def older() -> list[dict[str, Any]]:
    """Return her weeks as a rulebook before 2027.1 wrote them."""
    weeks = write_weeks(WEEKS)
    for week in weeks:
        week["resistance"].pop("could_lift")
        week["impact"].pop("leg_bw")
        week["impact"]["osteogenic_index"] = 14.4
        week["balance"].pop("near_support")
        week["posture"].pop("hold_s")
        week["posture"].pop("reps")
    return weeks


def test_weeks_of_an_older_rulebook_are_read_and_nothing_is_guessed() -> None:
    week = read_weeks(older())[0]
    lifting, impact, balance, posture = week.resistance, week.impact, week.balance, week.posture
    assert lifting is not None
    assert impact is not None
    assert balance is not None
    assert posture is not None
    assert (lifting.could_lift, lifting.percent_1rm) == (None, 67)
    assert dose_words(lifting) == "1 × 15, 5 in reserve; leg press 46 kg"
    assert strength_words(lifting) == "67"
    assert short_dose(lifting).endswith("1 × 15, 5 in reserve")
    assert (impact.leg_bw, impact.osteogenic_index) == (None, ImpactIndex(hip=None, spine=14.4))
    assert (strength_words(impact), force_words(impact), more_words(impact)) == ("2", "2", "")
    assert (balance.near_support, more_words(balance)) == (None, "")
    assert more_words(posture) == ""
    assert short_dose(posture) == "6 times a week, 30 min in all"
    walk = replace(impact, osteogenic_index=None)
    assert read_weeks(write_weeks([replace(week, impact=walk)]))[0].impact == walk


def test_weeks_of_today_come_back_as_they_went() -> None:
    assert read_weeks(write_weeks(WEEKS)) == WEEKS
