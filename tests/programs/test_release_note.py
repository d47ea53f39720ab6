"""What rulebook 2027.1 changed, told to a clinician: a line each, with the numbers of the draft."""

import math

import pytest

from patients.measured.chance_of_seeing import chances
from patients.scanners.precision import lsc
from programs.release_note import CHANGES
from safety.rules.all_rules import RULEBOOK


def test_each_change_says_what_and_for_whom_in_a_line_or_two() -> None:
    assert RULEBOOK == "2027.1", "a newer rulebook has a note of its own"
    for change in CHANGES:
        assert change.row
        assert change.what.endswith((".", "?"))
        assert change.whom.endswith(".")
        assert len(change.what) <= 260, change.row
    assert len({change.what for change in CHANGES}) == len(CHANGES)


def test_the_numbers_are_those_of_the_draft() -> None:
    told = " ".join(change.what for change in CHANGES)
    for words in (
        "11 times is 80 %",
        "25 times about 60 %",
        "1 g at most",
        "to week 30",
        "at 80 % to 12",
        "70 %",
    ):
        assert words in told
    for condition in ("Gave birth", "Amputation", "Parkinson", "missed periods", "sex hormones"):
        assert condition in told


@pytest.mark.parametrize(
    "site, bmd, label, told",
    [
        ("lumbar_spine", 0.88, "Heavy lifting, impact", "spine 25 % (was month 15)"),
        ("femoral_neck", 0.65, "Heavy lifting, impact", "neck 6 % (185)"),
        ("lumbar_spine", 0.88, "Combined exercise", "spine 13 % (20)"),
        ("total_hip", 0.75, "Vertical plate, 35 to 40 Hz", "hip 6 % (33)"),
    ],
)
def test_the_chance_stands_beside_the_old_month(site, bmd, label, told) -> None:
    """The old month was the LSC over the gain a year, a shorter trial's stretched to a year."""
    (note,) = (change.what for change in CHANGES if change.row == "28")
    assert told in note
    least = lsc(site, None)
    (found,) = (one for one in chances(site, least, bmd, 1.0) if one.trial.label == label)
    yearly = found.trial.percent(bmd) * 12 / found.trial.span_months
    old = math.ceil(12 * 100 * least.at(bmd) / bmd / yearly)
    assert f"{found.at_best:.0%}".replace("%", " %") in told
    assert f"{old})" in told
