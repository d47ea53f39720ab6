"""What is kept of a screen: what it said and when, and the clearances given."""

from __future__ import annotations

from django.db import models

from patients.facts import codes
from patients.kept_rows import Kept, Withdrawable, person
from patients.models.patient import Patient


def subjects() -> dict[str, str]:
    """Return all that a clearance may be of: a condition, or what is not one.

    The migrations name this function, so that a new condition needs none.
    """
    return {**codes.CONDITIONS, **codes.CLEARANCE_SUBJECTS}


def clearance_limits() -> dict[str, str]:
    """Return what a clearance may say of the dose."""
    return dict(codes.CLEARANCE_LIMITS)


class Screening(Kept):
    """One screen of a patient, as it was read.

    facts_digest      SHA-256 of the facts document that was screened
    findings_digest   SHA-256 of the risks and findings, to tell whether they have changed
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="screenings")
    as_of = models.DateField()
    rulebook = models.CharField(max_length=20)
    facts_digest = models.CharField(max_length=64)
    findings_digest = models.CharField(max_length=64)
    made_by = person()
    made_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["patient", "as_of", "id"], name="screening_newest")]


class RiskFlag(Kept):
    """A risk level of a screening, with every criterion and whether it was met."""

    screening = models.ForeignKey(Screening, on_delete=models.PROTECT, related_name="risks")
    kind = models.CharField(max_length=10, choices=[("fracture", "fracture"), ("fall", "fall")])
    level = models.CharField(max_length=20)
    drafted_as = models.CharField(max_length=20)
    criteria = models.JSONField()


class Contraindication(Kept):
    """One finding of a screening, with its full text and sources; `place` 1 is the first."""

    screening = models.ForeignKey(Screening, on_delete=models.PROTECT, related_name="findings")
    place = models.PositiveSmallIntegerField()
    rule = models.CharField(max_length=80)
    about = models.CharField(max_length=10)
    level = models.CharField(max_length=20)
    text = models.TextField()
    facts = models.JSONField()
    missing = models.JSONField()
    sources = models.JSONField()
    cleared = models.BooleanField()
    holds = models.BooleanField()
    blocks = models.BooleanField()

    class Meta:
        ordering = ["place"]


class Clearance(Withdrawable):
    """Leave given by a named person for modalities; a wrong one is struck out with a reason.

    limits           what it says of the dose; None where that was not recorded
    eye_specialist   given by an eye doctor
    """

    KIND = "clearance"

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="clearances")
    subject = models.CharField(max_length=40, choices=subjects)
    modalities = models.JSONField()
    given_by = models.CharField(max_length=200)
    on = models.DateField()
    until = models.DateField()
    limits = models.CharField(  # noqa: DJ001  None is not recorded
        max_length=20, choices=clearance_limits, null=True
    )
    eye_specialist = models.BooleanField(null=True)
    note = models.CharField(max_length=200, blank=True)
    recorded_by = person()
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["until"], name="clearance_until")]

    @property
    def modality_names(self) -> str:
        """Return what it is for, in words."""
        return ", ".join(codes.MODALITIES[code] for code in self.modalities)

    @property
    def says(self) -> str:
        """Return what it says of the dose, and whether an eye doctor gave it."""
        limit = codes.CLEARANCE_LIMITS[self.limits or "as_precaution"]
        return f"{limit}, by an eye doctor" if self.eye_specialist else limit
