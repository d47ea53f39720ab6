"""Lines of the record and of the looks, asked for by who did it, whose they are, day and action."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import CharField, F, ForeignKey, Q, QuerySet, Value
from django.db.models.functions import Cast
from django.utils import timezone

from patients.models.looks import Look
from patients.models.patient import Audit, Patient

#: Tables away from a person up to which a row is taken for hers: paper, signed program, person.
_STEPS = 3
_LONGEST = 1000


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Which lines are asked for; None or nothing leaves it open.

    person   id of who did it
    day      in the clinic's own time
    action   as in the record; of looks their kind
    before   only lines of a lower number
    """

    person: int | None = None
    patient: int | None = None
    day: dt.date | None = None
    action: str = ""
    before: int | None = None


@dataclass(frozen=True, kw_only=True)
class Change:
    """One value of a row, as it was and as it became; empty where there was none."""

    name: str
    old: str
    new: str


def lines_of(asked: Asked) -> QuerySet[Audit]:
    """Return lines of the record, the newest first."""
    rows = _among(Audit.objects.all(), asked)
    if asked.action:
        rows = rows.filter(action=asked.action)
    return rows if asked.patient is None else rows.filter(_about(asked.patient))


def looks_of(asked: Asked) -> QuerySet[Look]:
    """Return looks, the newest first."""
    rows = _among(Look.objects.all(), asked)
    if asked.action:
        rows = rows.filter(kind=asked.action)
    return rows if asked.patient is None else rows.filter(patient_number=asked.patient)


def _among(rows: QuerySet[Any], asked: Asked) -> QuerySet[Any]:
    if asked.person is not None:
        rows = rows.filter(actor=asked.person)
    if asked.day is not None:
        first, after = (_midnight(asked.day + dt.timedelta(days=days)) for days in (0, 1))
        rows = rows.filter(at__gte=first, at__lt=after)
    if asked.before is not None:
        rows = rows.filter(seq__lt=asked.before)
    return rows.order_by("-seq")


def _midnight(day: dt.date) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(day, dt.time()))


def changes(line: Audit) -> list[Change]:
    """Return what a line tells: first values, or those that became others."""
    old, new = (_values(text) for text in (line.old, line.new))
    names = _names(line.object_type)
    return [
        Change(
            name=names.get(key, key.replace("_", " ")),
            old=_text(old.get(key)),
            new=_text(new.get(key)),
        )
        for key in {**old, **new}
        if _text(old.get(key)) != _text(new.get(key))
    ]


def kind_of(line: Audit) -> str:
    """Return what the row of a line is called, and its number."""
    try:
        name = apps.get_model(line.object_type)._meta.verbose_name
    except (LookupError, ValueError):
        name = line.object_type
    return f"{name} {line.object_id}"


def part_of(look: Look) -> str:
    """Return which part of a page was looked at: falls, or scan."""
    return ", ".join(_words(value) for value in _values(look.what).values())


def _values(text: str) -> dict[str, Any]:
    """Return the values in a line; a text changed past the app is shown as it is."""
    try:
        held = json.loads(text or "null")
    except ValueError:
        return {"": text}
    return held if isinstance(held, dict) else {} if held is None else {"": held}


def _text(value: Any) -> str:
    if value is None or value == "":
        return ""
    text = _words(value)
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]} …"


def _words(value: Any) -> str:
    """Return a value as somebody reads it: the parts of one made of parts, each by its name."""
    if isinstance(value, dict):
        parts = (f"{str(key).replace('_', ' ')}: {_words(part)}" for key, part in value.items())
        return "; ".join(parts) or "none"
    if isinstance(value, list):
        return ", ".join(map(_words, value)) or "none"
    if value is None:
        return "not recorded"
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


@cache
def _names(object_type: str) -> dict[str, str]:
    try:
        fields = apps.get_model(object_type)._meta.concrete_fields
    except (LookupError, ValueError):
        return {}
    return {field.attname: str(field.verbose_name) for field in fields}


# --- Whose a line is ------------------------------------------------------------------------


def _about(patient: int) -> Q:
    """Return the condition that a line tells of a person or of a row that is hers.

    Her rows are found first, by their own indexes, so that it costs the same however many lines
    tell of others.
    """
    asked = Q(object_type=Patient._meta.label_lower, object_id=str(patient))
    found: dict[str, list[str]] = {}
    for label, number in _rows_of(patient):
        found.setdefault(label, []).append(number)
    for label, numbers in found.items():
        asked |= Q(object_type=label, object_id__in=numbers)
    return asked


def _rows_of(patient: int) -> Iterable[tuple[str, str]]:
    """Return kind and number of each row that hangs on a person, in one question."""
    first, *others = [
        model._base_manager.order_by()
        .filter(**{way: patient})
        .annotate(of_kind=Value(model._meta.label_lower), row_number=Cast(F("pk"), CharField()))
        .values_list("of_kind", "row_number")
        for model, ways in _ways_to_a_person().items()
        for way in ways
    ]
    rows: Iterable[tuple[str, str]] = first.union(*others)
    return rows


@cache
def _ways_to_a_person() -> dict[type[models.Model], tuple[str, ...]]:
    """Return each kind of row that hangs on a person, with the ways to her from it."""
    found: dict[type[models.Model], tuple[str, ...]] = {}
    known: dict[type[models.Model], tuple[str, ...]] = {Patient: ("",)}
    # What a database keeps by itself, as an index of words, is in no line.
    tables = [m for m in apps.get_models() if m._meta.managed and m is not Patient]
    for _ in range(_STEPS):
        step = {
            model: ways for model in tables if model not in found and (ways := _ways(model, known))
        }
        found |= step
        known = step
    return found


def _ways(
    model: type[models.Model], known: dict[type[models.Model], tuple[str, ...]]
) -> tuple[str, ...]:
    return tuple(
        f"{field.name}__{way}" if way else field.name
        for field in model._meta.concrete_fields
        if isinstance(field, ForeignKey)
        for way in known.get(field.related_model, ())
    )
