"""Finding a patient by the start of a name or of the record number, or by the id."""

from __future__ import annotations

from django.db import connection
from django.db.models import Q, QuerySet

from patients.models import Patient
from patients.names import fold


def found(query: str) -> QuerySet[Patient]:
    """Return the patients that a query finds, by family name; all for an empty one.

    Accents, capitals, apostrophes and hyphens make no difference.
    """
    start = fold(query)
    if not start:
        return Patient.objects.all()
    keys = _starts("search_key", start) | _starts("given_key", start) | _starts("record_key", start)
    by_id = Q(pk=int(start)) if start.isascii() and start.isdigit() and len(start) < 12 else Q()
    return Patient.objects.filter(keys | by_id)


def _starts(field: str, start: str) -> Q:
    """Return the condition in the form that uses the index of the column."""
    if connection.vendor != "sqlite":
        return Q(**{f"{field}__startswith": start})
    after = start[:-1] + chr(ord(start[-1]) + 1)
    return Q(**{f"{field}__gte": start, f"{field}__lt": after})
