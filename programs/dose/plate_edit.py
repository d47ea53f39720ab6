"""What a clinician's own dose on the plate passes: every limit, with its source."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import Breach, Limit
from programs.dose.plate import PlateStep, session_min
from programs.dose.plate_fit import PlateFit, only_bouts_rise
from programs.dose.plate_limits import (
    DELOAD_WEEKS,
    FIRST_RISE_WEEK,
    FLOOR_HZ,
    FRAGILE_G,
    FRAGILE_RISES,
    LOW_SESSIONS_A_WEEK,
    LOW_START_MIN,
    LOW_STEP_MIN,
    LOW_TOP_MIN,
    REASONED_TOP_G,
    REST_S,
    RISES_AT_ONCE,
    SESSION_MIN,
    SESSION_VIBRATION_MIN,
    SESSIONS_A_WEEK,
    START_BOUT_S,
    START_BOUTS,
    START_DOSE_RISES,
    START_HIGH_HZ,
    START_HIGH_MM,
    STEP_BOUT_S,
    STEP_BOUTS,
    STEP_HZ,
    STEP_RATIO,
    TILT_START_HZ,
    TILT_START_MM,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_BOUT_S,
    TOP_BOUTS,
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
    fixed_peak_g,
    frequencies,
    setting,
    setting_words,
    travels,
)
from programs.dose.plate_start import Fit, reading
from safety.findings import Modality
from safety.sources import SOURCES


@dataclass(frozen=True, kw_only=True)
class PlateDose:
    """One week on the plate as a clinician may write it.

    displacement_mm           peak to peak; None on a low-magnitude plate
    bouts, bout_s, rest_s     None on a low-magnitude plate
    minutes                   vibration of one session on a low-magnitude plate, else None
    """

    frequency_hz: float
    displacement_mm: float | None
    bouts: int | None
    bout_s: int | None
    rest_s: int | None
    minutes: float | None
    sessions: int


#: A limit, as it is in force, the value that passes it, and that in words.
Passed = tuple[Limit, float, str]


def dose_of(step: PlateStep, sessions: int) -> PlateDose:
    """Return a drafted week as a dose that may be edited."""
    return PlateDose(
        frequency_hz=step.setting.frequency_hz,
        displacement_mm=step.setting.displacement_mm,
        bouts=step.bouts,
        bout_s=step.bout_s,
        rest_s=step.rest_s,
        minutes=step.vibration_min if step.bouts is None else None,
        sessions=sessions,
    )


def check_step(
    dose: PlateDose,
    *,
    fit: PlateFit,
    week: int,
    earlier: Sequence[PlateDose],
    cap_g: float | None,
    start_dose_only: bool,
    done: int = 0,
    clinic: Clinic = AS_PUBLISHED,
) -> tuple[Breach, ...]:
    """Return every limit that this week's dose passes; none where it may stand as it is.

    earlier   the doses of the weeks before, oldest first; empty for the first week of all
    cap_g     what a fragile person is held to (rulebook row 14); None: she is not held
    done      weeks of the ramp that were behind her before the first week
    """
    if fit.fit is not Fit.FIT or fit.start is None:
        text = " ".join(("The plate may not be used.", *fit.reasons))
        return (_impossible("fit", text, week=week),)
    at = _setting_of(fit.plate, dose)
    if at is None:
        return (_no_such_setting(fit.plate, dose, week),)
    if earlier:
        at_week = (week, week + done)
        risen = _rise(fit.plate, dose, at_week, earlier, cap_g, start_dose_only, clinic)
    else:
        risen = _start(fit.plate, fit.start, dose, clinic)
    passed = (
        *_ceilings(fit.plate, at, cap_g, clinic),
        *_session(fit.plate, dose, clinic),
        *risen,
    )
    return tuple(
        limit.breach(shown, about=Modality.PLATE, week=week, judgement=limit.stands(value))
        for limit, value, shown in passed
    )


def allowed_settings(
    plate: Plate,
    *,
    cap_g: float | None,
    after: Setting | None = None,
    clinic: Clinic = AS_PUBLISHED,
) -> tuple[Setting, ...]:
    """Return the plate's settings that are within every ceiling, slowest first.

    With `after`, only those that may follow that setting in one step: lower ones, and rises
    of one variable within the step limits. None where the plate's motion is not known.
    """
    found = (at for at in all_settings(plate) if not any(_ceilings(plate, at, cap_g, clinic)))
    if after is None:
        return tuple(found)
    return tuple(at for at in found if _may_follow(plate, after, at, cap_g, clinic))


def _may_follow(
    plate: Plate, before: Setting, after: Setting, cap_g: float | None, clinic: Clinic
) -> bool:
    faster = after.frequency_hz > before.frequency_hz
    further = _risen_by(before.displacement_mm, after.displacement_mm) > 0
    return not (faster and further) and not any(_strength_rise(plate, before, after, cap_g, clinic))


def all_settings(plate: Plate) -> tuple[Setting, ...]:
    """Return every setting the plate has, slowest first; an unknown reading is doubled."""
    speeds = frequencies(plate.frequency_hz)
    return tuple(at for hz in speeds for at in _settings_at(plate, hz))


def _settings_at(plate: Plate, hz: float) -> Iterator[Setting]:
    if plate.motion != LOW_MAGNITUDE:
        yield from (setting(hz, travel) for travel in travels(plate, reading(plate)))
        return
    peak = fixed_peak_g(plate)
    if peak is not None:
        yield _fixed(hz, peak)


def _fixed(hz: float, peak: float) -> Setting:
    return Setting(frequency_hz=hz, displacement_mm=None, panel=None, peak_g=peak)


def _setting_of(plate: Plate, dose: PlateDose) -> Setting | None:
    """Return the plate's own setting of a dose, or None where it has none like it."""
    speeds = [hz for hz in frequencies(plate.frequency_hz) if math.isclose(hz, dose.frequency_hz)]
    at_speed = (at for hz in speeds for at in _settings_at(plate, hz))
    return next((at for at in at_speed if _same_mm(at.displacement_mm, dose.displacement_mm)), None)


def _same_mm(a: float | None, b: float | None) -> bool:
    """Tell whether two displacements are one to a hundredth of a millimetre."""
    if a is None or b is None:
        return a is b
    return round(a, 2) == round(b, 2)


def _no_such_setting(plate: Plate, dose: PlateDose, week: int) -> Breach:
    moved = "" if dose.displacement_mm is None else f" and {dose.displacement_mm:g} mm"
    text = f"The plate {plate.name!r} has no setting of {dose.frequency_hz:g} Hz{moved}."
    return _impossible("own_settings", text, week=week, beside=".frequency_hz")


def _impossible(name: str, text: str, *, week: int, beside: str = "") -> Breach:
    return Breach(
        path=f"{Modality.PLATE}{beside}",
        week=week,
        name=name,
        text=text,
        source=SOURCES["common"].title,
        judgement=False,
    )


# --- Ceilings of a setting ----------------------------------------------------------------


def _ceilings(plate: Plate, at: Setting, cap_g: float | None, clinic: Clinic) -> Iterator[Passed]:
    yield from _peak(at, cap_g, clinic)
    if at.displacement_mm is None:
        return
    vertical = plate.motion == VERTICAL
    top_hz, top_mm = (TOP_HZ, TOP_MM) if vertical else (TILT_TOP_HZ, TILT_TOP_MM)
    hz_shown, mm_shown = f"{at.frequency_hz:g} Hz", f"{at.displacement_mm:g} mm"
    if vertical and at.frequency_hz < clinic.value(FLOOR_HZ):
        yield clinic.in_force(FLOOR_HZ), at.frequency_hz, hz_shown
    if at.frequency_hz > clinic.value(top_hz):
        yield clinic.in_force(top_hz), at.frequency_hz, hz_shown
    yield from _past(clinic, top_mm, at.displacement_mm, mm_shown)


def _peak(at: Setting, cap_g: float | None, clinic: Clinic) -> Iterator[Passed]:
    shown = setting_words(at)
    if cap_g is not None and not within(at.peak_g, cap_g):
        yield replace(FRAGILE_G, value=cap_g), at.peak_g, shown
    top = TOP_G if within(at.peak_g, clinic.value(REASONED_TOP_G)) else REASONED_TOP_G
    yield from _past(clinic, top, at.peak_g, shown)


def _past(clinic: Clinic, limit: Limit, value: float, shown: str) -> Iterator[Passed]:
    if not within(value, clinic.value(limit)):
        yield clinic.in_force(limit), value, shown


# --- Limits of a session and of the start -------------------------------------------------


def _most(clinic: Clinic, *pairs: tuple[Limit, float | None]) -> Iterator[Passed]:
    """Yield each limit whose value is above it; what a plate does not have is nothing."""
    for limit, value in pairs:
        held = value or 0
        yield from _past(clinic, limit, held, f"{held:g} {limit.unit}")


def _session(plate: Plate, dose: PlateDose, clinic: Clinic) -> Iterator[Passed]:
    if plate.motion == LOW_MAGNITUDE:
        yield from _most(clinic, (LOW_TOP_MIN, dose.minutes), (LOW_SESSIONS_A_WEEK, dose.sessions))
        return
    bouts, bout_s, rest_s = dose.bouts or 0, dose.bout_s or 0, dose.rest_s or 0
    yield from _most(
        clinic,
        (TOP_BOUTS, bouts),
        (TOP_BOUT_S, bout_s),
        (SESSION_VIBRATION_MIN, bouts * bout_s / 60),
        (SESSION_MIN, session_min(bouts, bout_s, rest_s)),
        (SESSIONS_A_WEEK, dose.sessions),
    )
    if rest_s < clinic.value(REST_S):
        yield clinic.in_force(REST_S), rest_s, f"{rest_s} s"


def _start(plate: Plate, start: Setting, dose: PlateDose, clinic: Clinic) -> Iterator[Passed]:
    if plate.motion == LOW_MAGNITUDE:
        yield from _most(clinic, (LOW_START_MIN, dose.minutes))
        return
    vertical = plate.motion == VERTICAL
    yield from _most(
        clinic,
        (START_HIGH_MM if vertical else TILT_START_MM, dose.displacement_mm),
        (START_BOUTS, dose.bouts),
        (START_BOUT_S, dose.bout_s),
    )
    if vertical:
        yield from _most(clinic, (START_HIGH_HZ, dose.frequency_hz))
    elif dose.frequency_hz > start.frequency_hz:
        has = f"{dose.frequency_hz:g} Hz; it has {start.frequency_hz:g} Hz"
        yield clinic.in_force(TILT_START_HZ), dose.frequency_hz, has


# --- Limits of a step ---------------------------------------------------------------------


def _rise(
    plate: Plate,
    dose: PlateDose,
    at_week: tuple[int, int],
    earlier: Sequence[PlateDose],
    cap_g: float | None,
    start_dose_only: bool,
    clinic: Clinic,
) -> Iterator[Passed]:
    before = earlier[-1]
    risen = rises(before, dose)
    if not risen:
        return
    shown = ", ".join(risen)
    yield from _past(clinic, RISES_AT_ONCE, len(risen), shown)
    if start_dose_only:
        yield clinic.in_force(START_DOSE_RISES), len(risen), shown
    yield from _too_soon(at_week, earlier, shown, clinic)
    was, now = _as_setting(plate, before), _as_setting(plate, dose)
    yield from _strength_rise(plate, was, now, cap_g, clinic)
    yield from _most(
        clinic,
        (STEP_BOUTS, _risen_by(before.bouts, dose.bouts)),
        (STEP_BOUT_S, _risen_by(before.bout_s, dose.bout_s)),
        (LOW_STEP_MIN, _risen_by(before.minutes, dose.minutes)),
    )


def rises(before: PlateDose, after: PlateDose) -> tuple[str, ...]:
    """Return the variables that rose, in words; a shorter rest is a rise."""
    pairs = (
        ("frequency", before.frequency_hz, after.frequency_hz),
        ("displacement", before.displacement_mm, after.displacement_mm),
        ("bouts", before.bouts, after.bouts),
        ("bout length", before.bout_s, after.bout_s),
        ("minutes", before.minutes, after.minutes),
        ("shorter rest", after.rest_s, before.rest_s),
    )
    return tuple(name for name, was, now in pairs if _risen_by(was, now) > 0)


def _risen_by(before: float | None, after: float | None) -> float:
    return 0 if before is None or after is None else after - before


def _too_soon(
    at_week: tuple[int, int], earlier: Sequence[PlateDose], shown: str, clinic: Clinic
) -> Iterator[Passed]:
    """Yield where a rise comes too soon: by the week of the draft, and by that of the ramp."""
    week, of_ramp = at_week
    if of_ramp < clinic.value(FIRST_RISE_WEEK):
        yield clinic.in_force(FIRST_RISE_WEEK), of_ramp, f"week {of_ramp}, {shown}"
    if week % clinic.whole(DELOAD_WEEKS) == 0:
        yield clinic.in_force(DELOAD_WEEKS), week, f"week {week}, {shown}"
    recent = earlier[-clinic.whole(WEEKS_A_STEP) :]
    if any(rises(was, now) for was, now in pairwise(recent)):
        yield clinic.in_force(WEEKS_A_STEP), 1, f"{shown} the week after another rise"


def _as_setting(plate: Plate, dose: PlateDose) -> Setting:
    if dose.displacement_mm is None:
        return _fixed(dose.frequency_hz, fixed_peak_g(plate) or 0.0)
    return setting(dose.frequency_hz, Travel(mm=dose.displacement_mm, panel=None))


def _strength_rise(
    plate: Plate, before: Setting, after: Setting, cap_g: float | None, clinic: Clinic
) -> Iterator[Passed]:
    """Yield what a rise of frequency or displacement passes."""
    by_hz = after.frequency_hz - before.frequency_hz
    by_mm = _risen_by(before.displacement_mm, after.displacement_mm)
    if only_bouts_rise(cap_g) and max(by_hz, by_mm) > 0:
        yield clinic.in_force(FRAGILE_RISES), 1, f"to {setting_words(after)}"
    if not within(after.peak_g, before.peak_g * clinic.value(STEP_RATIO)):
        factor = after.peak_g / before.peak_g
        shown = f"{before.peak_g:.2f} to {after.peak_g:.2f} g, {factor:.2f} times"
        yield clinic.in_force(STEP_RATIO), factor, shown
    if plate.motion == VERTICAL and by_hz > clinic.value(STEP_HZ):
        shown = f"{before.frequency_hz:g} to {after.frequency_hz:g} Hz"
        yield clinic.in_force(STEP_HZ), by_hz, shown
