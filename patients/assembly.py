"""From rows to facts: what was measured up to a day and the answers that hold on it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from patients.exchange import FORMAT, Problem, read, write_part
from patients.facts import Facts
from patients.models import KINDS, Assessment, Measured, Patient, SizeRow

#: Entry of the facts document and the kind of row that fills its list.
LISTS = {"fractures": "fracture", "scans": "scan", "turnover": "marker", "lifts": "lift"}


class Contradiction(ValueError):
    """What was entered cannot stand together; `problems` says where."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(f"{p.at}: {p.text}" for p in problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, kw_only=True)
class Entered:
    """What is on record of a patient on a day: rows that stand, by kind, oldest first."""

    patient: Patient
    as_of: dt.date
    rows: Mapping[str, tuple[Any, ...]]
    assessment: Assessment | None

    @property
    def answers(self) -> dict[str, Any]:
        """Return the answers that hold, in the shape of a facts document."""
        return deepcopy(self.assessment.answers) if self.assessment else {}

    @property
    def sizes(self) -> tuple[SizeRow, ...]:
        """Return heights and weights, oldest first."""
        return self.rows["size"]

    def newest_day(self, of: str) -> dt.date | None:
        """Return the day of the newest height_cm or weight_kg."""
        days = [row.date for row in self.sizes if getattr(row, of) is not None]
        return days[-1] if days else None


def facts_of(patient: Patient, as_of: dt.date) -> Facts:
    """Return all that is known of a patient on a day; seven queries.

    Clearances are not kept here. Raises Contradiction where what was entered cannot stand
    together.
    """
    return facts_from(entered(patient, as_of))


def facts_from(known: Entered) -> Facts:
    """Return the facts in what is on record; raises Contradiction."""
    facts = read(document_of(known))
    if isinstance(facts, Facts):
        return facts
    raise Contradiction(facts)


def entered(patient: Patient, as_of: dt.date, kinds: Collection[str] = KINDS) -> Entered:
    """Return what is on record of a patient on a day; rows of these kinds only."""
    rows = {code: _standing(KINDS[code], patient, as_of) for code in kinds}
    newest = newest_assessment(patient, as_of)
    return Entered(patient=patient, as_of=as_of, rows=rows, assessment=newest)


def newest_assessment(patient: Patient, as_of: dt.date) -> Assessment | None:
    """Return the assessment that holds on a day: of the latest day, the last saved."""
    until = Assessment.objects.filter(patient=patient, as_of__lte=as_of)
    return until.select_related("made_by").order_by("-as_of", "-id").first()


def document_of(known: Entered) -> dict[str, Any]:
    """Return the facts/1 document of what is on record."""
    document = {"format": FORMAT, "as_of": known.as_of.isoformat(), **known.answers}
    document["person"] = {
        "born": known.patient.born.isoformat(),
        "sex": known.patient.sex,
        **document.get("person", {}),
        **_size(known.sizes),
    }
    for key, kind in LISTS.items():
        if known.rows[kind]:
            document[key] = [write_part(row.fact()) for row in known.rows[kind]]
    tested = [row for row in known.rows["tests"] if row.has_tests]
    if tested:
        document["tests"] = write_part(tested[-1].fact())
    return document


def _standing(kind: type[Measured], patient: Patient, as_of: dt.date) -> tuple[Measured, ...]:
    rows = kind._default_manager.filter(patient=patient, withdrawn_at=None).order_by("id")
    in_time = (row for row in rows if row.day is None or row.day <= as_of)
    return tuple(sorted(in_time, key=lambda row: row.day or dt.date.min))


def _size(sizes: Iterable[SizeRow]) -> dict[str, Any]:
    """Return the newest height and weight, each of its own day, and the heights before."""
    tall = [row for row in sizes if row.height_cm is not None]
    heavy = [row for row in sizes if row.weight_kg is not None]
    size: dict[str, Any] = {}
    if tall:
        size["height_cm"] = float(tall[-1].height_cm)
    if heavy:
        size["weight_kg"] = float(heavy[-1].weight_kg)
    if tall[:-1]:
        size["earlier_heights"] = [
            {"date": row.date.isoformat(), "cm": float(row.height_cm)} for row in tall[:-1]
        ]
    return size
