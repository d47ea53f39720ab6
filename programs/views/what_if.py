"""What if: two drafts side by side, one of a copy of the facts. Nothing is saved."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from patients.facts.codes import DAYS
from patients.facts.declared import Facts
from patients.facts.declared_plate import Plate
from patients.rows_to_facts import Contradiction
from patients.views.common import contradiction_page, today
from programs.actions import plates as clinic_plates
from programs.actions.read_plan import facts_for, limits_in_force, resume_of
from programs.compare import changed_facts as changed
from programs.compare.two_drafts import Comparison, compare
from programs.dose.in_force import Clinic
from programs.draft.draft import draft
from programs.draft.resume import FROM_THE_START, Resume
from programs.forms.what_if import WhatIfForm
from programs.models.plates import ClinicPlate
from programs.plates.measured_motion import for_a_list
from programs.views.program_page import Kept, program_page
from safety.modalities import MODALITIES


@require_GET
def what_if(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the form, and the two drafts where something is changed."""
    kept = Kept.of(patient_id)
    try:
        facts = facts_for(kept.patient, today())
    except Contradiction as contradiction:
        return contradiction_page(request, kept.patient, contradiction, step="plan", status=409)
    asked = _Asked(
        facts=facts,
        resume=resume_of(kept.open) if kept.open else FROM_THE_START,
        clinic=limits_in_force(),
    )
    form = WhatIfForm(request.GET or None, facts=facts, plates=_plates(facts))
    return program_page(
        request,
        "programs/what_if.html",
        kept,
        step="plan",
        facts_today=facts,
        form=form,
        names={m: row.name for m, row in MODALITIES.items()},
        room=asked.room(),
        **(asked.beside(form) if form.is_valid() else {}),
    )


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """What both drafts are made from."""

    facts: Facts
    resume: Resume
    clinic: Clinic

    def compared(self, other: Facts) -> Comparison:
        """Return the draft as things are beside that of other facts."""
        before, after = (
            draft(facts, self.resume, limits=self.clinic) for facts in (self.facts, other)
        )
        return compare(before, after)

    def beside(self, form: WhatIfForm) -> dict[str, Any]:
        """Return what the page needs where something is changed."""
        changes = form.changes()
        if not changes:
            return {"unchanged": True}
        comparison = self.compared(changes[-1][1])
        rows = [(MODALITIES[row.modality].name, row) for row in comparison.rows]
        return {"changes": [words for words, _ in changes], "found": comparison, "rows": rows}

    def room(self) -> list[tuple[str, list[tuple[str, str]]]]:
        """Return what one more day, and ten more minutes, would bring."""
        found = []
        if (day := changed.one_more_day(self.facts)) is not None:
            found.append((f"One more day, {DAYS[day[0]]}", self._brings(day[1])))
        if (more := changed.ten_more_minutes(self.facts)) is not None:
            found.append((f"Ten more minutes on each day, {more[0]} in all", self._brings(more[1])))
        return found

    def _brings(self, other: Facts) -> list[tuple[str, str]]:
        rows = self.compared(other).changed
        return [(MODALITIES[row.modality].name, "; ".join(row.words)) for row in rows]


def _plates(facts: Facts) -> dict[str, Plate]:
    """Return her own plates and the clinic's, by a code for the form.

    A plate of the clinic stands as it was measured under her weight; one that nobody could
    believe is not offered.
    """
    own = (facts.resources.plates if facts.resources else None) or ()
    found = {f"own-{place}": plate for place, plate in enumerate(own)}
    for row in ClinicPlate.objects.filter(retired_at=None).prefetch_related("measurements"):
        plate = for_a_list(clinic_plates.known(row, facts.person.weight_kg))
        if plate is not None:
            found[f"clinic-{row.pk}"] = plate
    return found
