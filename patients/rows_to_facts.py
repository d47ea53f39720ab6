"""From rows to facts: what was measured up to a day and the answers that hold on it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import OuterRef, QuerySet, Subquery

from patients.facts.declared import Facts
from patients.facts.document import FORMAT, Problem, read, write_part
from patients.facts.sections import SECTIONS, merged, taken
from patients.models.patient import KINDS, Assessment, Measured, Patient, SizeRow
from patients.rows_at_once import rows_at_once

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
    #: Rows that another app asked for with the same query, by its codes.
    also: Mapping[str, list[Any]] | None = None

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
    """Return all that is known of a patient on a day; two queries.

    Clearances are not kept here. Raises Contradiction where what was entered cannot stand
    together.
    """
    return facts_from(entered(patient, as_of))


def facts_from(known: Entered) -> Facts:
    """Return the facts in what is on record; raises Contradiction."""
    facts = read(document_of(known))
    if not isinstance(facts, Facts):
        raise Contradiction(facts)
    rows = known.rows["fracture"]
    # What was told as "this year" had happened by the day on which it was told.
    return replace(facts, fractures=tuple(row.fact() for row in rows)) if rows else facts


def entered(
    patient: Patient,
    as_of: dt.date,
    kinds: Collection[str] = KINDS,
    also: Mapping[str, QuerySet[Any]] | None = None,
) -> Entered:
    """Return what is on record of a patient on a day; rows of these kinds only; one query.

    also   what another app reads of her with it
    """
    newest = Subquery(_until(patient, as_of).values("pk")[:1])
    asked: dict[str, QuerySet[Any]] = {code: _standing(KINDS[code], [patient]) for code in kinds}
    asked[_ASSESSMENT] = Assessment.objects.filter(pk=newest)
    held = rows_at_once({**asked, **(also or {})})
    rows = {code: _in_time(held[code], as_of) for code in kinds}
    assessment = next(iter(held[_ASSESSMENT]), None)
    beside = None if also is None else {code: held[code] for code in also}
    return Entered(patient=patient, as_of=as_of, rows=rows, assessment=assessment, also=beside)


_ASSESSMENT = "assessment"


def entered_by_many(
    patients: Collection[Patient], as_of: dt.date, kinds: Collection[str] = KINDS
) -> dict[int, Entered]:
    """Return what is on record of some patients on a day, by their id; two queries for all."""
    standing = rows_at_once({code: _standing(KINDS[code], patients) for code in kinds})
    rows = {code: _of_each(held, as_of) for code, held in standing.items()}
    until = Assessment.objects.filter(patient=OuterRef("patient"), as_of__lte=as_of)
    newest = Subquery(until.order_by("-as_of", "-id").values("pk")[:1])
    held = Assessment.objects.filter(patient__in=patients, pk=newest).select_related("made_by")
    assessed = {row.patient_id: row for row in held}
    return {
        patient.pk: Entered(
            patient=patient,
            as_of=as_of,
            rows={code: tuple(found.get(patient.pk, ())) for code, found in rows.items()},
            assessment=assessed.get(patient.pk),
        )
        for patient in patients
    }


def as_if_saved(
    known: Entered,
    parts: Mapping[str, Mapping[str, Any]],
    rows: Iterable[Measured],
    replaced: Iterable[Measured] = (),
) -> Entered:
    """Return what would be on record with these answers by section and these unsaved rows.

    replaced   rows that would be struck out for them
    """
    answers, answered = known.answers, dict(known.assessment.answered if known.assessment else {})
    for code, part in parts.items():
        if part != taken(answers, SECTIONS[code]):
            answers = merged(answers, SECTIONS[code], part)
            answered[code] = known.as_of.isoformat()
    gone, new = {(row.KIND, row.pk) for row in replaced}, list(rows)
    held = {
        code: _in_time(
            [
                *(row for row in standing if (code, row.pk) not in gone),
                *(row for row in new if code == row.KIND),
            ],
            known.as_of,
        )
        for code, standing in known.rows.items()
    }
    told = Assessment(answers=answers, answered=answered, as_of=known.as_of)
    return replace(known, rows=held, assessment=told)


def newest_assessment(patient: Patient, as_of: dt.date) -> Assessment | None:
    """Return the assessment that holds on a day: of the latest day, the last saved."""
    return _until(patient, as_of).select_related("made_by").first()


def _until(patient: Patient, as_of: dt.date) -> QuerySet[Assessment]:
    """Return the assessments up to a day, the one that holds first."""
    until = Assessment.objects.filter(patient=patient, as_of__lte=as_of)
    return until.order_by("-as_of", "-id")


def document_of(known: Entered) -> dict[str, Any]:
    """Return the facts/1 document of what is on record."""
    document = {"format": FORMAT, "as_of": known.as_of.isoformat(), **known.answers}
    document["person"] = {
        "born": known.patient.born_as_told,
        "sex": known.patient.sex,
        **({"table_sex": known.patient.table_sex} if known.patient.table_sex else {}),
        **document.get("person", {}),
        **_size(known.sizes),
    }
    for key, kind in LISTS.items():
        if known.rows[kind]:
            document[key] = [write_part(row.fact()) for row in known.rows[kind]]
    tested = [row for row in known.rows["tests"] if row.has_tests]
    if tested:
        document["tests"] = [write_part(row.fact()) for row in tested]
    return document


def _standing(kind: type[Measured], patients: Collection[Patient]) -> QuerySet[Measured]:
    return kind._default_manager.filter(patient__in=patients, withdrawn_at=None)


def _of_each(held: Iterable[Measured], as_of: dt.date) -> dict[int, tuple[Measured, ...]]:
    found: dict[int, list[Measured]] = {}
    for row in held:
        found.setdefault(row.patient_id, []).append(row)
    return {patient: _in_time(rows, as_of) for patient, rows in found.items()}


def _in_time(rows: Iterable[Measured], as_of: dt.date) -> tuple[Measured, ...]:
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
