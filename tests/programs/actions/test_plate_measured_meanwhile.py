"""A plate measured while a program runs on it: what was done is read as it really moved."""
# Rulebook row 17.

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients.facts.declared import Facts
from patients.facts.document import write_part
from patients.rows_to_facts import facts_of
from programs.draft.draft import draft
from programs.plates.measured_motion import Measurement, for_a_list, known_plate
from programs.signed.snapshot import program_in
from programs.week.plate_as_moved import as_moved
from programs.week.week import PlateWeek
from safety.findings import Modality
from tests.people import steady
from tests.programs import reviews
from tests.programs.reviews import after, answer, held, log_weeks, seen, signed

#: Three weeks ill after week 8.
DONE, ILL = 8, 3
LOWER = "Today's ramp is another, and lower than what was done."
NO_PLACE = "No place of today's ramp is within what was done: from place 1 of it."


def measured(facts: Facts, hz: float, mm: float) -> Facts:
    """Return what is known once the plate was measured at 25 Hz and 1 mm of its panel."""
    assert facts.resources is not None
    (plate,) = facts.resources.plates or ()
    found = Measurement(on=dt.date(2026, 2, 20), load_kg=58, set_hz=25.0, set_mm=1.0, hz=hz, mm=mm)
    now = for_a_list(known_plate(plate, (found,)))
    assert now is not None
    return replace(facts, resources=replace(facts.resources, plates=(now,)))


def first_week(facts: Facts) -> PlateWeek:
    part = draft(facts).weeks[0].plate
    assert part is not None
    return part


def test_a_week_is_read_by_what_its_panel_showed() -> None:
    told, now = first_week(steady()), measured(steady(), 21.0, 1.1)
    assert (told.frequency_hz, told.setting, told.peak_g) == (25, 1.0, 1.26)
    moved = as_moved(told, now)
    assert isinstance(moved, PlateWeek)
    assert (moved.frequency_hz, moved.displacement_mm, moved.peak_g) == (21.0, 1.1, 0.98)
    assert (moved.shown_hz, moved.setting, moved.bouts) == (25, 1.0, told.bouts)
    # Measured once more, what an earlier measurement had told gives way.
    assert as_moved(moved, measured(steady(), 25.0, 1.0)).peak_g == 1.26  # type: ignore[union-attr]
    assert as_moved(told, steady()) == told
    assert as_moved(replace(told, plate="another"), now) == replace(told, plate="another")
    assert as_moved(replace(told, setting=3.0), now) == replace(told, setting=3.0)
    lifting = draft(steady()).weeks[0].resistance
    assert lifting is not None
    assert as_moved(lifting, now) == lifting


@pytest.mark.parametrize(
    ("hz", "mm", "told"),
    # She did 0.82, 0.98, 1.26 and 2.21 g where her paper said 1.26.
    [(22.5, 0.8, NO_PLACE), (21.0, 1.1, NO_PLACE), (25.0, 1.0, ""), (28.0, 1.4, LOWER)],
)
def test_after_three_weeks_of_illness(clinician: User, hz: float, mm: float, told: str) -> None:
    row = signed(clinician)
    log_weeks(row, clinician, *range(1, DONE + 1))
    now = measured(facts_of(row.patient, reviews.DAY), hz, mm)
    assert now.resources is not None
    (plate,) = now.resources.plates or ()
    part: dict[str, Any] = {"resources": {"plates": [write_part(plate)]}}
    answer(row.patient, "plates", part, clinician, after(DONE))
    of = seen(row, DONE + ILL)
    (proposed,) = (one for one in of.proposal.modalities if one.modality is Modality.PLATE)
    said = [ground.text for ground in proposed.grounds]
    assert [text for text in said if text in (LOWER, NO_PLACE)] == ([told] if told else [])
    done = program_in(row.body).weeks[DONE - 1].plate
    assert done is not None
    really = as_moved(done, now)
    assert isinstance(really, PlateWeek)
    plan = held(row, clinician, DONE + ILL, of=of).next_plan
    assert plan is not None
    plan.refresh_from_db()
    starts = plan.weeks[0]["plate"]
    if told != NO_PLACE:
        assert starts["peak_g"] <= really.peak_g
        assert starts["frequency_hz"] <= really.frequency_hz
    assert starts["bouts"] <= done.bouts  # type: ignore[operator]
