"""The ramp on a plate, week by week. Limits without a publication are project choices."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patients.facts.declared_plate import FrequencyRange
from programs.dose.plate import ramp, rises_at, session_min
from programs.dose.plate_limits import LIMITS
from tests.programs.own_limits import capped_at
from tests.programs.sample_plates import (
    GENTLE,
    TILTING,
    VERTICAL,
    judge,
    rungs,
    shown,
    span,
    steps_of,
)


def test_the_first_weeks_of_a_vertical_plate() -> None:
    first, second = steps_of(VERTICAL)[:2]
    assert first == replace(second, place=1)
    assert (first.bouts, first.bout_s, first.rest_s) == (4, 30, 60)
    assert (first.vibration_min, first.session_min, first.changed) == (2.0, 5.0, "")


def test_a_vertical_plate_rises_in_the_order_of_the_trade() -> None:
    assert rungs(steps_of(VERTICAL)) == [
        (3, "bouts from 30 to 45 s"),
        (5, "bouts from 45 to 60 s"),
        (7, "from 4 to 6 bouts"),
        (9, "from 6 to 8 bouts"),
        (11, "from 8 to 10 bouts"),
        (13, "frequency from 25 to 30 Hz"),
        (15, "frequency from 30 to 35 Hz"),
        (17, "frequency from 35 to 40 Hz"),
    ]


def test_displacement_rises_where_the_next_setting_is_near_enough() -> None:
    plate = replace(VERTICAL, frequency_hz=span(25, 30, 5), displacement_mm=shown(1.0, 1.4, 2.0))
    assert [c for _, c in rungs(steps_of(plate))][-3:] == [
        "frequency from 25 to 30 Hz",
        "displacement from 1 to 1.4 mm peak to peak",
        "displacement from 1.4 to 2 mm peak to peak",
    ]
    past = replace(plate, displacement_mm=shown(1.0, 1.4, 2.0, 2.6))
    assert steps_of(past, places=40)[-1].setting.displacement_mm == 2.0


@pytest.mark.parametrize(
    "has, last", [(span(25, 45, 2), 39.0), (span(30, 50, 10), 30.0), (span(25, 50, 2.5), 40.0)]
)
def test_frequency_takes_the_largest_step_within_five_hertz(
    has: FrequencyRange, last: float
) -> None:
    plate = replace(VERTICAL, frequency_hz=has, displacement_mm=shown(1.0))
    assert steps_of(plate, places=52)[-1].setting.frequency_hz == last


def test_a_named_step_past_the_ceiling_becomes_the_largest_that_is_not() -> None:
    plate = replace(VERTICAL, displacement_mm=shown(1.5))
    top = steps_of(plate, places=52)[-1].setting
    assert top.frequency_hz == 36.0  # 3.91 g; 37 Hz would be 4.13 g
    assert steps_of(plate, places=52, clinic=capped_at(2.0))[-1].setting.frequency_hz == 25.0


def test_start_dose_only_keeps_every_week_as_the_first() -> None:
    steps = steps_of(VERTICAL, start_dose_only=True)
    assert len(steps) == 26
    assert rungs(steps) == []
    assert {replace(step, place=1) for step in steps} == {steps[0]}


def test_a_plate_that_is_not_fit_has_no_ramp() -> None:
    judged = judge(VERTICAL, fragile=True, watched=None)
    assert judged.start is not None
    assert ramp(judged, cap_g=1.0, start_dose_only=False) == ()


def test_a_rise_comes_at_every_second_place_from_the_third() -> None:
    """Row 13: every second week, first rise in week 3; steady weeks are the draft's (row 25)."""
    assert [place for place in range(1, 14) if rises_at(place)] == [3, 5, 7, 9, 11, 13]


def test_rests_lie_between_the_bouts() -> None:
    assert session_min(4, 30, 60) == 5.0
    assert session_min(10, 60, 60) == 19.0


def test_only_the_bouts_rise_for_a_fragile_person() -> None:
    steps = steps_of(VERTICAL, fragile=True)
    assert {step.setting for step in steps} == {steps[0].setting}
    assert rungs(steps) == [
        (3, "bouts from 30 to 45 s"),
        (5, "bouts from 45 to 60 s"),
        (7, "from 4 to 6 bouts"),
        (9, "from 6 to 8 bouts"),
        (11, "from 8 to 10 bouts"),
    ]
    assert len(rungs(steps_of(GENTLE, fragile=True))) == 5
    # 30 Hz and 0.5 mm would still be within 1 g, and is not gone to.
    small = replace(VERTICAL, displacement_mm=shown(0.5))
    assert {step.setting.frequency_hz for step in steps_of(small, fragile=True)} == {25.0}


def test_under_a_lifted_cap_the_ramp_goes_on_and_no_step_passes_it() -> None:
    """Row 14: 1.5 and 2 g end at 27 and 31 Hz of 1 mm (1.47 and 1.93 g; 28 and 32 pass them)."""
    for cap_g, last in ((1.5, 27.0), (2.0, 31.0), (None, 40.0)):
        steps = steps_of(VERTICAL, fragile=True, cap_g=cap_g, places=40)
        assert steps[-1].setting.frequency_hz == last
        assert steps[-1].bouts == 10
    tilted = steps_of(TILTING, fragile=True, cap_g=1.5, places=40)
    assert tilted[-1].setting.peak_g <= 1.5
    assert tilted[-1].setting.frequency_hz > tilted[0].setting.frequency_hz


def test_a_lifted_cap_still_starts_as_row_12_says() -> None:
    """25 Hz and 1 mm are 1.26 g: within 1.5 g, so nothing slower is looked for."""
    assert steps_of(VERTICAL, fragile=True, cap_g=1.5)[0].setting.frequency_hz == 25.0
    assert steps_of(VERTICAL, fragile=True, cap_g=1.0)[0].setting.frequency_hz == 22.0


def test_an_unknown_reading_that_is_safe_ramps_on_the_doubled_travel() -> None:
    unknown = replace(VERTICAL, displacement_mm=shown(0.5, 0.7, reads_as=None))
    doubled = replace(VERTICAL, displacement_mm=shown(0.5, 0.7, reads_as="zero_to_peak"))
    assert steps_of(unknown) == steps_of(doubled)
    assert steps_of(unknown)[0].setting.panel == 0.5


def test_side_alternating_frequency_goes_by_its_named_stations() -> None:
    fine = replace(TILTING, frequency_hz=span(5, 30, 0.5), displacement_mm=shown(2.0, 3.0, 5.0))
    named = [step.setting.frequency_hz for step in steps_of(fine) if "frequency" in step.changed]
    assert named == [15.0, 17.5, 20.0]
    whole = [s.setting.frequency_hz for s in steps_of(TILTING) if "frequency" in s.changed]
    # 12 to 15 Hz would be 1.56 times the peak; 17.5 Hz is not to be had.
    assert whole == [14.0, 15.0, 17.0, 20.0]


def test_side_alternating_displacement_comes_last_and_exactly_half_more_is_allowed() -> None:
    steps = steps_of(TILTING)
    assert rungs(steps)[-1] == (21, "displacement from 2 to 3 mm peak to peak")
    assert steps[-1].setting.displacement_mm == 3.0  # 5 mm would be 1.67 times the peak
    before, after = steps[19].setting, steps[20].setting
    assert after.peak_g == pytest.approx(1.5 * before.peak_g)


def test_low_magnitude_minutes_rise_by_two_to_twenty() -> None:
    steps = steps_of(GENTLE)
    assert [steps[w - 1].vibration_min for w in (1, 2, 3, 4, 5, 7, 9, 11, 26)] == [
        *(10, 10, 12, 12, 14, 16, 18, 20, 20)
    ]
    assert all(step.session_min == step.vibration_min for step in steps)
    assert {(s.bouts, s.bout_s, s.rest_s) for s in steps} == {(None, None, None)}


def test_every_limit_is_named_once_with_unit_and_source() -> None:
    names = [limit.name for limit in LIMITS]
    assert len(set(names)) == len(names)
    assert all(limit.text and limit.unit and limit.source for limit in LIMITS)
    assert [limit.name for limit in LIMITS if limit.judgement is not None] == ["top_g"]
