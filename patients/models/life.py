"""The life of this database: it begins when the database is made, and anew when one is put back."""

from __future__ import annotations

from uuid import uuid4

from django.db import models

from patients.kept_rows import Kept


class DatabaseLife(Kept):
    """One life of the database; the newest row is the one that goes on.

    After an older copy is put back the numbers of rows are given out again, so whatever
    names a row by its number alone would mean another one: it names the life as well.
    """

    uuid = models.UUIDField(default=uuid4, unique=True)
    since = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
