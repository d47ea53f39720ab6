"""Every limit of every dose, laid out for reading; the tables themselves stay where they are."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from programs.dose import balance, impact, plate_limits, posture, resistance, rises
from programs.dose.limit import Limit

#: Every limit there is, by the name of its table.
TABLES: Mapping[str, tuple[Limit, ...]] = {
    "Vibration plate": plate_limits.LIMITS,
    "Resistance": tuple(resistance.LIMITS.values()),
    "Impact": tuple(impact.LIMITS.values()),
    "Balance": tuple(balance.LIMITS.values()),
    "Posture": tuple(posture.LIMITS.values()),
    "Rises of a clinician's own dose": tuple(rises.LIMITS.values()),
}


@dataclass(frozen=True, kw_only=True)
class LimitRow:
    """One limit in words.

    judged   how far a clinician may go with a written reason; empty: no further
    """

    text: str
    value: str
    source: str
    judged: str


@dataclass(frozen=True, kw_only=True)
class LimitTable:
    """The limits of one modality."""

    name: str
    rows: tuple[LimitRow, ...]


def limit_tables() -> tuple[LimitTable, ...]:
    """Return the limits of each modality."""
    return tuple(LimitTable(name=name, rows=rows_of(limits)) for name, limits in TABLES.items())


def rows_of(limits: Iterable[Limit]) -> tuple[LimitRow, ...]:
    """Return limits in words."""
    return tuple(
        LimitRow(
            text=limit.text,
            value=f"{limit.value:g} {limit.unit}",
            source=" · ".join(limit.source),
            judged=_judged(limit),
        )
        for limit in limits
    )


def _judged(limit: Limit) -> str:
    if limit.judgement is None:
        return ""
    if math.isinf(limit.judgement):
        return "with a written reason"
    return f"{limit.judgement:g} {limit.unit}"
