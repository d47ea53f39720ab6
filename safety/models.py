"""What is kept of a screen: what it said and when, and the clearances given."""

from __future__ import annotations

from typing import Any, NoReturn

from django.conf import settings
from django.db import models

from patients import codes
from patients.models import NeverChanged, Patient

#: All that a clearance may be of: a condition, or what is not one.
SUBJECTS = {**codes.CONDITIONS, **codes.CLEARANCE_SUBJECTS}


def _person(**more: Any) -> Any:
    # PROTECT: people are switched off, never deleted, so what they did keeps its name.
    return models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", **more
    )


class Kept(models.Model):
    """A row that stays as it was written; the database's triggers refuse the rest."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; raises NeverChanged for a row that is saved already."""
        if not self._state.adding:
            raise NeverChanged(f"A saved {self._meta.verbose_name} is never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged(f"A {self._meta.verbose_name} is never deleted.")


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
    made_by = _person()
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


class Clearance(models.Model):
    """Leave given by a named person for modalities; a wrong one is struck out with a reason."""

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="clearances")
    subject = models.CharField(max_length=40, choices=list(SUBJECTS.items()))
    modalities = models.JSONField()
    given_by = models.CharField(max_length=200)
    on = models.DateField()
    until = models.DateField()
    note = models.CharField(max_length=200, blank=True)
    recorded_by = _person()
    recorded_at = models.DateTimeField()
    withdrawn_by = _person(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged("A clearance is withdrawn, not deleted.")

    @property
    def modality_names(self) -> str:
        """Return what it is for, in words."""
        return ", ".join(codes.MODALITIES[code] for code in self.modalities)
