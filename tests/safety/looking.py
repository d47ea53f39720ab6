"""Short ways to ask the screen, for its tests."""

from __future__ import annotations

import datetime as dt
from typing import Any

from safety.findings import Finding, Level, Modality
from safety.screen import Screen, Status, screen
from safety.situation import Situation, situation
from tests.people import AS_OF, steady

TODAY = dt.date.fromisoformat(AS_OF)
PLATE, RESISTANCE, IMPACT, BALANCE, POSTURE = Modality


def days_ago(days: int) -> str:
    return (TODAY - dt.timedelta(days=days)).isoformat()


def screened(**changes: Any) -> Screen:
    """Return the screen of the steady person with these changes."""
    return screen(steady(**changes))


def seen(**changes: Any) -> Situation:
    """Return the situation of the steady person with these changes."""
    return situation(steady(**changes))


def found(code: str, **changes: Any) -> Finding | None:
    """Return what one rule finds in the steady person with these changes."""
    return next((f for f in screened(**changes).findings if f.rule == code), None)


def level(code: str, **changes: Any) -> Level | None:
    """Return the level of what one rule finds; None where it says nothing."""
    finding = found(code, **changes)
    return None if finding is None else finding.level


def statuses(**changes: Any) -> list[Status]:
    """Return the statuses: plate, resistance, impact, balance, posture."""
    seen_by = screened(**changes)
    return [seen_by.status(modality) for modality in Modality]


IN, HOLD, OUT = Status.INCLUDED, Status.ON_HOLD, Status.EXCLUDED
