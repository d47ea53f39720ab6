"""What the log tells beside the rules: near-falls, days of illness, breaks that these explain.

For whoever reviews; no rule of the rulebook asks for it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from patients.facts.in_words import day_text
from programs.review.adherence import Gap, Session
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Beside:
    """Near-falls and illness in words, each a sentence; none where nothing of it is told."""

    near_falls: str
    ill: str
    breaks: tuple[str, ...]


def told_beside(entries: Iterable[Session], gaps: Mapping[Modality, Sequence[Gap]]) -> Beside:
    """Return what entries tell of near-falls and illness, and the breaks in which she was ill."""
    held = list(entries)
    near = sorted({one.on for one in held if one.near_fall})
    ill = sorted({one.on for one in held if one.ill})
    found = (_break(kind, gap, ill) for kind, of_kind in gaps.items() for gap in of_kind)
    return Beside(
        near_falls=_days("Near-falls, no fall", near),
        ill=_days("Ill", ill),
        breaks=tuple(text for text in found if text),
    )


def _days(head: str, days: Sequence[dt.date]) -> str:
    if not days:
        return ""
    spans = (_span(first, last) for first, last in _runs(days))
    count = f"{len(days)} day{'s' if len(days) > 1 else ''}"
    return f"{head}: {count} ({', '.join(spans)})."


def _runs(days: Sequence[dt.date]) -> list[tuple[dt.date, dt.date]]:
    """Return the first and last day of each run of days without one between."""
    runs: list[tuple[dt.date, dt.date]] = []
    for day in days:
        if runs and (day - runs[-1][1]).days == 1:
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return runs


def _span(first: dt.date, last: dt.date) -> str:
    return day_text(first) if first == last else f"{day_text(first)} to {day_text(last)}"


def _break(kind: Modality, gap: Gap, ill: Sequence[dt.date]) -> str:
    within = [day for day in ill if gap.since <= day <= gap.until]
    if not within:
        return ""
    days = f"{gap.days} day{'s' if gap.days != 1 else ''}"
    named = f"{kind.capitalize()}: break of {days} from {day_text(gap.since)}"
    return f"{named}, ill on {len(within)} of them."
