"""Measured beats nominal: what a plate does when someone has measured it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from patients.facts.declared_plate import Plate
from programs.dose.plate_settings import as_shown, frequencies, travels
from programs.dose.vibration import peak_g
from programs.plates.measured_motion import (
    NOT_MEASURED,
    KnownPlate,
    Measurement,
    for_a_list,
    known_plate,
    problem,
    strength,
)
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL, judge, shown, span

ON = dt.date(2026, 2, 10)
TILT_ONLY = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)
UNREAD = replace(VERTICAL, displacement_mm=shown(1.0, 2.0, reads_as=None))


def found(set_hz: float = 30, set_mm: float | None = 1.0, **more: float) -> Measurement:
    return Measurement(on=ON, load_kg=68, set_hz=set_hz, set_mm=set_mm, **more)


def test_peak_from_travel_and_from_g() -> None:
    """The formula's check value: 30 Hz and 2 mm peak to peak give 3.623 g."""
    assert found(mm=2.0).peak_g == pytest.approx(3.623, abs=5e-4)
    by_g = found(g=3.623)
    assert by_g.true_mm == pytest.approx(2.0, abs=1e-3)
    assert by_g.peak_g == pytest.approx(3.623)
    assert found(hz=27, mm=2.0).peak_g == pytest.approx(peak_g(27, 2.0))


def test_where_g_and_travel_disagree_the_larger_motion_counts() -> None:
    assert found(mm=2.0, g=1.0).true_mm == 2.0
    assert found(mm=0.2, g=3.623).true_mm == pytest.approx(2.0, abs=1e-3)


def test_only_a_frequency_gives_no_peak_of_its_own() -> None:
    assert found(hz=33).true_mm is None
    assert found(hz=33).peak_g is None


@pytest.mark.parametrize(
    "plate, measured, field",
    [
        (VERTICAL, found(), "g"),
        (VERTICAL, found(set_hz=30.5, g=1), "set_hz"),
        (VERTICAL, found(set_mm=3, g=1), "set_mm"),
        (VERTICAL, found(set_mm=None, g=1), "set_mm"),
        (VERTICAL, found(g=1), None),
        (replace(VERTICAL, frequency_hz=None, displacement_mm=None), found(set_hz=7, g=1), None),
        (GENTLE, found(set_hz=30, set_mm=None, g=0.3), None),
    ],
)
def test_a_measurement_belongs_to_a_setting_of_the_plate(
    plate: Plate, measured: Measurement, field: str | None
) -> None:
    wrong = problem(plate, measured)
    assert (wrong and wrong[0]) == field
    assert problem(VERTICAL, found()) == ("g", NOT_MEASURED)


def test_strength_against_the_panel() -> None:
    nominal = peak_g(30, 1.0)
    assert strength(VERTICAL, found(g=nominal * 1.1)) == pytest.approx(1.1)
    assert strength(VERTICAL, found(hz=33)) == pytest.approx(1.21)
    assert strength(GENTLE, found(set_mm=None, g=0.36)) == pytest.approx(1.2)
    assert strength(VERTICAL, found(set_mm=9, g=1)) is None
    assert strength(replace(GENTLE, fixed_g=None), found(set_mm=None, g=0.3)) is None


def test_an_unmeasured_plate_is_as_its_panel_says() -> None:
    known = known_plate(VERTICAL)
    assert known.plate == VERTICAL == known.nominal
    assert not known.is_measured
    assert known.shown_hz(30.0) == 30.0


def test_measured_travel_settles_an_unknown_reading() -> None:
    """A panel that shows 1 while the plate travels 1.9 mm is read from zero to peak."""
    known = known_plate(UNREAD, (found(mm=1.9),))
    moved = known.plate.displacement_mm
    assert moved is not None
    assert moved.settings == (1.9, 3.8)
    assert moved.reads_as == "peak_to_peak"
    fit = judge(UNREAD)
    assert any("not known" in reason for reason in fit.reasons)
    assert not any("not known" in reason for reason in judge(known.plate).reasons)


def test_the_panel_still_shows_its_own_numbers() -> None:
    known = known_plate(VERTICAL, (found(hz=27, mm=1.2),))
    assert known.plate.frequency_hz == span(18, 45, 0.9)
    assert known.shown_hz(27.0) == 30.0
    assert known.shown_hz(45.0) == 50.0
    start = judge(known.plate).start
    assert start is not None
    assert start.frequency_hz == pytest.approx(25.2)
    assert start.panel == 1.0
    assert known.shown_hz(start.frequency_hz) == 28.0
    assert as_shown(known.plate) == VERTICAL


def test_no_frequency_is_lost_by_rounding() -> None:
    for hz in (29.1, 28.33, 31.7, 35.0):
        known = known_plate(VERTICAL, (found(hz=hz, mm=1.0),))
        speeds = frequencies(known.plate.frequency_hz)
        assert [known.shown_hz(one) for one in speeds] == [float(n) for n in range(20, 51)]


def test_of_two_measurements_of_a_setting_the_stronger_counts() -> None:
    known = known_plate(VERTICAL, (found(mm=1.1), found(mm=1.3), found(set_mm=2.0, mm=2.1)))
    # 4 was not measured and goes by the largest ratio, 1.3.
    assert panel_of(known) == {1.3: 1.0, 2.1: 2.0, 5.2: 4.0}


def panel_of(known: KnownPlate) -> dict[float, float | None]:
    return {move.mm: move.panel for move in travels(known.plate, "peak_to_peak")}


def test_no_setting_is_taken_to_move_less_than_a_lower_one() -> None:
    """And each keeps its own number on the panel, where two were measured alike."""
    known = known_plate(VERTICAL, (found(mm=1.5), found(set_mm=2.0, mm=1.5)))
    assert panel_of(known) == {1.5: 1.0, 1.501: 2.0, 6.0: 4.0}
    lower = known_plate(VERTICAL, (found(mm=2.2), found(set_mm=2.0, mm=2.1)))
    assert panel_of(lower) == {2.2: 1.0, 2.201: 2.0, 8.8: 4.0}


def test_a_setting_that_ran_faster_than_the_mean_is_held_by_its_peak() -> None:
    """At 40 Hz it ran 44: with 40 at the mean of the two, 42, its travel alone would tell less."""
    slow = found(set_hz=30, hz=30.0, mm=1.0)
    fast = found(set_hz=40, hz=44.0, mm=1.0)
    known = known_plate(VERTICAL, (slow, fast))
    moves = known.plate.displacement_mm
    assert moves is not None
    assert known.shown_hz(42.0) == 40.0
    assert peak_g(42.0, moves.settings[0]) >= peak_g(44.0, 1.0) - 0.01


def test_a_plate_without_frequencies_keeps_none() -> None:
    known = known_plate(replace(VERTICAL, frequency_hz=None), (found(hz=33, mm=1.0),))
    assert known.plate.frequency_hz is None
    assert known.shown_hz(33.0) == 33.0


def test_where_only_the_frequency_was_measured_the_travel_is_the_panels() -> None:
    known = known_plate(VERTICAL, (found(hz=33),))
    assert known.plate.frequency_hz == span(22, 55, 1.1)
    assert known.plate.displacement_mm == VERTICAL.displacement_mm
    assert known.plate.panel is not None
    assert known.plate.panel.displacement_mm is None
    assert as_shown(known.plate) == VERTICAL


def test_low_magnitude_takes_the_measured_g() -> None:
    known = known_plate(GENTLE, (found(set_mm=None, g=0.35), found(set_mm=None, g=0.31)))
    assert (known.plate.fixed_g, known.plate.g_reads_as) == (0.35, "peak")
    assert known_plate(GENTLE, (found(set_mm=None, hz=30),)).plate.fixed_g == 0.3
    strong = judge(known_plate(GENTLE, (found(set_mm=None, g=1.0),)).plate)
    assert strong.fit == "not_fit"


def test_a_tilt_follows_the_travel_that_was_measured() -> None:
    """Tilt 1.19 degrees at 60 mm gives 2.5 mm by the geometry."""
    known = known_plate(TILT_ONLY, (found(set_hz=12, set_mm=None, mm=5.0),))
    assert known.plate.tilt_degrees == pytest.approx(2.39, abs=0.01)
    only_hz = known_plate(TILT_ONLY, (found(set_hz=12, set_mm=None, hz=12),))
    assert only_hz.plate.tilt_degrees == 1.19


def test_on_a_list_of_hers_a_plate_stands_as_it_moves() -> None:
    assert for_a_list(known_plate(VERTICAL)) == VERTICAL
    above = for_a_list(known_plate(VERTICAL, (found(hz=33, mm=1.5),)))
    assert above is not None
    assert above.displacement_mm == shown(1.5, 3.0, 6.0)
    assert above.frequency_hz == span(22, 55, 1.1)
    assert above.panel is not None
    assert above.panel.measured_on == ON
    assert above.panel.frequency_hz == VERTICAL.frequency_hz
    assert above.panel.displacement_mm == (1.0, 2.0, 4.0)
    # It is judged on her list as it was in the register.
    again = known_plate(above)
    assert again.plate == above
    assert again.nominal == as_shown(above)
    assert again.nominal.frequency_hz == VERTICAL.frequency_hz


def test_a_fine_step_that_was_measured_smaller_still_goes_on_a_list() -> None:
    fine = replace(VERTICAL, frequency_hz=span(20, 40, 0.1))
    listed = for_a_list(known_plate(fine, (found(hz=24.9, mm=1.0),)))
    assert listed is not None
    assert listed.frequency_hz == span(16.6, 33.2, 0.083)


def test_what_no_plate_does_goes_on_no_list() -> None:
    assert for_a_list(known_plate(VERTICAL, (found(mm=30.0),))) is None


def test_g_and_tilt_are_listed_as_measured() -> None:
    gentle = for_a_list(known_plate(GENTLE, (found(set_mm=None, g=0.35),)))
    assert gentle is not None
    assert gentle.fixed_g == 0.35
    tilting = for_a_list(known_plate(TILT_ONLY, (found(set_hz=12, set_mm=None, mm=5.0),)))
    assert tilting is not None
    assert tilting.tilt_degrees == pytest.approx(2.39, abs=0.01)
