"""What is typed and not saved, and the keys of the pages, for the story of a clinic."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patients.actions import keys, unfinished
from patients.models.patient import Patient
from tests.kills.harness import Step


def typed_and_left(patient: Patient, who: dict[str, Any]) -> Iterator[tuple[str, Step]]:
    """Yield each of them once; who says who does it and when."""
    page, lost = (f"/patients/{patient.pk}/facts/{code}/" for code in ("falls", "about"))
    typed = {"falls-last_12_months": {"was": [""], "now": ["Twice, on the stairs"]}}
    told = {"patient": patient, "title": "Falls", "made_from": "", "typed": typed, **who}
    yield "keep_unfinished", lambda: unfinished.keep_unfinished(page=page, **told)
    unfinished.keep_unfinished(page=lost, **told)
    yield (
        "drop_unfinished",
        lambda: unfinished.drop_unfinished(patient_id=patient.pk, page=lost, by=who["by"]),
    )
    yield "set_keys", lambda: keys.set_keys(on=False, **who)
