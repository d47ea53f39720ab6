"""The list of the Caseload of what was asked of doctors and waits for an answer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from django.db.models import QuerySet

from patients.facts.in_words import day_text
from patients.standing import in_lists
from programs.actions.asked_doctors import not_answered
from programs.models.asked_doctors import DoctorAsked
from programs.views.case_list import Line, first_of, line_of


def asked_doctors(day: dt.date) -> QuerySet[DoctorAsked]:
    """Return what was asked of doctors and is not answered, the oldest first."""
    return not_answered().filter(in_lists())


def asked_lines(rows: Sequence[DoctorAsked], day: dt.date) -> list[Line]:
    return [_line(row, day) for row in rows]


def _line(row: DoctorAsked, day: dt.date) -> Line:
    where = ("programs:asked_answer", "Save the answer")
    return line_of(row.patient, *where, *_asked(row, day), args=[row.pk])


def _asked(row: DoctorAsked, day: dt.date) -> tuple[str, ...]:
    days = (day - row.on).days
    since = "today" if days <= 0 else "1 day ago" if days == 1 else f"{days} days ago"
    asked = (f"asked of {row.doctor} on {day_text(row.on)}, {since}", *row.what.splitlines())
    return first_of(asked)
