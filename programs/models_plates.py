"""The clinic's own plates and what was measured on them."""

from __future__ import annotations

from typing import Any, NoReturn

from django.conf import settings
from django.db import models
from django.db.models import Q

from patients.models import NeverChanged


def _person(**more: Any) -> Any:
    # PROTECT: people are switched off, never deleted, so what they did keeps its name.
    return models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", **more
    )


class ClinicPlate(models.Model):
    """A plate of the clinic. One that is no longer used is retired, never deleted.

    plate     its answers, in the shape of a plate in a facts/1 document
    version   rises with every change, so that two editors notice each other
    """

    name = models.CharField(max_length=200)
    plate = models.JSONField()
    version = models.PositiveIntegerField(default=1)
    made_by = _person()
    made_at = models.DateTimeField()
    changed_by = _person()
    changed_at = models.DateTimeField()
    retired_by = _person(null=True)
    retired_at = models.DateTimeField(null=True)
    retired_reason = models.CharField(max_length=200, blank=True)

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


class PlateMeasurement(models.Model):
    """What was measured on a plate at one setting; a wrong entry is withdrawn, never deleted.

    found   in the shape of programs.measured.Measurement as a document
    """

    plate = models.ForeignKey(ClinicPlate, on_delete=models.PROTECT, related_name="measurements")
    found = models.JSONField()
    entered_by = _person()
    entered_at = models.DateTimeField()
    withdrawn_by = _person(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("A measurement is withdrawn, not deleted.")
