"""What the clinic's laboratory says of the error of each bone marker."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions import scanners
from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.facts.codes import MARKERS
from patients.forms.laboratory import MarkerErrorForm
from patients.forms.person import WithdrawForm
from patients.measured.turnover import DEFAULT_LSC, MarkerLsc
from patients.models.scanners import MarkerError, marker_lscs
from patients.views.common import sent_token, signed_in, today


@dataclass(frozen=True)
class InUse:
    """A marker with the LSC in use."""

    label: str
    least: MarkerLsc


@require_http_methods(["GET", "POST"])
def laboratory(request: HttpRequest) -> HttpResponse:
    """Show the error in use for each marker and all on record; add one."""
    form = MarkerErrorForm(request.POST or None, today=today())
    if request.method == "POST" and form.is_valid():
        try:
            scanners.record_marker_error(
                figures=form.figures(),
                by=signed_in(request),
                at=timezone.now(),
                token=sent_token(request),
            )
        except Refused as refusal:
            form.add_error("told_on", str(refusal))
        else:
            messages.success(request, "Saved.")
            return redirect("patients:laboratory")
    own = marker_lscs()
    context = {
        "form": form,
        "used": [InUse(label, own.get(m, DEFAULT_LSC[m])) for m, label in MARKERS.items()],
        "errors": MarkerError.objects.select_related("entered_by", "withdrawn_by"),
        "token": sent_token(request) or uuid4(),
    }
    status = 422 if form.errors else 200
    return render(request, "patients/laboratory.html", context, status=status)


@require_http_methods(["GET", "POST"])
def strike(request: HttpRequest, error_id: int) -> HttpResponse:
    """Strike a figure out as entered in error, with a reason."""
    error = get_object_or_404(MarkerError, pk=error_id)
    form = WithdrawForm(request.POST or None, born=error.told_on, as_of=today())
    if request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        by = signed_in(request)
        withdraw(row=error, reason=reason, by=by, at=timezone.now())
        messages.success(request, "Struck out as entered in error.")
        return redirect("patients:laboratory")
    context = {"form": form, "error": error}
    status = 422 if form.errors else 200
    return render(request, "patients/marker_error_withdraw.html", context, status=status)
