"""What an action on the record may answer instead of writing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from patients.models.patient import Patient


class Duplicate(Exception):
    """The person may be on record already; `matches` are the patients to look at."""

    def __init__(self, matches: Sequence[Patient]) -> None:
        super().__init__("The person may be on record already.")
        self.matches = tuple(matches)


class Conflict(Exception):
    """Somebody else saved the same part meanwhile; carries both sides and what stands now."""

    def __init__(self, *, mine: Mapping[str, Any], theirs: Mapping[str, Any], now: Any) -> None:
        super().__init__("This was changed in the meantime.")
        self.mine, self.theirs, self.now = mine, theirs, now


class Refused(Exception):
    """The action would break a rule of the record."""
