"""Keeping that by which a person is found: worked out from her names, so no line tells of it."""

from __future__ import annotations

from patients.models.finding import MOST_LETTERS, Findable, WordKey
from patients.models.patient import Patient
from patients.names import keys_of, spelt


def keep_findable(patient: Patient) -> None:
    """Let a person be found by her names, number and birth as they are now."""
    names = (patient.given_name, patient.family_name, patient.goes_by)
    held = {
        "words": spelt(*names, patient.record_number)[:MOST_LETTERS],
        "sort_key": patient.search_key,
        "born": patient.born,
        "born_is": patient.born_is,
    }
    Findable.objects.update_or_create(patient=patient, defaults=held)
    words = spelt(*names).split()
    keys = [WordKey(key=key, word=word) for word in words for key in keys_of(word)]
    WordKey.objects.bulk_create(keys, ignore_conflicts=True)
