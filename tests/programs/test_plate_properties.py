"""Properties of fit and ramp over plates at random."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from patients.facts import FrequencyRange, Plate
from programs.dose.plate import Fit, PlateStep, ramp
from programs.dose.plate_edit import all_settings, check_step, dose_of
from programs.plate import peak_g
from tests.programs.plates import VERTICAL, judge, shown, span

some_settings = st.lists(
    st.one_of(st.integers(1, 15), st.integers(1, 60)).map(lambda tenths: tenths / 10),
    min_size=1,
    max_size=6,
).map(tuple)
some_spans = st.builds(
    lambda low, more, step: span(low, low + more, step),
    st.one_of(st.sampled_from([5.0, 12.5, 20.0, 25.0]), st.integers(2, 64).map(lambda n: n / 2)),
    st.one_of(st.integers(15, 45), st.integers(0, 45)),
    st.sampled_from([0.1, 0.5, 1.0, 2.0, 2.5, 5.0, 10.0]),
)
some_displacements = st.builds(
    lambda mm, reads_as: shown(*mm, reads_as=reads_as),
    some_settings,
    st.sampled_from(["peak_to_peak", "zero_to_peak", None]),
)
some_plates = st.builds(
    Plate,
    name=st.just("any"),
    motion=st.sampled_from(["vertical", "vertical", "side_alternating", "low_magnitude"]),
    frequency_hz=some_spans,
    displacement_mm=st.one_of(some_displacements, some_displacements, st.none()),
    fixed_g=st.sampled_from([None, 0.2, 0.3, 0.95, 1.0, 2.5]),
    g_reads_as=st.sampled_from([None, "peak", "peak_to_peak"]),
    foot_distance_mm=st.sampled_from([None, 60, 120]),
    tilt_degrees=st.sampled_from([None, 0.5, 1.2]),
    rail=st.just(True),
    load_limit_kg=st.just(120.0),
)


@pytest.mark.slow
@settings(max_examples=1000, deadline=None)
@given(some_plates, st.booleans(), st.sampled_from([4.0, 4.0, 2.0, 0.8]))
def test_no_ramp_of_any_plate_passes_a_limit(plate: Plate, fragile: bool, ceiling_g: float) -> None:
    fit = judge(plate, fragile=fragile, ceiling_g=ceiling_g)
    event(f"{plate.motion} {fit.fit}")
    steps = ramp(fit, fragile=fragile, start_dose_only=False, weeks=40, ceiling_g=ceiling_g)
    assert (fit.fit is Fit.FIT) == bool(steps)
    has = set(all_settings(plate))
    doses = [dose_of(step, 3) for step in steps]
    for number, step in enumerate(steps):
        assert step.setting in has
        assert step.setting.peak_g <= (min(1.0, ceiling_g) if fragile else ceiling_g) + 1e-9
        assert step.vibration_min <= (20 if plate.motion == "low_magnitude" else 15)
        assert step.session_min <= 30
        if step.setting.displacement_mm is not None:
            top_hz, top_mm = (40, 2.5) if plate.motion == "vertical" else (20, 5)
            assert step.setting.frequency_hz <= top_hz
            assert step.setting.displacement_mm <= top_mm
        assert not check_step(
            doses[number],
            fit=fit,
            week=step.week,
            earlier=doses[:number],
            fragile=fragile,
            start_dose_only=False,
            ceiling_g=ceiling_g,
        )
    for before, after in pairwise(steps):
        assert after.setting.peak_g <= before.setting.peak_g * 1.5 + 1e-9
        assert changes(before, after) <= 1
        assert bool(after.changed) == (changes(before, after) == 1)
        assert after.vibration_min >= before.vibration_min
        assert after.setting.peak_g >= before.setting.peak_g


def changes(before: PlateStep, after: PlateStep) -> int:
    def variables(step: PlateStep) -> tuple[object, ...]:
        minutes = step.vibration_min if step.bouts is None else None
        at = step.setting
        return at.frequency_hz, at.displacement_mm, step.bouts, step.bout_s, step.rest_s, minutes

    return sum(a != b for a, b in zip(variables(before), variables(after), strict=True))


@pytest.mark.slow
@settings(max_examples=1000, deadline=None)
@given(some_plates, st.booleans())
def test_a_plate_without_a_low_start_is_refused_with_a_reason(plate: Plate, fragile: bool) -> None:
    fit = judge(plate, fragile=fragile)
    assert bool(fit.reasons)
    if fit.fit is not Fit.FIT:
        assert fit.start is None
    if fit.fit is Fit.ON_HOLD:
        assert fit.missing
    if fit.start is not None and plate.motion == "vertical":
        assert fit.start.peak_g <= peak_g(30, 1.5) + 1e-9
        assert fit.start.frequency_hz >= 20
    if fragile and fit.start is not None:
        assert fit.start.peak_g <= 1.0 + 1e-9


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(some_settings, some_spans, st.sampled_from(["vertical", "side_alternating"]), st.booleans())
def test_one_millimetre_zero_to_peak_is_two_peak_to_peak_everywhere(
    mm: tuple[float, ...], has: FrequencyRange, motion: str, fragile: bool
) -> None:
    def found(reads_as: str, factor: float) -> list[object]:
        display = shown(*(factor * m for m in mm), reads_as=reads_as)
        plate = replace(VERTICAL, motion=motion, frequency_hz=has, displacement_mm=display)
        fit = judge(plate, fragile=fragile)
        steps = ramp(fit, fragile=fragile, start_dose_only=False)
        bare = [replace(s, setting=replace(s.setting, panel=None)) for s in steps]
        return [fit.fit, fit.reasons, fit.missing, bare]

    assert found("zero_to_peak", 1) == found("peak_to_peak", 2)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(some_plates, st.booleans())
def test_knowing_less_never_makes_a_plate_fitter(plate: Plate, fragile: bool) -> None:
    order = list(Fit)
    known = order.index(judge(plate, fragile=fragile).fit)
    for less in (
        replace(plate, rail=None),
        replace(plate, load_limit_kg=None),
        replace(plate, frequency_hz=None, displacement_mm=None, fixed_g=None, tilt_degrees=None),
    ):
        now = order.index(judge(less, fragile=fragile).fit)
        assert now >= min(known, order.index(Fit.ON_HOLD))
