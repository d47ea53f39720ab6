"""By what a person is found: folded words, their trigrams, and each word with a letter less."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import Any, cast

from django.db import connection, models
from django.db.models import Q
from django.db.models.expressions import Col

from patients.models.patient import Patient
from patients.names import covering

#: Whether a record stands in the lists, was closed, or stands under another person's.
OPEN, CLOSED, JOINED = "open", "closed", "joined"
#: The least that an index of trigrams finds.
TRIGRAM = 3
#: Letters kept of the words: PostgreSQL's index takes no more, and no name here is longer.
MOST_LETTERS = 600


class Findable(models.Model):
    """A person as she is looked for; made anew with each change of her name or her standing.

    words     her names and record number, folded, a space around each (patients.names.spelt).
              On SQLite triggers keep an FTS5 table of its trigrams, on PostgreSQL it has an
              index of them: a migration that rebuilds this table must make the triggers again
    state     OPEN, CLOSED, JOINED or ERASED; only who is open stands in lists
    sort_key  her place in a list
    leads    records were joined to hers; to_look_through: one that nobody has looked through
    """

    patient = models.OneToOneField(
        Patient, on_delete=models.PROTECT, primary_key=True, related_name="findable"
    )
    words = models.TextField()
    state = models.CharField(max_length=6, default=OPEN)
    sort_key = models.CharField(max_length=300)
    born = models.DateField()
    born_is = models.CharField(max_length=5)
    leads = models.BooleanField(default=False)
    to_look_through = models.BooleanField(default=False)

    class Meta:
        indexes = [
            models.Index(fields=["state", "sort_key", "patient"], name="findable_in_order"),
            models.Index(fields=["sort_key", "patient"], name="findable_by_name"),
            # With the words, so that those of a year are looked at in the index alone.
            models.Index(fields=["born", "born_is", "state", "words"], name="findable_by_birth"),
        ]


class WordKey(models.Model):
    """A word of somebody's name by one of the keys that it shares with each slip of it."""

    key = models.CharField(max_length=300)
    word = models.CharField(max_length=300)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["key", "word"], name="one_key_of_a_word")]


class Trigrams(models.Model):
    """On SQLite, the FTS5 table of trigrams beside Findable; kept by triggers, never written.

    Joined to the rows it finds, it gives them one after the other, so that a limit ends the work.
    """

    row = models.OneToOneField(
        Findable,
        on_delete=models.DO_NOTHING,
        primary_key=True,
        db_column="rowid",
        related_name="trigrams",
    )
    words = models.TextField()

    class Meta:
        managed = False
        db_table = "patients_trigrams"


@models.TextField.register_lookup
class Holds(models.Lookup):
    """Rows whose words hold one text of each group; on SQLite of Trigrams, elsewhere of Findable.

    Each text is folded, and of TRIGRAM signs or more, spaces counted.
    """

    lookup_name = "holds"
    prepare_rhs = False

    def as_sqlite(self, compiler: Any, connection: Any) -> tuple[str, list[str]]:
        """Return the condition on the table of trigrams; what it finds is still to be looked at."""
        alias = compiler.quote_name_unless_alias(cast(Col, self.lhs).alias)
        groups = (" OR ".join(map(_matching, group)) for group in self._groups)
        sought = " AND ".join(f"({group})" for group in groups)
        return f"{alias}.patients_trigrams MATCH %s", [sought]

    def as_postgresql(self, compiler: Any, connection: Any) -> tuple[str, list[str]]:
        """Return the condition that the index of trigrams answers."""
        column, _ = self.process_lhs(compiler, connection)
        texts = [f"%{text}%" for group in self._groups for text in group]
        groups = (" OR ".join(f"{column} LIKE %s" for _ in group) for group in self._groups)
        return " AND ".join(f"({group})" for group in groups), texts

    @property
    def _groups(self) -> tuple[tuple[str, ...], ...]:
        return cast(tuple[tuple[str, ...], ...], self.rhs)


def _matching(text: str) -> str:
    return "({})".format(" AND ".join(f'"{part}"' for part in covering(text)))


def holding(groups: tuple[tuple[str, ...], ...]) -> Q:
    """Return the condition on Findable that the words hold one text of each group."""
    if connection.vendor != "sqlite":
        return Q(words__holds=groups)
    # The table knows which trigrams there are, not where: few rows, looked at one by one.
    return Q(trigrams__words__holds=groups) & containing(groups)


def containing(groups: tuple[tuple[str, ...], ...]) -> Q:
    """Return the same condition for rows that are found by something else."""
    found = Q()
    for group in groups:
        found &= reduce(or_, (Q(words__contains=text) for text in group))
    return found
