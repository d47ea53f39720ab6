"""What other apps keep under a record, as lines with links; patients knows nothing of them."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.utils.module_loading import import_string

from patients.models.patient import Patient


@dataclass(frozen=True, kw_only=True)
class KeptLine:
    """One thing kept under a record.

    address   where it can be read, or nothing
    """

    title: str
    text: str
    address: str = ""


def kept_under(patient: Patient) -> list[KeptLine]:
    """Return what the other apps keep under a record."""
    made = (import_string(name)(patient) for name in settings.KEPT_UNDER)
    return [line for lines in made for line in lines]
