"""The clinic's scanners, their precision studies, and files parked before they are taken."""

from __future__ import annotations

from typing import Any

from django.db import models

from patients.facts.units import clean_text
from patients.kept_rows import Withdrawable, person
from patients.measured.turnover import MarkerLsc, laboratory_lsc
from patients.models.choices import markers, scan_sites
from patients.scanners.precision import ENOUGH_FREEDOM


def scanner_key(name: str) -> str:
    """Return the name of a scanner as names are compared: capitals make no difference."""
    return clean_text(name).casefold()[:200]


class Scanner(models.Model):
    """A density scanner, under the name that stands with its scans."""

    name = models.CharField("Name", max_length=200)
    key = models.CharField(max_length=200, unique=True, editable=False)
    note = models.CharField("Note", max_length=500, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["key"]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save, with the key made from the name."""
        self.key = scanner_key(self.name)
        super().save(*args, **kwargs)


class PrecisionStudy(Withdrawable):
    """A precision study of one scanner at one site; the newest that stands is in use.

    people  each person's repeated densities in g/cm2; None where only the error was given
    """

    KIND = "precision study"

    scanner = models.ForeignKey(Scanner, on_delete=models.PROTECT, related_name="studies")
    site = models.CharField(max_length=20, choices=scan_sites)
    made_on = models.DateField()
    people = models.JSONField(null=True)
    rms_sd_g_cm2 = models.DecimalField(max_digits=7, decimal_places=6)
    freedom = models.PositiveIntegerField()
    note = models.CharField(max_length=500, blank=True)
    entered_by = person()
    entered_at = models.DateTimeField()

    class Meta:
        ordering = ["-made_on", "-id"]


class MarkerError(Withdrawable):
    """What the laboratory says of the error of one marker; the newest that stands is in use.

    lsc_percent   None where it is worked out from the two CVs, and they where it was given
    """

    KIND = "marker error"

    laboratory = models.CharField(max_length=200)
    marker = models.CharField(max_length=20, choices=markers)
    told_on = models.DateField()
    cv_analytical_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    cv_within_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    lsc_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    note = models.CharField(max_length=500, blank=True)
    entered_by = person()
    entered_at = models.DateTimeField()

    class Meta:
        ordering = ["-told_on", "-id"]

    @property
    def lsc(self) -> MarkerLsc:
        """Return the LSC with whose it is."""
        analytical, within = self.cv_analytical_percent, self.cv_within_percent
        given: float | tuple[float, float] = float(self.lsc_percent or 0)
        if analytical is not None and within is not None:
            given = (float(analytical), float(within))
        return laboratory_lsc(self.laboratory, self.told_on, given)


class ParkedFile(models.Model):
    """A file that was sent and not yet taken; nothing of it is on record."""

    name = models.CharField(max_length=200)
    content = models.BinaryField()
    digest = models.CharField(max_length=64)
    parked_by = person()
    parked_at = models.DateTimeField()
    expires_at = models.DateTimeField(db_index=True)


def errors_in_use() -> dict[str, dict[str, float]]:
    """Return the RMS-SD in g/cm2 by site for each scanner's key: the newest study large enough."""
    errors: dict[str, dict[str, float]] = {}
    standing = PrecisionStudy.objects.filter(withdrawn_at=None, freedom__gte=ENOUGH_FREEDOM)
    for study in standing.select_related("scanner"):
        of_scanner = errors.setdefault(study.scanner.key, {})
        of_scanner.setdefault(study.site, float(study.rms_sd_g_cm2))
    return errors


def marker_errors_in_use() -> dict[str, MarkerError]:
    """Return for each marker the newest that the laboratory said of it and that stands."""
    standing = reversed(MarkerError.objects.filter(withdrawn_at=None))
    return {error.marker: error for error in standing}


def marker_lscs() -> dict[str, MarkerLsc]:
    """Return the laboratory's own LSC of each marker that it gave one for."""
    return {marker: error.lsc for marker, error in marker_errors_in_use().items()}
