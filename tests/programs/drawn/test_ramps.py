"""A ramp as numbers: one axis a kind, its ceiling, what rises when, what has no room."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from programs.draft.resume import Resume
from programs.drawn.ceilings import ceiling, limits_for
from programs.drawn.ramps import Ramp, Rise, ramp
from programs.edit.base_draft import Basis
from programs.week.week import part_of
from safety.findings import Modality
from tests.documents import Document, documents
from tests.people import clearance, facts, fracture, steady

MONDAY = dt.date(2026, 3, 2)
STEADY = Basis.of(steady(), Resume())


def drawn(modality: Modality, basis: Basis = STEADY, **more: Any) -> Ramp:
    """Return the ramp of a draft."""
    top = ceiling(modality, basis)
    found = ramp(basis.made.weeks, modality, starts_on=MONDAY, ceiling=top, **more)
    assert found is not None
    return found


def basis(**changes: Any) -> Basis:
    return Basis.of(steady(**changes), Resume())


@pytest.mark.parametrize(
    ("modality", "unit", "first", "top"),
    [
        (Modality.PLATE, "g", 1.26, 4.0),
        (Modality.RESISTANCE, "% of 1RM", 67, 80),
        (Modality.IMPACT, "body weights", 2.0, 4.0),
        (Modality.BALANCE, "of 7", 4, 7),
        (Modality.POSTURE, "min a week", 30, 60),
    ],
)
def test_each_kind_has_its_axis_and_its_ceiling(
    modality: Modality, unit: str, first: float, top: float
) -> None:
    found = drawn(modality)
    assert (found.axis.unit, found.values[0], found.ceiling) == (unit, first, top)
    assert len(found.values) == 26


def test_a_fragile_person_is_held_lower() -> None:
    broken = [fracture("vertebra", "2020-02-10")]
    cleared = [clearance("plate") | {"for": "vertebral_fracture"}]
    fragile = basis(fractures=broken, clearances=cleared, resources={"watcher": "yes"})
    assert ceiling(Modality.PLATE, fragile) == 1.0
    assert ceiling(Modality.RESISTANCE, fragile) == 70
    assert ceiling(Modality.IMPACT, fragile) == 1.5


def test_impact_beside_no_lifting_is_walking() -> None:
    alone = basis(conditions={"hernia": "yes"})
    assert Modality.RESISTANCE not in alone.included
    assert ceiling(Modality.IMPACT, alone) == 1.5


def test_the_limits_of_her_group_alone_are_told() -> None:
    told = [row.text for row in limits_for(Modality.RESISTANCE, STEADY)]
    assert any(words.startswith(f"Group {STEADY.made.group}") for words in told)
    others = {"A", "B", "C"} - {STEADY.made.group}
    assert not [words for words in told if words.startswith(tuple(f"Group {g}" for g in others))]
    assert all(limits_for(modality, STEADY) for modality in Modality)


def test_who_sits_has_minutes_for_an_axis_and_no_rung_to_reach() -> None:
    seated = basis(person={"mobility": "wheelchair"})
    found = drawn(Modality.BALANCE, seated)
    assert (found.axis.unit, found.ceiling) == ("min a week", None)


def test_lifting_without_a_weight_counts_repetitions() -> None:
    weeks = tuple(
        replace(week, resistance=week.resistance and replace(week.resistance, percent_1rm=None))
        for week in STEADY.made.weeks
    )
    found = ramp(weeks, Modality.RESISTANCE, starts_on=MONDAY, ceiling=80)
    assert found is not None
    assert (found.axis.unit, found.ceiling) == ("repetitions", None)
    assert found.values[0] == weeks[0].resistance.sets * weeks[0].resistance.reps  # type: ignore[union-attr]


def test_what_rises_when() -> None:
    plate = drawn(Modality.PLATE)
    assert plate.what_rises == ("bout length", "bouts", "frequency")
    first = plate.rises[0]
    assert first == Rise(week=5, what="bout length", was=30, became=45)
    lifting = drawn(Modality.RESISTANCE)
    heavier = next(rise for rise in lifting.rises if rise.what == "weight")
    assert heavier.became < heavier.was
    assert heavier.words == f"weight {heavier.was:g} to {heavier.became:g} times to lift"
    assert first.words == "bout length 30 to 45"
    assert "rest between bouts" not in plate.what_rises


def test_a_lighter_weight_and_fewer_sets_are_no_rise() -> None:
    weeks = tuple(reversed(STEADY.made.weeks))
    found = ramp(weeks, Modality.RESISTANCE, starts_on=MONDAY)
    assert found is not None
    assert not {"weight", "sets"} & set(found.what_rises)


def test_a_table_has_a_row_wherever_something_changes() -> None:
    found = drawn(Modality.BALANCE)
    rows = found.stretches
    assert [row.first for row in rows[1:]] == [row.last + 1 for row in rows[:-1]]
    assert (rows[0].first, rows[-1].last) == (1, 26)
    assert rows[-1].weeks == f"{rows[-1].first} to 26"
    assert {rise.week for row in rows for rise in row.rises} <= {row.first for row in rows}


def test_weeks_without_room_are_told_from_those_after_a_clearance() -> None:
    weeks = tuple(
        replace(week, posture=None) if week.week in (3, 26) else week for week in STEADY.made.weeks
    )
    found = ramp(weeks, Modality.POSTURE, starts_on=MONDAY)
    assert found is not None
    assert found.absent == (3, 26)
    assert [row.dose for row in found.stretches if row.first in (1, 3)] == ["30", ""]
    ends = MONDAY + dt.timedelta(weeks=10)
    cut = ramp(weeks, Modality.POSTURE, starts_on=MONDAY, until=ends)
    assert cut is not None
    assert (cut.absent, cut.until) == ((3,), (ends, 11))
    # In the week in which it ends her days may lie behind its last one.
    inside = ramp(weeks, Modality.POSTURE, starts_on=MONDAY, until=MONDAY + dt.timedelta(weeks=2))
    assert inside is not None
    assert inside.absent == ()
    long = ramp(weeks, Modality.POSTURE, starts_on=MONDAY, until=MONDAY + dt.timedelta(weeks=99))
    assert long is not None
    assert (long.absent, long.until and long.until[1]) == ((3, 26), 27)
    past = ramp(weeks, Modality.POSTURE, starts_on=MONDAY, until=MONDAY - dt.timedelta(weeks=3))
    assert past is not None
    assert past.until is not None
    assert past.until[1] == 0


def test_what_no_week_holds_has_no_ramp() -> None:
    weeks = tuple(replace(week, plate=None) for week in STEADY.made.weeks)
    assert ramp(weeks, Modality.PLATE, starts_on=MONDAY) is None


def test_the_weeks_before_a_change_lie_behind() -> None:
    found = drawn(Modality.BALANCE, before=STEADY.made.weeks)
    assert found.before == found.values


@pytest.mark.slow
@settings(max_examples=60)
@given(documents)
def test_nothing_that_is_drafted_lies_over_its_ceiling(document: Document) -> None:
    made = Basis.of(facts(document), Resume())
    for modality in made.included:
        found = ramp(made.made.weeks, modality, starts_on=MONDAY, ceiling=ceiling(modality, made))
        if found is not None and found.ceiling is not None:
            held = [value for value in found.values if value is not None]
            assert max(held) <= found.ceiling + 1e-9, (modality, max(held), found.ceiling)
        there = [part_of(week, modality) is not None for week in made.made.weeks]
        assert any(there) == (found is not None)
