"""The clinic: every limit in force beside its default, how it is reached, its record."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import audit
from patients.actions.codes import asked_of
from patients.staff.one_time_codes import WHO_MUST
from patients.views.common import sent_token, signed_in
from programs.actions import clinic as actions
from programs.actions.emergency_numbers import (
    Emergency,
    emergencies_in_force,
    missing_numbers,
    set_emergencies,
)
from programs.actions.languages import languages_in_force, languages_on, languages_unread
from programs.actions.record_check import check_record
from programs.actions.refusals import NotDone
from programs.dose.clinic_limits import CLINIC_LIMITS, ClinicLimit
from programs.dose.in_force import Clinic, Setting
from programs.forms.clinic import DetailsForm, EmergencyForm, LimitForm
from programs.models.clinic import LimitChange
from programs.models.record_check import RecordCheck
from programs.views.first_run import to_set
from programs.views.settings_form import is_set
from safety.findings import Modality
from safety.modalities import MODALITIES


@dataclass(frozen=True, kw_only=True)
class Line:
    """One limit as the page shows it."""

    limit: ClinicLimit
    value: float
    own: Setting | None

    @property
    def word(self) -> str:
        """Return how it stands to the rulebook."""
        if self.value == self.limit.value:
            return ""
        return "loosened" if self.limit.is_looser(self.value) else "tightened"

    @property
    def level(self) -> str:
        """Return the tone that goes with the word."""
        return {"loosened": "needs_clearance", "tightened": "fine"}.get(self.word, "")


def _lines(here: Clinic) -> list[tuple[str, list[Line]]]:
    """Return the limits of each modality."""
    return [
        (
            MODALITIES[modality].name,
            [
                Line(limit=limit, value=here.value(limit.limit), own=here.settings.get(name))
                for name, limit in CLINIC_LIMITS.items()
                if limit.modality is modality
            ],
        )
        for modality in Modality
    ]


@require_GET
def clinic(request: HttpRequest) -> HttpResponse:
    """Show every limit in force with its default, how the clinic is reached, its record."""
    details = actions.details_in_force()
    first = to_set(details)
    return _page(
        request,
        "programs/clinic.html",
        groups=_lines(actions.limits_in_force()),
        details=details,
        to_set=first,
        still_to_set=sum(1 for one in first if not one.holds),
        emergencies=_emergencies(),
        missing=missing_numbers(),
        languages=languages_in_force().values(),
        unread=languages_unread(),
        history=_history(),
        asked=WHO_MUST[asked_of()],
        **_looks(),
    )


def _looks() -> dict[str, Any]:
    """Return the last look over the record, who looked, and the last one at which it held."""
    rows = RecordCheck.objects.select_related("by")
    looked = rows.last()
    held = looked if looked is None or not looked.broken else rows.filter(broken="").last()
    return {
        "looked": looked,
        "held": held,
        "looker": audit.printed_name(looked.by if looked else None),
    }


def look_over(request: HttpRequest) -> HttpResponse:
    """Look the record over now."""
    found = check_record(by=signed_in(request), at=timezone.now(), token=sent_token(request))
    if found.broken:
        messages.warning(request, "The record is not as it was written. See below.")
    else:
        messages.success(request, "The record is as it was written.")
    return redirect("programs:clinic")


def _history() -> list[dict[str, Any]]:
    rows = LimitChange.objects.select_related("by").order_by("-pk")[:50]
    return [
        {"row": row, "who": audit.printed_name(row.by), "limit": CLINIC_LIMITS[row.name]}
        for row in rows
        if row.name in CLINIC_LIMITS
    ]


@require_http_methods(["GET", "POST"])
def clinic_limit(request: HttpRequest, name: str) -> HttpResponse:
    """Set one limit, or give it back to the rulebook."""
    if name not in CLINIC_LIMITS:
        raise Http404("No such limit.")
    limit = CLINIC_LIMITS[name]
    now = actions.limits_in_force().value(limit.limit)
    form = LimitForm(request.POST or None, name=name, initial={"value": now})
    if request.method == "POST" and form.is_valid():
        refusal = _set(request, name, form)
        if refusal is None:
            return redirect("programs:clinic")
        form.add_error(None, refusal)
    status = 422 if request.method == "POST" else 200
    return _page(
        request, "programs/clinic_limit.html", form=form, limit=limit, now=now, status=status
    )


def _set(request: HttpRequest, name: str, form: LimitForm) -> str | None:
    value = form.cleaned_data["value"]
    try:
        actions.set_limit(
            name=name,
            value=value,
            reason=form.cleaned_data["reason"] or "",
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except NotDone as refusal:
        return str(refusal)
    messages.success(request, f"In force: {CLINIC_LIMITS[name].words(value)}.")
    return None


@require_http_methods(["GET", "POST"])
def clinic_details(request: HttpRequest) -> HttpResponse:
    """Set how the clinic is called and reached."""
    form = DetailsForm(request.POST or None, initial=vars(actions.details_in_force()))
    if request.method == "POST" and form.is_valid():
        given = {key: value or "" for key, value in form.cleaned_data.items()}
        actions.set_details(
            details=replace(actions.details_in_force(), **given),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
        messages.success(request, "Saved.")
        return redirect("programs:clinic")
    status = 422 if request.method == "POST" else 200
    return _page(request, "programs/clinic_details.html", form=form, status=status)


@require_http_methods(["GET", "POST"])
def clinic_emergency(request: HttpRequest) -> HttpResponse:
    """Set whom to call in an emergency, for each language of the papers."""
    form = EmergencyForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and is_set(request, form, set_emergencies):
        messages.success(request, "Saved.")
        return redirect("programs:clinic")
    status = 422 if request.method == "POST" else 200
    shown = {"form": form, "missing": missing_numbers()}
    return _page(request, "programs/clinic_emergency.html", status=status, **shown)


def _emergencies() -> list[tuple[str, Emergency]]:
    """Return what is set, by the name of the language."""
    held = emergencies_in_force()
    return [(name, held[code]) for code, name in languages_on()]


def _page(
    request: HttpRequest, template: str, *, status: int = 200, **context: Any
) -> HttpResponse:
    context.setdefault("token", uuid4())
    return render(request, template, context, status=status)
