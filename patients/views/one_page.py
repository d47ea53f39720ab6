"""Questions of several sections on one page, saved in one go."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from patients import audit
from patients.actions import patient_record
from patients.actions.refusals import Conflict, Refused
from patients.facts.sections import SECTIONS
from patients.models.patient import Patient
from patients.rows_as_tables import differences
from patients.rows_to_facts import Contradiction, entered
from patients.views.common import (
    patient_page,
    sent_again,
    sent_token,
    signed_in,
    today,
    whole_number,
)


def _to_facts(_request: HttpRequest, sheet: Any) -> HttpResponse:
    return redirect("patients:facts", sheet.known.patient.pk)


def _nothing_more(_sheet: Any) -> Mapping[str, Any]:
    return {"steps_of_plan": True}


@dataclass(frozen=True, kw_only=True)
class OnePage:
    """A page of questions.

    measured   rows that the sheet adds or corrects, as save_sections takes them
    of_rows    what of them is told as saved, in words
    onward     where it goes when it is saved
    again      where it goes when the form was saved before
    beside     what else its template needs
    """

    sheet: type[Any]
    template: str
    title: str
    measured: Callable[[Any], Mapping[str, Sequence[Any]]]
    of_rows: Callable[[Any], list[str]]
    onward: Callable[[HttpRequest, Any], HttpResponse] = _to_facts
    again: Callable[[HttpRequest, Any], HttpResponse] = _to_facts
    beside: Callable[[Any], Mapping[str, Any]] = _nothing_more

    def serve(self, request: HttpRequest, patient_id: int) -> HttpResponse:
        """Show or save it."""
        patient = get_object_or_404(Patient, pk=patient_id)
        known = entered(patient, today(), self.sheet.kinds)
        if request.method == "GET":
            return self._page(request, self.sheet(known))
        sheet = self.sheet(known, request.POST)
        if audit.done_before(sent_token(request)) is not None:
            return self.again(request, sheet)
        return self._save(request, sheet)

    def shown(self, request: HttpRequest, patient: Patient) -> HttpResponse:
        """Show it with what was typed and what is wrong with it, without saving."""
        sheet = self.sheet(entered(patient, today(), self.sheet.kinds), request.POST)
        valid = sheet.is_valid()
        return self._page(request, sheet, status=200 if valid else 422)

    def _save(self, request: HttpRequest, sheet: Any) -> HttpResponse:
        if not sheet.is_valid():
            return self._page(request, sheet)
        try:
            written = self._write(request, sheet)
        except Conflict as conflict:
            return self._conflict_page(request, sheet, conflict)
        except (Contradiction, Refused) as refusal:
            next(iter(sheet.forms.values())).add_error(None, str(refusal))
            return self._page(request, sheet)
        titles = [*(SECTIONS[code].title.lower() for code in written), *self.of_rows(sheet)]
        if titles:
            messages.success(request, f"Saved: {', '.join(titles)}.")
        else:
            messages.info(request, "Nothing was changed, so nothing was saved.")
        return self.onward(request, sheet)

    def _write(self, request: HttpRequest, sheet: Any) -> list[str]:
        based_on = request.POST.get("based_on", "")
        return patient_record.save_sections(
            patient=sheet.known.patient,
            parts=sheet.parts(),
            as_of=sheet.known.as_of,
            based_on=whole_number(based_on),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
            **self.measured(sheet),
        )

    def _page(self, request: HttpRequest, sheet: Any, status: int | None = None) -> HttpResponse:
        held = sheet.known.assessment
        return patient_page(
            request,
            self.template,
            sheet.known.patient,
            status=status or (200 if sheet.data is None else 422),
            sheet=sheet,
            based_on=request.POST.get("based_on", held.pk if held else ""),
            **({"token": sent_token(request)} if sent_token(request) else {}),
            **self.beside(sheet),
        )

    def _conflict_page(self, request: HttpRequest, sheet: Any, conflict: Conflict) -> HttpResponse:
        now = conflict.now
        rows = [
            row
            for code, mine in conflict.mine.items()
            for row in differences(sheet.known, SECTIONS[code], conflict.theirs[code], mine)
        ]
        return patient_page(
            request,
            "patients/conflict.html",
            sheet.known.patient,
            steps_of_plan=True,
            status=409,
            title=self.title,
            rows=rows,
            saved_by=audit.printed_name(now.made_by),
            saved_at=now.made_at,
            sent=[*sent_again(request, "based_on"), ("based_on", str(now.pk))],
        )
