"""The limits in force at a clinic: the rulebook's, but for those the clinic has set."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from programs.dose.limit import Limit, Range


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One limit as the clinic has set it: its code, the value, who set it, when and why."""

    name: str
    value: float
    by: str
    on: dt.date
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Clinic:
    """What a clinic has set, by the limits' codes. Drafter and edit check ask here."""

    settings: Mapping[str, Setting] = field(default_factory=dict)

    def value(self, limit: Limit) -> float:
        """Return the value in force of a limit."""
        own = self.settings.get(limit.code)
        return limit.value if own is None else own.value

    def whole(self, limit: Limit) -> int:
        """Return the value in force of a limit that is counted."""
        return int(self.value(limit))

    def lowest(self, *limits: Limit) -> float:
        """Return the value that keeps within each of these."""
        return min(map(self.value, limits))

    def highest(self, *limits: Limit) -> float:
        """Return the value that comes up to each of these."""
        return max(map(self.value, limits))

    def in_force(self, limit: Limit) -> Limit:
        """Return a limit of the tables with the value in force here, in the clinic's words."""
        value = self.value(limit)
        if limit.clinic is None or value == limit.value:
            return limit
        return limit.set_to(value, set_words(limit, limit.clinic, value))


def set_words(limit: Limit, span: Range, value: float) -> str:
    """Return a limit that a clinic may set with a value, in words."""
    least = "at least" if limit.floor else "at most"
    return f"{span.text}: {least} {value:g} {span.unit or limit.unit}"


#: As the rulebook has them: nothing set.
AS_PUBLISHED = Clinic()
