"""The record of the first, watched session on the plate: what was set, what was checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from programs.handout.doses import seconds_words
from programs.handout.plate_page import rounds_words
from programs.handout.said import ENGLISH

BEFORE = (
    "Name and date of birth asked for.",
    "New pain, fall, illness or medicine since the plan was signed: none.",
    "Blood pressure at rest measured.",
    "Body weight under the plate's load limit.",
    "Shoes flat, nothing loose, floor dry, rail firm.",
    "Stop button shown and tried.",
)
DURING = (
    "Panel shows the settings above.",
    "Knees bent 20 to 30 degrees and kept so.",
    "Hands on the rail as planned.",
    "Head still: no shaking seen or felt.",
    "Breathes and talks with ease.",
)
AFTER = (
    "No dizziness on stepping off; sat down for 2 minutes.",
    "No pain, or pain of 0 to 3 points.",
    "Skin of feet and legs looked at where feeling is poor.",
    "Repeats in own words when to stop and whom to call.",
    "Whoever will watch at home was shown how.",
)
#: Written down by hand, with a unit.
MEASURED = ("Blood pressure before, mmHg", "Blood pressure after, mmHg", "Pain, 0 to 10 points")


@dataclass(frozen=True, kw_only=True)
class PlateSession:
    """What the record says; settings holds names and values of the first week with a plate."""

    settings: tuple[tuple[str, str], ...]
    posture: str
    before: tuple[str, ...] = BEFORE
    during: tuple[str, ...] = DURING
    after: tuple[str, ...] = AFTER
    measured: tuple[str, ...] = MEASURED


def plate_session(snapshot: Mapping[str, Any]) -> PlateSession | None:
    """Return the record to fill in, or None where the program holds no plate."""
    held = [week for week in snapshot["weeks"] if week["plate"]]
    if not held:
        return None
    part = held[0]["plate"]
    return PlateSession(settings=_settings(part), posture=part["posture"])


def _settings(part: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    moved, panel = part["displacement_mm"], part["setting"]
    return (
        ("Plate", part["plate"]),
        ("Frequency", f"{part['frequency_hz']:g} Hz"),
        ("Number on the panel", "none" if panel is None else f"{panel:g}"),
        ("Displacement", "fixed" if moved is None else f"{moved:g} mm peak to peak"),
        ("Peak acceleration", f"{part['peak_g']:g} g"),
        ("Time", rounds_words(part, ENGLISH)),
        ("Vibration in all", seconds_words(part["vibration_min"])),
    )
