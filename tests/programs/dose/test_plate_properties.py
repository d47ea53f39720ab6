"""Properties of fit and ramp over plates at random."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from patients.facts.declared_plate import FrequencyRange, Plate
from programs.dose.in_force import Clinic
from programs.dose.limit import DRAFT_WEEKS
from programs.dose.plate import Fit, PlateStep, ramp
from programs.dose.plate_edit import all_settings, check_step, dose_of
from programs.dose.plate_limits import LIMITS
from programs.dose.vibration import peak_g
from programs.draft import rises
from programs.draft.rises import by_calendar
from tests.programs.own_limits import capped_at, setting
from tests.programs.sample_plates import VERTICAL, held, judge, shown, span

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
@given(some_plates, st.sampled_from([None, 1.0, 1.5, 2.0]), st.sampled_from([4.0, 4.0, 2.0, 0.8]))
def test_no_ramp_of_any_plate_passes_a_limit(
    plate: Plate, cap_g: float | None, ceiling_g: float
) -> None:
    here = capped_at(ceiling_g)
    fit = judge(plate, fragile=cap_g is not None, cap_g=cap_g, clinic=here)
    event(f"{plate.motion} {fit.fit}")
    steps = ramp(fit, cap_g=cap_g, start_dose_only=False, places=40, clinic=here)
    assert (fit.fit is Fit.FIT) == bool(steps)
    has = set(all_settings(plate))
    doses = [dose_of(step, 3) for step in steps]
    for number, step in enumerate(steps):
        assert step.setting in has
        assert step.setting.peak_g <= min(cap_g or ceiling_g, ceiling_g) + 1e-9
        assert step.vibration_min <= (20 if plate.motion == "low_magnitude" else 15)
        assert step.session_min <= 30
        if step.setting.displacement_mm is not None:
            top_hz, top_mm = (40, 2.5) if plate.motion == "vertical" else (20, 5)
            assert step.setting.frequency_hz <= top_hz
            assert step.setting.displacement_mm <= top_mm
        assert not check_step(
            doses[number],
            fit=fit,
            week=step.place,
            earlier=doses[:number],
            cap_g=cap_g,
            start_dose_only=False,
            clinic=here,
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
        steps = ramp(fit, cap_g=held(fragile), start_dose_only=False)
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


#: Values under the rulebook's, for limits that no clinic may set today as for those that it may.
TIGHTER: dict[str, list[float]] = {
    "plate.top_g": [0.8, 2.0, 3.3],
    "plate.fragile_g": [0.5, 0.9],
    "plate.vertical_top_hz": [27, 33],
    "plate.vertical_floor_hz": [22, 26],
    "plate.vertical_top_mm": [0.8, 1.2, 2.0],
    "plate.vertical_start_high_mm": [1.1, 1.3],
    "plate.vertical_step_hz": [1, 3],
    "plate.tilting_top_hz": [12, 16],
    "plate.tilting_top_mm": [2.0, 4.0],
    "plate.step_ratio": [1.1, 1.3],
    "plate.start_bouts": [2, 3],
    "plate.top_bouts": [3, 5, 7],
    "plate.start_bout_s": [15, 20],
    "plate.top_bout_s": [25, 40, 50],
    "plate.step_bouts": [1],
    "plate.step_bout_s": [5, 10],
    "plate.rest_s": [75, 90],
    "plate.session_vibration_min": [3, 5],
    "plate.session_min": [8, 12],
    "plate.first_rise_week": [5, 6],
    "plate.low_magnitude_g": [0.4, 0.9],
    "plate.low_magnitude_start_min": [5, 8],
    "plate.low_magnitude_top_min": [6, 12],
    "plate.low_magnitude_step_min": [1],
}
SOME_TIGHTER = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from(values) for name, values in TIGHTER.items()}
)


@pytest.mark.slow
@settings(max_examples=1000, deadline=None)
@given(some_plates, st.booleans(), SOME_TIGHTER)
def test_no_ramp_passes_a_limit_that_is_set_tighter(
    plate: Plate, fragile: bool, values: dict[str, float]
) -> None:
    """Whatever row is given a clinic's range, draft and check already ask what is in force.

    The places are laid over the weeks as a draft does, so that a rise due in a steady week waits.
    """
    here = Clinic(settings={name: setting(name, value) for name, value in values.items()})
    fit = judge(plate, fragile=fragile, clinic=here)
    cap_g = held(fragile, here)
    places = ramp(fit, cap_g=cap_g, start_dose_only=False, places=40, clinic=here)
    weeks = by_calendar(places, rises.dose_of)
    doses = [dose_of(step, 3) for step in weeks if step is not None]
    assert len(doses) == (DRAFT_WEEKS if places else 0)
    for number, dose in enumerate(doses):
        assert not check_step(
            dose,
            fit=fit,
            week=number + 1,
            earlier=doses[:number],
            cap_g=cap_g,
            start_dose_only=False,
            clinic=here,
        )


def test_the_tighter_values_are_of_limits_there_are_and_tighter() -> None:
    known = {limit.code: limit for limit in LIMITS}
    for name, values in TIGHTER.items():
        limit = known[name]
        assert all((v > limit.value) == limit.floor and v != limit.value for v in values)
