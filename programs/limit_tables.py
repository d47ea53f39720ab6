"""Every limit of every dose, laid out for reading; the tables themselves stay where they are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from programs.dose import balance, impact, plate_limits, posture, resistance, rises
from programs.dose.limit import Limit


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
    return (
        LimitTable(name="Vibration plate", rows=tuple(map(_of_plate, plate_limits.LIMITS))),
        LimitTable(name="Resistance", rows=_rows(resistance.LIMITS.values())),
        LimitTable(name="Impact", rows=_rows(impact.LIMITS.values())),
        LimitTable(name="Balance", rows=_rows(balance.LIMITS.values())),
        LimitTable(name="Posture", rows=_rows(posture.LIMITS.values())),
        LimitTable(name="Rises of a clinician's own dose", rows=_rows(rises.LIMITS.values())),
    )


def _rows(limits: Iterable[Limit]) -> tuple[LimitRow, ...]:
    return tuple(
        LimitRow(
            text=limit.text,
            value=f"{limit.value:g} {limit.unit}",
            source=" · ".join(limit.source),
            judged="" if limit.judgement is None else f"{limit.judgement:g} {limit.unit}",
        )
        for limit in limits
    )


def _of_plate(limit: plate_limits.Limit) -> LimitRow:
    return LimitRow(
        text=limit.text,
        value=f"{limit.value:g} {limit.unit}",
        source=limit.source,
        judged="with a written reason" if limit.overridable else "",
    )
