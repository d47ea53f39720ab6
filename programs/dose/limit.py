"""A limit of a dose: one value in one place, with its unit and source."""

from __future__ import annotations

from dataclasses import dataclass

#: Deload: in every fourth week nothing rises (rulebook row 25).
DELOAD_EVERY_WEEKS = 4
DRAFT_WEEKS = 26


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One limit, by a name of its own.

    judgement   the value that a clinician may go to with a written reason; None: to none
    """

    name: str
    value: float
    unit: str
    text: str
    source: tuple[str, ...]
    judgement: float | None = None


def is_deload(week: int) -> bool:
    """Tell whether nothing rises in this week."""
    return week % DELOAD_EVERY_WEEKS == 0
