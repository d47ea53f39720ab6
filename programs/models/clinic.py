"""What a clinic has set for itself: its limits, and how it is called and reached."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person

PAPERS = (("A4", "A4"), ("Letter", "Letter"))


class LimitChange(Kept):
    """One limit set anew; the newest row of a name is in force.

    name     of programs.dose.clinic_limits
    change   against the rulebook: tightened, loosened, or back to what it has
    """

    TIGHTENED, LOOSENED, BACK = "tightened", "loosened", "back"
    CHANGES = [(TIGHTENED, "tightened"), (LOOSENED, "loosened"), (BACK, "as the rulebook has it")]

    name = models.CharField(max_length=60, db_index=True)
    value = models.DecimalField(max_digits=7, decimal_places=2)
    change = models.CharField(max_length=10, choices=CHANGES)
    reason = models.CharField(max_length=200, blank=True)
    by = person()
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
    """How the clinic is called and reached, as papers print it; the newest row is in force.

    emergency   words in English from before they were kept by language; no longer asked for
    """

    name = models.CharField(max_length=120, blank=True)
    phone = models.CharField(max_length=60, blank=True)
    address = models.CharField(max_length=200, blank=True)
    paper = models.CharField(max_length=6, choices=PAPERS, default="A4")
    emergency = models.CharField(max_length=200, blank=True)
    currency = models.CharField(max_length=12, blank=True, default="")
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]


class EmergencyNumber(Kept):
    """Whom to call in an emergency, as papers in a language say it; the newest row is in force.

    number   as it is dialled; empty: taken back
    words    the clinic's own beside it; none where the number says it all
    """

    language = models.CharField(max_length=10, db_index=True)
    number = models.CharField(max_length=30, blank=True)
    words = models.CharField(max_length=80, blank=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]


class PaperLanguage(Kept):
    """Whether papers are made in a language, and who has read it; the newest row is in force.

    read_by, read_on   who speaks it and read its texts, and on which day; empty: nobody yet
    """

    language = models.CharField(max_length=10, db_index=True)
    on = models.BooleanField()
    read_by = models.CharField(max_length=120, blank=True)
    read_on = models.DateField(null=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]


class YearsKept(Kept):
    """For how many years records are kept after the last contact; the newest row is in force.

    years   None: the clinic has set no time
    """

    years = models.PositiveSmallIntegerField(null=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
