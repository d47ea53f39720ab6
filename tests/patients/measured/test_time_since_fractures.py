import datetime as dt

import pytest

from patients.measured.time_since_fractures import since_fractures
from safety import fracture_history
from tests.people import fracture, steady

DAY = dt.date(2026, 3, 2)


def of(*fractures):
    return since_fractures(steady(fractures=list(fractures)))


@pytest.mark.parametrize("days", [0, 1, 27, 28, 29, 83, 84, 85, 200, 364, 365, 366])
def test_the_waits_are_those_of_the_screen(days):
    broke = (DAY - dt.timedelta(days=days)).isoformat()
    facts = steady(fractures=[fracture("wrist", broke, healed="unknown")])
    (found,) = since_fractures(facts)
    kept = facts.fractures[0]
    rest, load, healed = found.marks
    assert found.days == days
    assert rest.over != fracture_history.is_fresh(kept, DAY)
    assert load.over != fracture_history.is_mending(kept, DAY)
    assert healed.over != fracture_history.is_unsure(kept, DAY)
    assert all(m.days_left == max(0, (m.on - DAY).days) for m in found.marks)


def test_days_left():
    (found,) = of(fracture("hip", "2026-02-20"))
    assert [(m.words, m.on, m.days_left) for m in found.marks] == [
        ("4 weeks", dt.date(2026, 3, 20), 18),
        ("12 weeks", dt.date(2026, 5, 16), 75),
        ("12 months", dt.date(2027, 2, 20), 355),
    ]
    assert found.label == "hip"


def test_newest_first_undated_last():
    found = of(
        fracture("rib", None), fracture("hip", "2020-01-01"), fracture("wrist", "2024-01-01")
    )
    assert [s.fracture.site for s in found] == ["wrist", "hip", "rib"]
    assert (found[2].days, found[2].marks) == (None, ())


def test_none_recorded():
    assert since_fractures(steady(fractures=None)) == ()


def test_a_year_is_said_as_such_and_reckoned_from_its_last_day():
    found = since_fractures(
        steady(fractures=[fracture("wrist", "2025"), fracture("rib", "2025-11")])
    )
    assert [(s.broke, s.at_least, s.days) for s in found] == [
        ("2025 (year only)", True, 61),
        ("Nov 2025 (month only)", True, 92),
    ]


def test_a_full_date_and_none():
    full, none = since_fractures(
        steady(fractures=[fracture("rib", None), fracture("wrist", "2025-12-31")])
    )
    assert (full.broke, full.at_least) == ("31 Dec 2025", False)
    assert (none.broke, none.at_least) == ("", False)
