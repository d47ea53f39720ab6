"""What a plate is, in words for a clinician."""

from __future__ import annotations

from collections.abc import Iterable

from patients.facts import codes
from patients.facts.declared_plate import Plate
from programs.dose.plate_settings import LOW_MAGNITUDE, Setting

#: The kinds of plate by the name that the trade uses in a sentence.
KINDS = {
    "vertical": "vertical",
    "side_alternating": "side-alternating",
    "low_magnitude": "low-magnitude",
}


def frequency_words(plate: Plate) -> str:
    """Return the frequencies, such as "20 to 50 Hz by 1"; empty where not recorded."""
    span = plate.frequency_hz
    if span is None:
        return ""
    if span.from_hz == span.to_hz:
        return f"{span.from_hz:g} Hz"
    return f"{span.from_hz:g} to {span.to_hz:g} Hz by {span.step_hz:g}"


def motion_words(plate: Plate) -> str:
    """Return what moves how far, or the fixed g; empty where not recorded."""
    if plate.motion == LOW_MAGNITUDE:
        reads = codes.G_READINGS.get(plate.g_reads_as or "", "kind of g not recorded")
        return "" if plate.fixed_g is None else f"{plate.fixed_g:g} g ({reads})"
    if plate.displacement_mm is not None:
        shown = ", ".join(f"{s:g}" for s in plate.displacement_mm.settings)
        return f"{shown} mm ({reading_words(plate)})"
    if plate.tilt_degrees is None or plate.foot_distance_mm is None:
        return ""
    return f"tilt {plate.tilt_degrees:g}°, foot {plate.foot_distance_mm:g} mm from the axis"


def reading_words(plate: Plate) -> str:
    """Return how the displacement on the panel reads."""
    reads = plate.displacement_mm.reads_as if plate.displacement_mm else None
    return "reading not recorded" if reads in (None, "unknown") else str(reads).replace("_", " ")


def settings_in_words(settings: Iterable[Setting], speeds: tuple[float, ...]) -> tuple[str, ...]:
    """Return settings in few words: of each displacement the runs of frequencies.

    speeds: all that the plate has, so that a gap is seen.
    """
    by_travel: dict[float | None, list[Setting]] = {}
    for at in settings:
        by_travel.setdefault(at.displacement_mm, []).append(at)
    return tuple(
        f"{_travel(found[0])}{_runs([at.frequency_hz for at in found], speeds)}"
        for _, found in sorted(by_travel.items(), key=lambda one: one[0] or 0.0)
    )


def _travel(at: Setting) -> str:
    if at.displacement_mm is None:
        return ""
    shown = "" if at.panel is None else f" (panel {at.panel:g})"
    return f"{round(at.displacement_mm, 2):g} mm{shown}: "


def _runs(found: list[float], speeds: tuple[float, ...]) -> str:
    runs: list[list[float]] = []
    for hz in found:
        follows = runs and speeds.index(hz) == speeds.index(runs[-1][-1]) + 1
        if follows:
            runs[-1].append(hz)
        else:
            runs.append([hz])
    return ", ".join(_run(run) for run in runs) + " Hz"


def _run(run: list[float]) -> str:
    return f"{run[0]:g}" if len(run) == 1 else f"{run[0]:g} to {run[-1]:g}"
