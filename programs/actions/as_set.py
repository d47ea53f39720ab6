"""What the clinic has set for its papers, all of it in one query."""

from __future__ import annotations

from dataclasses import dataclass

from patients.rows_at_once import rows_at_once
from programs.actions.clinic import Details, details_in_force
from programs.actions.emergency_numbers import missing_numbers
from programs.actions.languages import Held, languages_in_force
from programs.models.clinic import ClinicDetails, EmergencyNumber, PaperLanguage


@dataclass(frozen=True, kw_only=True)
class AsSet:
    """How the clinic is reached, how each language stands, and which numbers papers lack."""

    details: Details
    languages: Held
    missing: tuple[str, ...]


def as_set() -> AsSet:
    """Return what is set now."""
    rows = rows_at_once(
        {
            "details": ClinicDetails.objects.all(),
            "languages": PaperLanguage.objects.all(),
            "numbers": EmergencyNumber.objects.all(),
        }
    )
    details, languages = details_in_force(rows["details"]), languages_in_force(rows["languages"])
    missing = missing_numbers(details, languages, rows["numbers"])
    return AsSet(details=details, languages=languages, missing=missing)
