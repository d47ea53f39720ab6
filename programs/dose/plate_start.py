"""The setting that a plate starts on, or why it has none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate_limits import (
    FLOOR_HZ,
    LOW_MAGNITUDE_G,
    LOW_START_HZ,
    START_HIGH_HZ,
    START_HIGH_MM,
    START_LOW_HZ,
    START_LOW_MM,
    TILT_START_HZ,
    TILT_START_MM,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_HZ,
    TOP_MM,
    within,
)
from programs.dose.plate_settings import (
    LOW_MAGNITUDE,
    VERTICAL,
    Setting,
    Travel,
    fixed_peak_g,
    frequencies,
    mm_words,
    setting,
    setting_words,
    travels,
)
from programs.dose.vibration import PEAK_TO_PEAK, ZERO_TO_PEAK, foot_distance_for_mm


class Fit(StrEnum):
    """Whether a plate may be used, best first."""

    FIT = "fit"
    ON_HOLD = "on_hold"
    NOT_FIT = "not_fit"


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What one question about a plate came to, with the setting where it gives one."""

    fit: Fit
    reasons: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    start: Setting | None = None


def on_hold(said: str, asked: tuple[tuple[object, str], ...]) -> Verdict:
    """Return a hold that names what is not known: of each pair, those whose value is None."""
    missing = tuple(what for value, what in asked if value is None)
    return Verdict(fit=Fit.ON_HOLD, reasons=(f"{said}: {' and '.join(missing)}.",), missing=missing)


def not_fit(*reasons: str) -> Verdict:
    """Return a refusal with its reasons."""
    return Verdict(fit=Fit.NOT_FIT, reasons=reasons)


READING_QUESTION = (
    "whether the displacement on the panel is peak to peak (the whole travel) or zero to peak "
    "(half of it)"
)
_UNKNOWN_MOTION = "What the plate does is not known"
_FREQUENCIES = "the frequencies the plate has"


def reading(plate: Plate) -> str:
    """Return how the displacement is taken to read: unknown means the larger motion."""
    if plate.displacement_mm is None:
        return PEAK_TO_PEAK
    return plate.displacement_mm.reads_as or ZERO_TO_PEAK


def start_on(plate: Plate, cap_g: float, clinic: Clinic = AS_PUBLISHED) -> Verdict:
    """Return the setting a plate starts on, its peak within a cap in g, or why there is none."""
    if plate.motion == LOW_MAGNITUDE:
        return _low_magnitude(plate, cap_g, clinic)
    if plate.displacement_mm is None or plate.displacement_mm.reads_as is not None:
        return _read_as(plate, reading(plate), cap_g, clinic)
    return _of_unknown_reading(plate, cap_g, clinic)


def _of_unknown_reading(plate: Plate, cap_g: float, clinic: Clinic) -> Verdict:
    doubled = _read_as(plate, ZERO_TO_PEAK, cap_g, clinic)
    if doubled.fit is not Fit.NOT_FIT:
        said = "How the panel reads is not known; taken as zero to peak, the larger motion."
        return replace(
            doubled,
            reasons=(said, *doubled.reasons),
            missing=(READING_QUESTION, *doubled.missing),
        )
    as_shown = _read_as(plate, PEAK_TO_PEAK, cap_g, clinic)
    if as_shown.fit is Fit.NOT_FIT:
        return as_shown
    said = "Fit only if the panel reads peak to peak, and how it reads is not known."
    return Verdict(
        fit=Fit.ON_HOLD,
        reasons=(said, *doubled.reasons),
        missing=(READING_QUESTION, *as_shown.missing),
    )


def _read_as(plate: Plate, reads_as: str, cap_g: float, clinic: Clinic) -> Verdict:
    speeds, moves = frequencies(plate.frequency_hz), travels(plate, reads_as)
    vertical = plate.motion == VERTICAL
    speed = _vertical_speed(speeds, clinic) if vertical else _tilting_speed(speeds, clinic)
    move = _vertical_move(moves, clinic) if vertical else _tilting_move(moves, clinic)
    wrong = (*_no_speed(plate, speeds, speed, clinic), *_no_move(plate, moves, move, clinic))
    if wrong:
        return not_fit(*wrong)
    if speed is None or move is None:
        return on_hold(_UNKNOWN_MOTION, ((speed, _FREQUENCIES), (move, _move_question(plate))))
    floor_hz = clinic.value(FLOOR_HZ) if vertical else 0.0
    slower = [hz for hz in speeds if floor_hz <= hz <= speed]
    found = _within_cap(setting(speed, move), slower, moves[0], cap_g)
    if found is None:
        return not_fit(_too_strong(setting(slower[0], moves[0]), cap_g))
    return _starts(found)


def _starts(at: Setting) -> Verdict:
    return Verdict(fit=Fit.FIT, reasons=(f"Starts at {setting_words(at)}.",), start=at)


def _start_hz(clinic: Clinic) -> tuple[float, float]:
    """Return the frequencies between which a vertical plate starts, in Hz."""
    return clinic.highest(START_LOW_HZ, FLOOR_HZ), clinic.lowest(START_HIGH_HZ, TOP_HZ)


def _most_mm(vertical: bool, clinic: Clinic) -> float:
    """Return the largest displacement of a start, in mm peak to peak."""
    if vertical:
        return clinic.lowest(START_HIGH_MM, TOP_MM)
    return clinic.lowest(TILT_START_MM, TILT_TOP_MM)


def _vertical_speed(speeds: tuple[float, ...], clinic: Clinic) -> float | None:
    low, high = _start_hz(clinic)
    return min((hz for hz in speeds if low <= hz <= high), default=None)


def _vertical_move(moves: tuple[Travel, ...], clinic: Clinic) -> Travel | None:
    """Return the smallest in the start window, else the largest below it."""
    low, most = clinic.value(START_LOW_MM), _most_mm(True, clinic)
    window = (move for move in moves if low <= move.mm <= most)
    below = (move for move in reversed(moves) if move.mm < min(low, most))
    return next(window, None) or next(below, None)


def _tilting_speed(speeds: tuple[float, ...], clinic: Clinic) -> float | None:
    slow = (hz for hz in speeds if hz <= clinic.value(TILT_TOP_HZ))
    # Lowest first, so that a tie takes the lower.
    return min(slow, key=lambda hz: abs(hz - clinic.value(TILT_START_HZ)), default=None)


def _tilting_move(moves: tuple[Travel, ...], clinic: Clinic) -> Travel | None:
    gentle = (move for move in moves if within(move.mm, _most_mm(False, clinic)))
    return next(gentle, None)


def _within_cap(
    usual: Setting, slower: list[float], smallest: Travel, cap_g: float
) -> Setting | None:
    """Return the usual start, or within the cap the fastest at the smallest displacement."""
    if within(usual.peak_g, cap_g):
        return usual
    gentle = (setting(hz, smallest) for hz in reversed(slower))
    return next((at for at in gentle if within(at.peak_g, cap_g)), None)


# --- Why it has no start ------------------------------------------------------------------


def _move_question(plate: Plate) -> str:
    if plate.motion == VERTICAL:
        return "its displacement settings"
    return "its displacement settings, or its tilt and the distance of the feet from the axis"


def _no_speed(
    plate: Plate, speeds: tuple[float, ...], found: float | None, clinic: Clinic
) -> tuple[str, ...]:
    if found is not None or not speeds:
        return ()
    low, high = _start_hz(clinic)
    wanted = (
        f"from {low:g} to {high:g} Hz"
        if plate.motion == VERTICAL
        else f"at or under {clinic.value(TILT_TOP_HZ):g} Hz"
    )
    return (f"No frequency {wanted} to start on: it has {_span_words(speeds)}.",)


def _span_words(speeds: tuple[float, ...]) -> str:
    if len(speeds) == 1:
        return f"only {speeds[0]:g} Hz"
    return f"{speeds[0]:g} to {speeds[-1]:g} Hz in steps of {speeds[1] - speeds[0]:g}"


def _no_move(
    plate: Plate, moves: tuple[Travel, ...], found: Travel | None, clinic: Clinic
) -> tuple[str, ...]:
    if found is not None or not moves:
        return ()
    most = _most_mm(plate.motion == VERTICAL, clinic)
    return (
        f"Moves too far to start on: its smallest displacement is {mm_words(moves[0].mm)}, "
        f"and the start is at most {most:g} mm.{_narrower(plate, most)}",
    )


def _narrower(plate: Plate, most_mm: float) -> str:
    if plate.displacement_mm is not None or plate.tilt_degrees is None:
        return ""
    distance = int(foot_distance_for_mm(most_mm, plate.tilt_degrees))
    return f" With the feet {distance} mm from the axis it would be within that."


def _too_strong(gentlest: Setting, cap_g: float) -> str:
    return (
        f"Too strong: its gentlest start is {setting_words(gentlest)}, "
        f"and the most for this person is {cap_g:g} g."
    )


# --- Low magnitude ------------------------------------------------------------------------


def _low_magnitude(plate: Plate, cap_g: float, clinic: Clinic) -> Verdict:
    speeds, peak = frequencies(plate.frequency_hz), fixed_peak_g(plate)
    below_g = clinic.value(LOW_MAGNITUDE_G)
    if peak is not None and peak >= below_g:
        most = f"below {below_g:g} g"
        return not_fit(f"Not a low-magnitude plate: its peak is {peak:g} g, which is not {most}.")
    if peak is not None and not within(peak, cap_g):
        return not_fit(f"Too strong: its peak is {peak:g} g, and the most is {cap_g:g} g.")
    if peak is None or not speeds:
        asked = ((speeds or None, _FREQUENCIES), (peak, "its acceleration in g"))
        return on_hold(_UNKNOWN_MOTION, asked)
    speed = min((hz for hz in speeds if hz >= clinic.value(LOW_START_HZ)), default=speeds[-1])
    return _starts(Setting(frequency_hz=speed, displacement_mm=None, panel=None, peak_g=peak))
