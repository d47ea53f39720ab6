"""The plate's dose, week by week: start low, one variable a step, never past a ceiling."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from patients.facts import Plate
from programs.dose.plate_fit import PlateFit, cap_g, choose_plate, fit_plate
from programs.dose.plate_limits import (
    BOUT_S_RUNGS,
    BOUTS_RUNGS,
    DELOAD_WEEKS,
    FIRST_RISE_WEEK,
    LOW_START_MIN,
    LOW_STEP_MIN,
    LOW_TOP_MIN,
    REST_S,
    START_BOUT_S,
    START_BOUTS,
    STEP_HZ,
    STEP_RATIO,
    TILT_HZ_RUNGS,
    TILT_TOP_MM,
    TOP_G,
    TOP_HZ,
    TOP_MM,
    WEEKS_A_STEP,
    within,
)
from programs.dose.plate_settings import (
    LOW_MAGNITUDE,
    VERTICAL,
    Setting,
    Travel,
    frequencies,
    hz_words,
    setting,
    travels,
)
from programs.dose.plate_start import Fit, reading

__all__ = ["Fit", "PlateFit", "PlateStep", "Setting", "choose_plate", "fit_plate", "ramp"]


@dataclass(frozen=True, kw_only=True)
class PlateStep:
    """The plate's session of one week.

    bouts, bout_s, rest_s   None on a low-magnitude plate, which runs without a break
    vibration_min           vibration of one session
    session_min             the same with the rests between bouts
    changed                 what rose against the week before; empty where nothing did
    """

    week: int
    setting: Setting
    bouts: int | None
    bout_s: int | None
    rest_s: int | None
    vibration_min: float
    session_min: float
    changed: str


def ramp(
    fit: PlateFit,
    *,
    fragile: bool,
    start_dose_only: bool,
    weeks: int = 26,
    ceiling_g: float = TOP_G.value,
) -> tuple[PlateStep, ...]:
    """Return one step a week; none for a plate that is not fit.

    fragile: only the bouts rise (minutes on a low-magnitude plate), and no peak passes 1 g.
    start_dose_only: nothing rises in any week.
    """
    if fit.fit is not Fit.FIT or fit.start is None:
        return ()
    step = _first(fit.plate, fit.start)
    cap = cap_g(fragile=fragile, ceiling_g=ceiling_g)
    steps = []
    for week in range(1, weeks + 1):
        step = replace(step, week=week, changed="")
        if rises_in(week) and not start_dose_only:
            step = next(_rises(fit.plate, step, fragile=fragile, cap=cap), step)
        steps.append(step)
    return tuple(steps)


def rises_in(week: int) -> bool:
    """Tell whether a step may be taken in this week of a draft."""
    since = week - int(FIRST_RISE_WEEK.value)
    return since >= 0 and since % WEEKS_A_STEP.value == 0 and week % DELOAD_WEEKS.value != 0


def session_min(bouts: int, bout_s: float, rest_s: float) -> float:
    """Return the minutes of a session, with the rests between its bouts."""
    return (bouts * bout_s + (bouts - 1) * rest_s) / 60


def _first(plate: Plate, start: Setting) -> PlateStep:
    if plate.motion == LOW_MAGNITUDE:
        return PlateStep(
            week=1,
            setting=start,
            bouts=None,
            bout_s=None,
            rest_s=None,
            vibration_min=LOW_START_MIN.value,
            session_min=LOW_START_MIN.value,
            changed="",
        )
    return _bouts(start, int(START_BOUTS.value), int(START_BOUT_S.value))


def _bouts(at: Setting, bouts: int, bout_s: int) -> PlateStep:
    return PlateStep(
        week=1,
        setting=at,
        bouts=bouts,
        bout_s=bout_s,
        rest_s=int(REST_S.value),
        vibration_min=bouts * bout_s / 60,
        session_min=session_min(bouts, bout_s, REST_S.value),
        changed="",
    )


# --- What may rise, in the order in which it rises ----------------------------------------


def _rises(plate: Plate, step: PlateStep, *, fragile: bool, cap: float) -> Iterator[PlateStep]:
    """Yield the steps up from here, the one to take first."""
    if step.bouts is None or step.bout_s is None:
        yield from _longer(step)
        return
    for bout_s in BOUT_S_RUNGS:
        if bout_s > step.bout_s:
            changed = f"bouts from {step.bout_s} to {bout_s} s"
            yield _with_bouts(step, step.bouts, bout_s, changed)
    for bouts in BOUTS_RUNGS:
        if bouts > step.bouts:
            changed = f"from {step.bouts} to {bouts} bouts"
            yield _with_bouts(step, bouts, step.bout_s, changed)
    if not fragile:
        yield from _stronger(plate, step, cap)


def _longer(step: PlateStep) -> Iterator[PlateStep]:
    minutes = step.vibration_min + LOW_STEP_MIN.value
    if minutes <= LOW_TOP_MIN.value:
        changed = f"from {step.vibration_min:g} to {minutes:g} min"
        yield replace(step, vibration_min=minutes, session_min=minutes, changed=changed)


def _with_bouts(step: PlateStep, bouts: int, bout_s: int, changed: str) -> PlateStep:
    return replace(_bouts(step.setting, bouts, bout_s), week=step.week, changed=changed)


def _stronger(plate: Plate, step: PlateStep, cap: float) -> Iterator[PlateStep]:
    for at in (*_faster(plate, step.setting), *_further(plate, step.setting)):
        if allowed_rise(step.setting, at, cap):
            yield replace(step, setting=at, changed=_risen_words(step.setting, at))


def allowed_rise(before: Setting, after: Setting, cap_g: float) -> bool:
    """Tell whether a step keeps its peak within the cap and within half as much again."""
    return within(after.peak_g, min(cap_g, before.peak_g * STEP_RATIO.value))


def _faster(plate: Plate, at: Setting) -> Iterator[Setting]:
    """Yield settings of a higher frequency, the one to try first."""
    travel = Travel(mm=at.displacement_mm or 0.0, panel=at.panel)
    speeds = frequencies(plate.frequency_hz)
    for top_hz in _next_hz(plate, at.frequency_hz):
        for hz in reversed(speeds):
            if at.frequency_hz < hz <= top_hz:
                yield setting(hz, travel)


def _next_hz(plate: Plate, hz: float) -> tuple[float, ...]:
    if plate.motion == VERTICAL:
        return (min(hz + STEP_HZ.value, TOP_HZ.value),)
    return tuple(rung for rung in TILT_HZ_RUNGS if rung > hz)


def _further(plate: Plate, at: Setting) -> Iterator[Setting]:
    """Yield settings of a larger displacement within the ceiling, the plate's next one first."""
    moved = at.displacement_mm or 0.0
    top_mm = TOP_MM.value if plate.motion == VERTICAL else TILT_TOP_MM.value
    for travel in travels(plate, reading(plate)):
        if moved < travel.mm <= top_mm:
            yield setting(at.frequency_hz, travel)


def _risen_words(before: Setting, after: Setting) -> str:
    if after.frequency_hz > before.frequency_hz:
        return f"frequency from {round(before.frequency_hz, 1):g} to {hz_words(after.frequency_hz)}"
    mm = [round(at.displacement_mm or 0.0, 2) for at in (before, after)]
    return f"displacement from {mm[0]:g} to {mm[1]:g} mm peak to peak"
