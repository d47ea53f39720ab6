"""What a clinic has set for itself: its limits, and how it is called and reached."""

from __future__ import annotations

from django.db import models

from programs.models import Kept, _person

PAPERS = (("A4", "A4"), ("Letter", "Letter"))


class LimitChange(Kept):
    """One limit set anew; the newest row of a name is in force.

    name     of programs.clinic_limits
    change   against the rulebook: tightened, loosened, or back to what it has
    """

    TIGHTENED, LOOSENED, BACK = "tightened", "loosened", "back"
    CHANGES = [(TIGHTENED, "tightened"), (LOOSENED, "loosened"), (BACK, "as the rulebook has it")]

    name = models.CharField(max_length=60, db_index=True)
    value = models.DecimalField(max_digits=7, decimal_places=2)
    change = models.CharField(max_length=10, choices=CHANGES)
    reason = models.CharField(max_length=200, blank=True)
    by = _person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~models.Q(change="loosened") | ~models.Q(reason=""),
                name="loosened_with_a_reason",
            )
        ]


class ClinicDetails(Kept):
    """How the clinic is called and reached, as papers print it; the newest row is in force."""

    name = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    address = models.CharField(max_length=200, blank=True)
    paper = models.CharField(max_length=6, choices=PAPERS, default="A4")
    emergency = models.CharField(max_length=200, blank=True)
    currency = models.CharField(max_length=12, blank=True, default="")
    by = _person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
