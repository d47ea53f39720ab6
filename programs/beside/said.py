"""What she may say of a kind of loading, in codes and words; it is told beside it and no more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

AGREES, REFUSES, NOTHING = "agrees", "refuses", "nothing"
#: "nothing" takes an earlier answer back: it was entered in error, or she wants to think.
SAID: Mapping[str, str] = MappingProxyType(
    {
        AGREES: "agrees to it",
        REFUSES: "does not want it",
        NOTHING: "neither: what was said before no longer applies",
    }
)


@dataclass(frozen=True, kw_only=True)
class Said:
    """What holds of one kind of loading today.

    words      hers, as they were written down; may be empty where she agrees
    asked_by   who asked, as it was told
    """

    said: str
    words: str
    on: date
    asked_by: str

    @property
    def refuses(self) -> bool:
        """Tell whether she does not want it."""
        return self.said == REFUSES

    @property
    def text(self) -> str:
        """Return it as Plan and Sign say it beside the kind."""
        words = f": “{self.words}”" if self.words else ""
        day = f"{self.on.day} {self.on:%b %Y}"
        return f"{SAID[self.said].capitalize()}{words}. Asked by {self.asked_by} on {day}."
