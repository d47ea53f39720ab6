"""Rows held against the last state of each that the record tells: changed, gone, or never told.

A line holds what a row was after an action, whole or in part, by the names of its columns;
what is there is compared. Lines from before answers and people were recorded whole hold a part.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import models

from patients import audit
from patients.facts.sections import SECTIONS, taken
from patients.models.codes import CodesAsked
from patients.models.erasure import PersonErasure
from patients.models.patient import KINDS, Assessment, Audit, Patient
from patients.models.scanners import MarkerError, PrecisionStudy, Scanner
from patients.models.standing import Closing, Join, LookedThrough, TwoPeople
from programs.models.asked_doctors import DoctorAnswered, DoctorAsked
from programs.models.beside import KindSaid, PromptAnswer
from programs.models.clinic import (
    ClinicDetails,
    EmergencyNumber,
    EvidenceFile,
    LimitChange,
    PaperLanguage,
)
from programs.models.phone import (
    PhoneCode,
    PhoneDecision,
    PhoneEnd,
    PhoneEntry,
    PhoneOpening,
)
from programs.models.plates import ClinicPlate, PlateMeasurement
from programs.models.program import Plan, Review, SessionLog
from programs.models.program_state import ProgramState, StopTold
from programs.models.seal import SignedErasure
from safety.models import Clearance, Screening

#: What belongs to a person, with the way from a row to her.
OF_PERSON: Mapping[type[models.Model], str] = {
    Patient: "pk",
    PersonErasure: "patient",
    **dict.fromkeys(KINDS.values(), "patient"),
    Assessment: "patient",
    Closing: "patient",
    Clearance: "patient",
    Screening: "patient",
    Plan: "patient",
    SessionLog: "patient",
    Review: "patient",
    ProgramState: "signed__patient",
    StopTold: "stop__signed__patient",
    DoctorAsked: "patient",
    DoctorAnswered: "asked__patient",
    KindSaid: "patient",
    PromptAnswer: "patient",
    SignedErasure: "signed__patient",
    PhoneCode: "signed__patient",
    PhoneOpening: "code__signed__patient",
    PhoneEnd: "code__signed__patient",
    PhoneEntry: "code__signed__patient",
    PhoneDecision: "entry__code__signed__patient",
    Join: "double",
    LookedThrough: "join__double",
    TwoPeople: "one",
}
#: What belongs to the clinic.
OF_CLINIC: tuple[type[models.Model], ...] = (
    *(LimitChange, ClinicDetails, EmergencyNumber, PaperLanguage, ClinicPlate, PlateMeasurement),
    *(Scanner, PrecisionStudy, MarkerError, CodesAsked, EvidenceFile),
)
MODELS = {model._meta.label_lower: model for model in (*OF_PERSON, *OF_CLINIC)}
#: What changes after the line, with no line of its own: a plan's first day when it is signed, and
#: the draft that a review led to, which is made after it.
_LATER = {("programs.plan", "starts_on"), ("programs.review", "next_plan_id")}
#: States that were given to programs from before there were any have no line.
_MAY_HAVE_NO_LINE = {ProgramState}

Key = tuple[str, str]


@dataclass
class Told:
    """What the lines come to of one row: its columns, of an assessment its part, the last line."""

    columns: dict[str, Any]
    part: tuple[str, Any] | None
    line: int


def of_people(people: Sequence[int], using: str) -> Iterator[str]:
    """Yield what of the rows of some people is not as the record tells, the first lines first."""
    rows = [
        row
        for model, path in OF_PERSON.items()
        for row in model._base_manager.using(using).filter(**{f"{path}__in": people}).order_by("pk")
    ]
    lines = Audit.objects.using(using)
    found = {line.seq: line for line in lines.filter(patient_id__in=people)}
    found |= {line.seq: line for line in _lines_of(rows, using) if line.seq not in found}
    yield from _compared(found.values(), rows)


def of_clinic(using: str) -> Iterator[str]:
    """Yield what of the clinic's own rows is not as the record tells."""
    rows = [row for model in OF_CLINIC for row in model._base_manager.using(using).order_by("pk")]
    yield from _compared(_lines_of(rows, using), rows)
    yield from _gone(using)


def of_lines(lines: Sequence[Audit], using: str) -> Iterator[str]:
    """Yield what of the rows that some lines tell of, the last of all, is not as they tell."""
    told = _told(lines)
    rows: list[models.Model] = []
    for label, model in MODELS.items():
        numbers = [int(pk) for kind, pk in told if kind == label and pk.isdecimal()]
        rows += model._base_manager.using(using).filter(pk__in=numbers) if numbers else ()
    yield from _compared(lines, rows)


def _lines_of(rows: Iterable[models.Model], using: str) -> list[Audit]:
    """Return the lines about some rows, by the index of what a line is about."""
    numbers: dict[str, list[str]] = {}
    for row in rows:
        numbers.setdefault(row._meta.label_lower, []).append(str(row.pk))
    found: list[Audit] = []
    for label, some in numbers.items():
        for first in range(0, len(some), _AT_ONCE):
            about = {"object_type": label, "object_id__in": some[first : first + _AT_ONCE]}
            found += Audit.objects.using(using).filter(**about)
    return found


_AT_ONCE = 500


def _compared(lines: Iterable[Audit], rows: Iterable[models.Model]) -> Iterator[str]:
    ordered = sorted(lines, key=lambda line: line.seq)
    if broken := audit.first_broken(ordered):
        yield f"Line {broken.seq} of the record: is not as it was written."
    else:
        yield from _otherwise(_told(ordered), rows)


def _otherwise(told: dict[Key, Told], rows: Iterable[models.Model]) -> Iterator[str]:
    for row in rows:
        held = told.pop((row._meta.label_lower, str(row.pk)), None)
        if held is not None:
            yield from _differs(row, held)
        elif type(row) not in _MAY_HAVE_NO_LINE:
            yield f"{_named(row._meta, row.pk)}: no line of the record tells of it."
    for (label, number), held in sorted(told.items(), key=lambda item: item[1].line):
        yield _is_gone(held.line, _named(MODELS[label]._meta, number))


def _told(lines: Iterable[Audit]) -> dict[Key, Told]:
    found: dict[Key, Told] = {}
    for line in lines:
        for key, columns in _states(line):
            held = found.setdefault(key, Told({}, None, line.seq))
            held.columns |= columns
            held.line = line.seq
            section = line.action.removeprefix("save ")
            if key[0] == "patients.assessment" and section in SECTIONS and "answers" not in columns:
                held.part = (section, columns)
    return found


def _states(line: Audit) -> Iterator[tuple[Key, dict[str, Any]]]:
    """Yield each row that a line tells of, with what it tells."""
    if line.new == audit.EMPTIED:
        return
    new = json.loads(line.new)
    kind = KINDS.get(line.action.removeprefix("import "))
    if kind is not None and line.action.startswith("import "):
        for row in new["rows"]:
            yield (kind._meta.label_lower, str(row["id"])), row
    elif line.object_type in MODELS:
        yield (line.object_type, line.object_id), new if isinstance(new, dict) else {}


def _differs(row: models.Model, told: Told) -> Iterator[str]:
    label = row._meta.label_lower
    if isinstance(row, Assessment) and told.part is not None:
        section, part = told.part
        if _plain(taken(row.answers, SECTIONS[section])) != part:
            yield _other(row, "answers", told)
        return
    for field in row._meta.concrete_fields:
        name = next((one for one in (field.attname, field.name) if one in told.columns), None)
        if name is None or (label, field.attname) in _LATER:
            continue
        if not _same(field, told.columns[name], getattr(row, field.attname)):
            yield _other(row, field.name, told)


def _other(row: models.Model, column: str, told: Told) -> str:
    words = column.replace("_", " ")
    return f"{_named(row._meta, row.pk)}: line {told.line} of the record has another {words}."


def _named(meta: Any, number: object) -> str:
    kind = getattr(meta.model, "KIND", "") or str(meta.verbose_name)
    return f"{kind[:1].upper()}{kind[1:]} {number}"


def _same(field: Any, told: Any, now: Any) -> bool:
    if told is None or now is None:
        return told is None and now is None
    if isinstance(field, models.DecimalField):
        places = Decimal(1).scaleb(-field.decimal_places)
        return Decimal(str(told)).quantize(places) == Decimal(now).quantize(places)
    if isinstance(field, models.DateTimeField):
        # The record keeps thousandths of a second.
        cut: dt.datetime = now.replace(microsecond=now.microsecond // 1000 * 1000)
        return bool(dt.datetime.fromisoformat(told) == cut)
    return bool(_plain(now) == told)


def _plain(value: Any) -> Any:
    """Return a value as the record gives it back."""
    return json.loads(audit.canonical({"": value}))[""]


def _gone(using: str) -> Iterator[str]:
    """Yield the first line about a row of each kind that is gone, whoever it was of."""
    for label, model in MODELS.items():
        there = set(model._base_manager.using(using).values_list("pk", flat=True))
        lines = Audit.objects.using(using).filter(object_type=label).order_by("seq")
        lines = lines.exclude(new=audit.EMPTIED)
        for seq, number in lines.values_list("seq", "object_id").iterator():
            if not number.isdecimal() or int(number) not in there:
                yield _is_gone(seq, _named(model._meta, number))
                break


def _is_gone(line: int, what: str) -> str:
    return f"Line {line} of the record tells of {what[0].lower()}{what[1:]}, which is gone."
