"""The list of the Caseload of what patients wrote by phone and no colleague has taken yet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django.db.models import F, IntegerField, Max, QuerySet
from django.db.models.functions import Cast

from patients.facts.in_words import day_text
from patients.models.patient import Patient
from patients.standing import in_lists
from programs.log.told import day_words
from programs.models.phone import PhoneEntry
from programs.views.case_list import Line, first_of, line_of


def by_herself(day: dt.date) -> QuerySet[Any]:
    """Return who wrote by phone what nobody has taken, what does not wait first."""
    rows = PhoneEntry.objects.filter(in_lists("code__signed__patient"), decision=None)
    told = rows.values(patient=F("code__signed__patient"))
    found = told.annotate(urgent=Max(Cast("does_not_wait", IntegerField())), last=Max("on"))
    return found.order_by("-urgent", "-last", "-patient")


def lines_of(rows: Sequence[Any], day: dt.date) -> list[Line]:
    """Return a line for each of them."""
    people = Patient.objects.in_bulk([row["patient"] for row in rows])
    entries: dict[int, list[PhoneEntry]] = {}
    waits = PhoneEntry.objects.filter(code__signed__patient__in=people, decision=None)
    for one in waits.annotate(patient=F("code__signed__patient")).order_by("-on", "-pk"):
        entries.setdefault(one.patient, []).append(one)
    return [
        line_of(
            people[row["patient"]],
            "programs:log_phone",
            "Log",
            *first_of(_written(entries[row["patient"]])),
            level="contraindicated" if row["urgent"] else "",
        )
        for row in rows
    ]


def _written(entries: Sequence[PhoneEntry]) -> list[str]:
    """Return what she told that does not wait, then on how many days she wrote."""
    told = [
        f"written by phone, not yet taken: {day_text(one.on)}, {'; '.join(day_words(one.told))}"
        for one in entries
        if one.does_not_wait
    ]
    days = len({one.on for one in entries})
    return [*told, f"{days} day{'' if days == 1 else 's'} written by phone, not yet taken"]
