"""The plate's dose, week by week: start low, one variable a step, never past a ceiling."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import Limit
from programs.dose.plate_fit import PlateFit, choose_plate, fit_plate, only_bouts_rise, top_g
from programs.dose.plate_limits import (
    BOUT_S_RUNGS,
    BOUTS_RUNGS,
    FIRST_RISE_WEEK,
    LOW_START_MIN,
    LOW_STEP_MIN,
    LOW_TOP_MIN,
    REST_S,
    SESSION_MIN,
    SESSION_VIBRATION_MIN,
    START_BOUT_S,
    START_BOUTS,
    STEP_BOUT_S,
    STEP_BOUTS,
    STEP_HZ,
    STEP_RATIO,
    TILT_HZ_RUNGS,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_BOUT_S,
    TOP_BOUTS,
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
    """The plate's session at one place of its ramp.

    bouts, bout_s, rest_s   None on a low-magnitude plate, which runs without a break
    vibration_min           vibration of one session
    session_min             the same with the rests between bouts
    changed                 what rose against the place before; empty where nothing did
    """

    place: int
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
    cap_g: float | None,
    start_dose_only: bool,
    places: int = 26,
    clinic: Clinic = AS_PUBLISHED,
) -> tuple[PlateStep, ...]:
    """Return the places of the ramp; none for a plate that is not fit.

    cap_g   what a fragile person is held to (rulebook row 14): at 1 g only the bouts rise
            (minutes on a low-magnitude plate); None: she is not held
    start_dose_only: nothing rises.
    """
    if fit.fit is not Fit.FIT or fit.start is None:
        return ()
    step = _first(fit.plate, fit.start, clinic)
    top = None if only_bouts_rise(cap_g) else top_g(cap_g, clinic)
    steps = []
    for place in range(1, places + 1):
        step = replace(step, place=place, changed="")
        if rises_at(place, clinic) and not start_dose_only:
            step = next(_rises(fit.plate, step, clinic, cap=top), step)
        steps.append(step)
    return tuple(steps)


def rises_at(place: int, clinic: Clinic = AS_PUBLISHED) -> bool:
    """Tell whether a step may be taken at this place of the ramp."""
    since = place - clinic.whole(FIRST_RISE_WEEK)
    return since >= 0 and since % clinic.whole(WEEKS_A_STEP) == 0


def session_min(bouts: int, bout_s: float, rest_s: float) -> float:
    """Return the minutes of a session, with the rests between its bouts."""
    return (bouts * bout_s + (bouts - 1) * rest_s) / 60


def _first(plate: Plate, start: Setting, clinic: Clinic) -> PlateStep:
    if plate.motion == LOW_MAGNITUDE:
        minutes = clinic.lowest(LOW_START_MIN, LOW_TOP_MIN)
        return PlateStep(
            place=1,
            setting=start,
            bouts=None,
            bout_s=None,
            rest_s=None,
            vibration_min=minutes,
            session_min=minutes,
            changed="",
        )
    bouts, bout_s = (
        int(clinic.lowest(*pair)) for pair in ((START_BOUTS, TOP_BOUTS), (START_BOUT_S, TOP_BOUT_S))
    )
    return _bouts(start, bouts, bout_s, clinic)


def _bouts(at: Setting, bouts: int, bout_s: int, clinic: Clinic) -> PlateStep:
    rest_s = clinic.whole(REST_S)
    return PlateStep(
        place=1,
        setting=at,
        bouts=bouts,
        bout_s=bout_s,
        rest_s=rest_s,
        vibration_min=bouts * bout_s / 60,
        session_min=session_min(bouts, bout_s, rest_s),
        changed="",
    )


# --- What may rise, in the order in which it rises ----------------------------------------


def _rises(
    plate: Plate, step: PlateStep, clinic: Clinic, *, cap: float | None
) -> Iterator[PlateStep]:
    """Yield the steps up from here, the one to take first; without a cap no stronger ones."""
    if step.bouts is None:
        yield from _longer(step, clinic)
        return
    yield from (longer for longer in _more_bouts(step, clinic) if _has_room(longer, clinic))
    if cap is not None:
        yield from _stronger(plate, step, clinic, cap)


def _more_bouts(step: PlateStep, clinic: Clinic) -> Iterator[PlateStep]:
    """Yield longer bouts, then more of them; no step is longer than one may be."""
    assert step.bouts is not None
    assert step.bout_s is not None
    for rung in _rungs(BOUT_S_RUNGS, TOP_BOUT_S, clinic):
        if rung > step.bout_s:
            bout_s = min(int(rung), step.bout_s + clinic.whole(STEP_BOUT_S))
            changed = f"bouts from {step.bout_s} to {bout_s} s"
            yield _with_bouts(step, step.bouts, bout_s, changed, clinic)
    for rung in _rungs(BOUTS_RUNGS, TOP_BOUTS, clinic):
        if rung > step.bouts:
            bouts = min(int(rung), step.bouts + clinic.whole(STEP_BOUTS))
            changed = f"from {step.bouts} to {bouts} bouts"
            yield _with_bouts(step, bouts, step.bout_s, changed, clinic)


def _rungs(rungs: tuple[float, ...], top: Limit, clinic: Clinic) -> tuple[float, ...]:
    """Return the rungs under the ceiling in force, and the ceiling."""
    most = clinic.value(top)
    return (*(rung for rung in rungs if rung < most), most)


def _has_room(step: PlateStep, clinic: Clinic) -> bool:
    vibrating = within(step.vibration_min, clinic.value(SESSION_VIBRATION_MIN))
    return vibrating and within(step.session_min, clinic.value(SESSION_MIN))


def _longer(step: PlateStep, clinic: Clinic) -> Iterator[PlateStep]:
    minutes = step.vibration_min + clinic.value(LOW_STEP_MIN)
    if minutes <= clinic.value(LOW_TOP_MIN):
        changed = f"from {step.vibration_min:g} to {minutes:g} min"
        yield replace(step, vibration_min=minutes, session_min=minutes, changed=changed)


def _with_bouts(
    step: PlateStep, bouts: int, bout_s: int, changed: str, clinic: Clinic
) -> PlateStep:
    return replace(_bouts(step.setting, bouts, bout_s, clinic), place=step.place, changed=changed)


def _stronger(plate: Plate, step: PlateStep, clinic: Clinic, cap: float) -> Iterator[PlateStep]:
    most_g = min(cap, step.setting.peak_g * clinic.value(STEP_RATIO))
    for at in (*_faster(plate, step.setting, clinic), *_further(plate, step.setting, clinic)):
        if within(at.peak_g, most_g):
            yield replace(step, setting=at, changed=_risen_words(step.setting, at))


def _faster(plate: Plate, at: Setting, clinic: Clinic) -> Iterator[Setting]:
    """Yield settings of a higher frequency, the one to try first."""
    travel = Travel(mm=at.displacement_mm or 0.0, panel=at.panel)
    speeds = frequencies(plate.frequency_hz)
    for top_hz in _next_hz(plate, at.frequency_hz, clinic):
        for hz in reversed(speeds):
            if at.frequency_hz < hz <= top_hz:
                yield setting(hz, travel)


def _next_hz(plate: Plate, hz: float, clinic: Clinic) -> tuple[float, ...]:
    if plate.motion == VERTICAL:
        return (min(hz + clinic.value(STEP_HZ), clinic.value(TOP_HZ)),)
    return tuple(rung for rung in _rungs(TILT_HZ_RUNGS, TILT_TOP_HZ, clinic) if rung > hz)


def _further(plate: Plate, at: Setting, clinic: Clinic) -> Iterator[Setting]:
    """Yield settings of a larger displacement within the ceiling, the plate's next one first."""
    moved = at.displacement_mm or 0.0
    top_mm = clinic.value(TOP_MM if plate.motion == VERTICAL else TILT_TOP_MM)
    for travel in travels(plate, reading(plate)):
        if moved < travel.mm <= top_mm:
            yield setting(at.frequency_hz, travel)


def _risen_words(before: Setting, after: Setting) -> str:
    if after.frequency_hz > before.frequency_hz:
        return f"frequency from {round(before.frequency_hz, 1):g} to {hz_words(after.frequency_hz)}"
    mm = [round(at.displacement_mm or 0.0, 2) for at in (before, after)]
    return f"displacement from {mm[0]:g} to {mm[1]:g} mm peak to peak"
