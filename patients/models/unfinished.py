"""What somebody typed and did not save, kept for its writer alone; and how she works the keys."""

from __future__ import annotations

import json
from typing import Any

from django.conf import settings
from django.db import models

from patients.kept_rows import person
from patients.models.patient import Patient

#: Typed values of a field, and what the field held when the form was begun.
Typed = dict[str, dict[str, list[str]]]


class UnfinishedForm(models.Model):
    """A form as it was typed so far. It is no fact: nothing but its own page reads it.

    page       the address of the page on which it was typed, with what was asked for
    title      the page in words
    made_from  what the page was made from then: the version that it would change
    fields     JSON of Typed, in ASCII alone, so that any database takes any sign
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    by = person()
    page = models.CharField(max_length=200)
    title = models.CharField(max_length=80)
    made_from = models.CharField(max_length=120)
    fields = models.TextField()
    begun_at = models.DateTimeField()
    kept_at = models.DateTimeField(db_index=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["by", "patient", "page"], name="unfinished_once")
        ]

    @property
    def typed(self) -> Typed:
        """Return what was typed, by the name of its field."""
        held: Any = json.loads(self.fields)
        return dict(held)


class KeysChoice(models.Model):
    """Whether somebody wants the keys of the pages; where there is no row, she does."""

    who = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    on = models.BooleanField()
