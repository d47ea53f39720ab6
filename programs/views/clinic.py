"""The clinic's settings: every limit in force beside its default, and how it is reached."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import audit
from patients.views.common import sent_token, signed_in
from programs.actions import clinic as actions
from programs.actions.refusals import NotDone
from programs.clinic_limits import CLINIC_LIMITS, Clinic, ClinicLimit, Setting
from programs.forms.clinic import DetailsForm, LimitForm
from programs.models_clinic import LimitChange
from programs.plan_words import NAMES
from safety.findings import Modality


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
            NAMES[modality],
            [
                Line(limit=limit, value=here.value(name), own=here.settings.get(name))
                for name, limit in CLINIC_LIMITS.items()
                if limit.modality is modality
            ],
        )
        for modality in Modality
    ]


@require_GET
def clinic(request: HttpRequest) -> HttpResponse:
    """Show every limit in force with its default, and how the clinic is reached."""
    return _page(
        request,
        "clinic",
        groups=_lines(actions.limits_in_force()),
        details=actions.details_in_force(),
        history=_history(),
    )


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
    now = actions.limits_in_force().value(name)
    form = LimitForm(request.POST or None, name=name, initial={"value": now})
    if request.method == "POST" and form.is_valid():
        refusal = _set(request, name, form)
        if refusal is None:
            return redirect("programs:clinic")
        form.add_error(None, refusal)
    status = 422 if request.method == "POST" else 200
    return _page(request, "clinic_limit", form=form, limit=limit, now=now, status=status)


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
            details=actions.Details(**given),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
        messages.success(request, "Saved.")
        return redirect("programs:clinic")
    status = 422 if request.method == "POST" else 200
    return _page(request, "clinic_details", form=form, status=status)


def _page(request: HttpRequest, name: str, *, status: int = 200, **context: Any) -> HttpResponse:
    context.setdefault("token", uuid4())
    return render(request, f"programs/{name}.html", context, status=status)
