"""The clinic's own plates and what was measured on them."""

from __future__ import annotations

from typing import Any, NoReturn

from django.db import models
from django.db.models import Q

from patients.kept_rows import NeverChanged, Withdrawable, person


class ClinicPlate(models.Model):
    """A plate of the clinic. One that is no longer used is retired, never deleted.

    plate     its answers, in the shape of a plate in a facts/1 document
    version   rises with every change, so that two editors notice each other
    repaired_on   since when it is measured anew; what was measured before does not count
    """

    name = models.CharField(max_length=200)
    plate = models.JSONField()
    version = models.PositiveIntegerField(default=1)
    made_by = person()
    made_at = models.DateTimeField()
    changed_by = person()
    changed_at = models.DateTimeField()
    retired_by = person(null=True)
    retired_at = models.DateTimeField(null=True)
    retired_reason = models.CharField(max_length=200, blank=True)
    repaired_on = models.DateField(null=True)

    class Meta:
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"], condition=Q(retired_at=None), name="one_plate_in_use_of_a_name"
            )
        ]

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("A clinic's plate is retired, not deleted.")


class PlateMeasurement(Withdrawable):
    """What was measured on a plate at one setting; a wrong entry is withdrawn, never deleted.

    found   in the shape of programs.plates.measured_motion.Measurement as a document
    """

    KIND = "measurement of clinic plate"

    plate = models.ForeignKey(ClinicPlate, on_delete=models.PROTECT, related_name="measurements")
    found = models.JSONField()
    entered_by = person()
    entered_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
