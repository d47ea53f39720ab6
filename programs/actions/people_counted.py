"""Whom the clinic follows, and whom its figures count: each person once."""

from __future__ import annotations

from django.db.models import QuerySet

from patients.models.finding import JOINED
from patients.models.patient import Patient
from patients.standing import in_lists


def followed_people() -> QuerySet[Patient]:
    """Return the people whose records are open, by id."""
    return Patient.objects.filter(in_lists("")).order_by("pk")


def counted_people() -> QuerySet[Patient]:
    """Return the people who are counted, each once, by id: closed ones too.

    A record that stands under another one of the same person is counted with that one.
    """
    return Patient.objects.exclude(findable__state=JOINED).order_by("pk")
