"""The record of the first, watched session on the plate: what was set, what was checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from programs.handout.doses import seconds_words
from programs.handout.numbers import number_words
from programs.handout.plate_page import pieces, rounds_words, stand_words
from programs.handout.said import Words, gettext_noop

BEFORE = (
    gettext_noop("Name and date of birth asked for."),
    gettext_noop("New pain, fall, illness or medicine since the plan was signed: none."),
    gettext_noop("Blood pressure at rest measured."),
    gettext_noop("Body weight under the plate's load limit."),
    gettext_noop("Shoes flat, nothing loose, floor dry, rail firm."),
    gettext_noop("Stop button shown and tried."),
)
DURING = (
    gettext_noop("Panel shows the settings above."),
    gettext_noop("Hands on the rail as planned."),
    gettext_noop("Head still: no shaking seen or felt."),
    gettext_noop("Breathes and talks with ease."),
)
#: Looked at during the session, by what the plan says of the knees.
KNEES: Mapping[str, str] = {
    "knees bent 20 to 30 degrees, never locked": gettext_noop(
        "Knees bent 20 to 30 degrees and kept so."
    ),
    "knees soft, never locked": gettext_noop("Upright, knees soft and kept so."),
}
_AS_ABOVE = gettext_noop("Stands as written above.")
AFTER = (
    gettext_noop("No dizziness on stepping off; sat down for 2 minutes."),
    gettext_noop("No pain, or pain of 0 to 3 points."),
    gettext_noop("Skin of feet and legs looked at where feeling is poor."),
    gettext_noop("Repeats in own words when to stop and whom to call."),
    gettext_noop("Whoever will watch at home was shown how."),
)
#: Written down by hand, with a unit.
MEASURED = (
    gettext_noop("Blood pressure before, mmHg"),
    gettext_noop("Blood pressure after, mmHg"),
    gettext_noop("Pain, 0 to 10 points"),
)


@dataclass(frozen=True, kw_only=True)
class PlateSession:
    """What the record says; settings holds names and values of the first week with a plate."""

    settings: tuple[tuple[str, str], ...]
    posture: tuple[str, ...]
    before: tuple[str, ...]
    during: tuple[str, ...]
    after: tuple[str, ...]
    measured: tuple[str, ...]


def plate_session(snapshot: Mapping[str, Any], words: Words) -> PlateSession | None:
    """Return the record to fill in, or None where the program holds no plate."""
    held = [week for week in snapshot["weeks"] if week["plate"]]
    if not held:
        return None
    part = held[0]["plate"]
    return PlateSession(
        settings=_settings(part, words),
        posture=stand_words([part], words),
        before=_told(BEFORE, words),
        during=_told((DURING[0], _stance(part), *DURING[1:]), words),
        after=_told(AFTER, words),
        measured=_told(MEASURED, words),
    )


def _stance(part: Mapping[str, Any]) -> str:
    return next((KNEES[piece] for piece in pieces(part) if piece in KNEES), _AS_ABOVE)


def _told(texts: Sequence[str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(text) for text in texts)


def _settings(part: Mapping[str, Any], words: Words) -> tuple[tuple[str, str], ...]:
    panel = part["setting"]
    shown = words.gettext("none") if panel is None else number_words(panel, words)
    return (
        (words.gettext("Plate"), part["plate"]),
        (words.gettext("Frequency"), f"{number_words(part['frequency_hz'], words)} Hz"),
        (words.gettext("Number on the panel"), shown),
        (words.gettext("Displacement"), _moved(part["displacement_mm"], words)),
        (words.gettext("Peak acceleration"), f"{number_words(part['peak_g'], words)} g"),
        (words.gettext("Time"), rounds_words(part, words)),
        (words.gettext("Vibration in all"), seconds_words(part["vibration_min"])),
    )


def _moved(moved_mm: float | None, words: Words) -> str:
    if moved_mm is None:
        return words.gettext("fixed")
    return words.gettext("{moved} mm peak to peak").format(moved=number_words(moved_mm, words))
