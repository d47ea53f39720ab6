"""How a record stands: closed, joined to another one of the same person, or taken for a double."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from django.db import models
from django.db.models import F, Q

from patients.kept_rows import Kept, person
from patients.models.patient import Patient

DIED, MISTAKE, OPENED = "died", "mistake", "opened"
#: Why a record is closed.
WHY_CLOSED: Mapping[str, str] = MappingProxyType(
    {
        "moved": "moved away",
        DIED: "died",
        "discharged": "discharged",
        MISTAKE: "entered in error",
    }
)


def closings() -> dict[str, str]:
    """Return what a row of Closing may say; the migrations name this function."""
    return {**WHY_CLOSED, OPENED: "opened again"}


class Closing(Kept):
    """A record closed, or opened again; the newest row of a patient holds.

    what   a code of WHY_CLOSED, or OPENED
    on     the day on which she moved, died or was discharged; of OPENED the day of that
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="closings")
    what = models.CharField(max_length=20, choices=closings)
    on = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]

    @property
    def words(self) -> str:
        """Return what it says, like "died on 3 May 2026"."""
        return f"{self.get_what_display()} on {self.on.day} {self.on:%b %Y}"


class Join(Kept):
    """Says that one record is of the person of another one; or takes that back.

    double    the record that from now on only stands under the other
    into      the record that goes on
    undoes    the join that this row takes back
    chosen    what was taken over from the double: "identity" by column as it was before,
              "answers" as path, value before and after, "rows" as kind, row there, row here
    """

    double = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="joins")
    into = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="joined")
    undoes = models.OneToOneField(
        "self", on_delete=models.PROTECT, related_name="undone_by", null=True
    )
    chosen = models.JSONField(default=dict)
    reason = models.CharField(max_length=200)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(condition=~Q(double=F("into")), name="joined_to_another")
        ]


class LookedThrough(Kept):
    """Somebody has looked through what stands under a joined record."""

    join = models.OneToOneField(Join, on_delete=models.PROTECT, related_name="looked_through")
    note = models.CharField(max_length=200, blank=True)
    by = person()
    at = models.DateTimeField()


class TwoPeople(Kept):
    """Two records that look like one person's are two people's; `one` has the lower number."""

    one = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    other = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    reason = models.CharField(max_length=200)
    by = person()
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["one", "other"], name="two_people_said_once")
        ]


class PossibleDouble(models.Model):
    """Two records in the lists that may be of one person; made anew with each change of either.

    one   has the lower number
    """

    one = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")
    other = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ["-id"]
        constraints = [models.UniqueConstraint(fields=["one", "other"], name="one_possible_double")]
