"""That the record of a person was erased by law: what is left is her number and this row."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from patients.models.patient import Patient


class PersonErasure(Kept):
    """One record erased by law; the lines that were emptied stand in this row's own line.

    why      in words, with the law or the request that it rests on
    went     what went, as a name of rows and how many
    found    what was not as recorded before the erasure, a sentence a line; mostly nothing
    """

    patient = models.OneToOneField(Patient, on_delete=models.PROTECT, related_name="erasure")
    why = models.TextField()
    went = models.JSONField(default=dict)
    found = models.TextField(blank=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(why=""), name="a_persons_erasure_says_why")
        ]
