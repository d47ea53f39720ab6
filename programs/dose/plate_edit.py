"""What a clinician's own dose on the plate passes: every limit, with its source."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from patients.facts import Plate
from programs.dose.plate import PlateStep, session_min
from programs.dose.plate_fit import PlateFit
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
    Limit,
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


@dataclass(frozen=True, kw_only=True)
class Breach:
    """A limit that a dose passes.

    text           what is passed and by what, for a clinician
    overridable    a written reason lets it stand
    """

    name: str
    text: str
    source: str
    overridable: bool


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
    fragile: bool,
    start_dose_only: bool,
    ceiling_g: float = TOP_G.value,
) -> tuple[Breach, ...]:
    """Return every limit that this week's dose passes; none where it may stand as it is.

    earlier: the doses of the weeks before, oldest first; empty for the first week of all.
    """
    if fit.fit is not Fit.FIT or fit.start is None:
        text = " ".join(("The plate may not be used.", *fit.reasons))
        return (Breach(name="fit", text=text, source="common practice", overridable=False),)
    at = _setting_of(fit.plate, dose)
    if at is None:
        return (_no_such_setting(fit.plate, dose),)
    return (
        *_peak(at, fragile, ceiling_g),
        *_range(fit.plate, at),
        *_session(fit.plate, dose),
        *(() if earlier else _start(fit.plate, fit.start, dose)),
        *(_rise(fit.plate, dose, week, earlier, fragile, start_dose_only) if earlier else ()),
    )


def allowed_settings(
    plate: Plate,
    *,
    fragile: bool,
    after: Setting | None = None,
    ceiling_g: float = TOP_G.value,
) -> tuple[Setting, ...]:
    """Return the plate's settings that are within every ceiling, slowest first.

    With `after`, only those that may follow that setting in one step: lower ones, and rises
    of one variable within the step limits. None where the plate's motion is not known.
    """
    found = (at for at in all_settings(plate) if not _ceilings(plate, at, fragile, ceiling_g))
    if after is None:
        return tuple(found)
    return tuple(at for at in found if _may_follow(plate, after, at, fragile))


def _may_follow(plate: Plate, before: Setting, after: Setting, fragile: bool) -> bool:
    faster = after.frequency_hz > before.frequency_hz
    further = _risen_by(before.displacement_mm, after.displacement_mm) > 0
    return not (faster and further) and not any(_strength_rise(plate, before, after, fragile))


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


def _no_such_setting(plate: Plate, dose: PlateDose) -> Breach:
    moved = "" if dose.displacement_mm is None else f" and {dose.displacement_mm:g} mm"
    return Breach(
        name="own_settings",
        text=f"The plate {plate.name!r} has no setting of {dose.frequency_hz:g} Hz{moved}.",
        source="common practice",
        overridable=False,
    )


def _passed(limit: Limit, shown: str, value: float | None = None) -> Breach:
    bound = limit.value if value is None else value
    return Breach(
        name=limit.name,
        text=f"{limit.text} ({bound:g} {limit.unit}): {shown}.",
        source=limit.source,
        overridable=limit.overridable,
    )


# --- Ceilings of a setting ----------------------------------------------------------------


def _ceilings(plate: Plate, at: Setting, fragile: bool, ceiling_g: float) -> tuple[Breach, ...]:
    return (*_peak(at, fragile, ceiling_g), *_range(plate, at))


def _peak(at: Setting, fragile: bool, ceiling_g: float) -> Iterator[Breach]:
    if fragile and not within(at.peak_g, FRAGILE_G.value):
        yield _passed(FRAGILE_G, setting_words(at))
    if not within(at.peak_g, REASONED_TOP_G.value):
        yield _passed(REASONED_TOP_G, setting_words(at))
    elif not within(at.peak_g, ceiling_g):
        yield _passed(TOP_G, setting_words(at), ceiling_g)


def _range(plate: Plate, at: Setting) -> Iterator[Breach]:
    if at.displacement_mm is None:
        return
    vertical = plate.motion == VERTICAL
    top_hz, top_mm = (TOP_HZ, TOP_MM) if vertical else (TILT_TOP_HZ, TILT_TOP_MM)
    if vertical and at.frequency_hz < FLOOR_HZ.value:
        yield _passed(FLOOR_HZ, f"{at.frequency_hz:g} Hz")
    if at.frequency_hz > top_hz.value:
        yield _passed(top_hz, f"{at.frequency_hz:g} Hz")
    if not within(at.displacement_mm, top_mm.value):
        yield _passed(top_mm, f"{at.displacement_mm:g} mm")


# --- Limits of a session and of the start -------------------------------------------------


def _most(*pairs: tuple[Limit, float | None]) -> Iterator[Breach]:
    """Yield a breach for each value, where there is one, above its limit."""
    for limit, value in pairs:
        if value is not None and not within(value, limit.value):
            yield _passed(limit, f"{value:g} {limit.unit}")


def _session(plate: Plate, dose: PlateDose) -> Iterator[Breach]:
    if plate.motion == LOW_MAGNITUDE:
        yield from _most((LOW_TOP_MIN, dose.minutes), (LOW_SESSIONS_A_WEEK, dose.sessions))
        return
    bouts, bout_s, rest_s = dose.bouts or 0, dose.bout_s or 0, dose.rest_s or 0
    yield from _most(
        (TOP_BOUTS, bouts),
        (TOP_BOUT_S, bout_s),
        (SESSION_VIBRATION_MIN, bouts * bout_s / 60),
        (SESSION_MIN, session_min(bouts, bout_s, rest_s)),
        (SESSIONS_A_WEEK, dose.sessions),
    )
    if rest_s < REST_S.value:
        yield _passed(REST_S, f"{rest_s} s")


def _start(plate: Plate, start: Setting, dose: PlateDose) -> Iterator[Breach]:
    if plate.motion == LOW_MAGNITUDE:
        yield from _most((LOW_START_MIN, dose.minutes))
        return
    vertical = plate.motion == VERTICAL
    yield from _most(
        (START_HIGH_MM if vertical else TILT_START_MM, dose.displacement_mm),
        (START_BOUTS, dose.bouts),
        (START_BOUT_S, dose.bout_s),
    )
    if vertical:
        yield from _most((START_HIGH_HZ, dose.frequency_hz))
    elif dose.frequency_hz > start.frequency_hz:
        yield _passed(TILT_START_HZ, f"{dose.frequency_hz:g} Hz; it has {start.frequency_hz:g} Hz")


# --- Limits of a step ---------------------------------------------------------------------


def _rise(
    plate: Plate,
    dose: PlateDose,
    week: int,
    earlier: Sequence[PlateDose],
    fragile: bool,
    start_dose_only: bool,
) -> Iterator[Breach]:
    risen = rises(earlier[-1], dose)
    if not risen:
        return
    shown = ", ".join(risen)
    if len(risen) > RISES_AT_ONCE.value:
        yield _passed(RISES_AT_ONCE, shown)
    if start_dose_only:
        yield _passed(START_DOSE_RISES, shown)
    yield from _too_soon(week, earlier, shown)
    yield from _strength_rise(
        plate, _as_setting(plate, earlier[-1]), _as_setting(plate, dose), fragile
    )
    yield from _most(
        (STEP_BOUTS, _risen_by(earlier[-1].bouts, dose.bouts)),
        (STEP_BOUT_S, _risen_by(earlier[-1].bout_s, dose.bout_s)),
        (LOW_STEP_MIN, _risen_by(earlier[-1].minutes, dose.minutes)),
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


def _too_soon(week: int, earlier: Sequence[PlateDose], shown: str) -> Iterator[Breach]:
    if week < FIRST_RISE_WEEK.value:
        yield _passed(FIRST_RISE_WEEK, f"week {week}, {shown}")
    if week % DELOAD_WEEKS.value == 0:
        yield _passed(DELOAD_WEEKS, f"week {week}, {shown}")
    recent = earlier[-int(WEEKS_A_STEP.value) :]
    if any(rises(was, now) for was, now in pairwise(recent)):
        yield _passed(WEEKS_A_STEP, f"{shown} the week after another rise")


def _as_setting(plate: Plate, dose: PlateDose) -> Setting:
    if dose.displacement_mm is None:
        return _fixed(dose.frequency_hz, fixed_peak_g(plate) or 0.0)
    return setting(dose.frequency_hz, Travel(mm=dose.displacement_mm, panel=None))


def _strength_rise(
    plate: Plate, before: Setting, after: Setting, fragile: bool
) -> Iterator[Breach]:
    """Yield what a rise of frequency or displacement passes."""
    by_hz = after.frequency_hz - before.frequency_hz
    by_mm = _risen_by(before.displacement_mm, after.displacement_mm)
    if fragile and max(by_hz, by_mm) > 0:
        yield _passed(FRAGILE_RISES, f"to {setting_words(after)}")
    if not within(after.peak_g, before.peak_g * STEP_RATIO.value):
        factor = after.peak_g / before.peak_g
        yield _passed(
            STEP_RATIO, f"{before.peak_g:.2f} to {after.peak_g:.2f} g, {factor:.2f} times"
        )
    if plate.motion == VERTICAL and by_hz > STEP_HZ.value:
        yield _passed(STEP_HZ, f"{before.frequency_hz:g} to {after.frequency_hz:g} Hz")
