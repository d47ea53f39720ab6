"""The clinic's scanners: their precision, studies to add and to strike out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions import scanners as actions
from patients.actions.refusals import Conflict, Refused
from patients.actions.withdrawing import withdraw
from patients.facts.codes import SCAN_SITES
from patients.forms.person import WithdrawForm
from patients.forms.scanners import ScannerForm, StudyForm
from patients.models.patient import ScanRow
from patients.models.scanners import PrecisionStudy, Scanner, errors_in_use, scanner_key
from patients.scanners import precision
from patients.views.common import sent_token, signed_in, today, whole_number


@dataclass(frozen=True)
class SitePrecision:
    """The precision in use at a site; the default stands in percent, a study's in g/cm2."""

    label: str
    study: PrecisionStudy | None
    error: float | None
    least_95: float | None
    least_80: float | None


@dataclass(frozen=True)
class StudyLine:
    """One study for reading; upper is the upper limit of its error."""

    study: PrecisionStudy
    least_95: float
    least_80: float
    upper: float
    large_enough: bool


@require_http_methods(["GET", "POST"])
def scanners(request: HttpRequest) -> HttpResponse:
    """Show all scanners; add one."""
    form = ScannerForm(request.POST or None, today=today())
    if request.method == "POST" and form.is_valid():
        try:
            made = _save(request, None, form)
        except Refused as refusal:
            form.add_error("name", str(refusal))
        else:
            return redirect("patients:scanner", made.pk)
    kept = list(Scanner.objects.all())
    shown = [(scanner, site_precisions(scanner)) for scanner in kept]
    context = {"form": form, "shown": shown, "unnamed": _not_here(kept), "defaults": _defaults()}
    return _page(request, "patients/scanners.html", form, context)


@require_http_methods(["GET", "POST"])
def scanner(request: HttpRequest, scanner_id: int) -> HttpResponse:
    """Show one scanner with its studies; add a study."""
    kept = get_object_or_404(Scanner, pk=scanner_id)
    form = StudyForm(request.POST or None, today=today())
    if request.method == "POST" and form.is_valid():
        try:
            actions.record_study(scanner=kept, study=form.study(), **_who(request))
        except Refused as refusal:
            form.add_error("made_on", str(refusal))
        else:
            messages.success(request, "Precision study saved.")
            return redirect("patients:scanner", kept.pk)
    context = {
        "form": form,
        "scanner": kept,
        "sites": site_precisions(kept),
        "studies": [study_line(study) for study in kept.studies.all()],
        "enough": precision.ENOUGH_FREEDOM,
    }
    return _page(request, "patients/scanner.html", form, context)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, scanner_id: int) -> HttpResponse:
    """Change name or note of a scanner."""
    kept = get_object_or_404(Scanner, pk=scanner_id)
    held = {"name": kept.name, "note": kept.note}
    form = ScannerForm(request.POST or None, initial=held, today=today())
    if request.method == "POST" and form.is_valid():
        try:
            _save(request, kept, form)
        except Refused as refusal:
            form.add_error("name", str(refusal))
        except Conflict as conflict:
            kept = conflict.now
            form.add_error(None, f"Changed in the meantime to “{kept.name}”, note “{kept.note}”.")
        else:
            return redirect("patients:scanner", kept.pk)
    context = {"form": form, "scanner": kept}
    return _page(request, "patients/scanner_change.html", form, context)


@require_http_methods(["GET", "POST"])
def strike(request: HttpRequest, study_id: int) -> HttpResponse:
    """Strike a study out as entered in error, with a reason."""
    study = get_object_or_404(PrecisionStudy.objects.select_related("scanner"), pk=study_id)
    form = WithdrawForm(request.POST or None, born=study.made_on, as_of=today())
    if request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        withdraw(row=study, reason=reason, by=signed_in(request), at=timezone.now())
        messages.success(request, "Struck out as entered in error.")
        return redirect("patients:scanner", study.scanner_id)
    context = {"form": form, "line": study_line(study), "scanner": study.scanner}
    return _page(request, "patients/study_withdraw.html", form, context)


def site_precisions(scanner: Scanner) -> list[SitePrecision]:
    """Return what is in use at each site of a scanner."""
    errors = errors_in_use().get(scanner.key, {})
    studies = {s.site: s for s in reversed(_standing(scanner)) if s.site in errors}
    return [
        _site(label, studies.get(site), precision.DEFAULT_ERROR_PERCENT.get(site))
        for site, label in SCAN_SITES.items()
    ]


def study_line(study: PrecisionStudy) -> StudyLine:
    """Return a study with all that follows from it, in g/cm2."""
    error = float(study.rms_sd_g_cm2)
    found = precision.Precision(error, 0.0, study.freedom, len(study.people or ()))
    return StudyLine(
        study,
        precision.least_significant(error),
        precision.least_significant(error, 80),
        found.upper_limit_g_cm2(),
        found.enough,
    )


def _standing(scanner: Scanner) -> list[PrecisionStudy]:
    standing = scanner.studies.filter(withdrawn_at=None)
    return list(standing.filter(freedom__gte=precision.ENOUGH_FREEDOM))


def _site(label: str, study: PrecisionStudy | None, default: float | None) -> SitePrecision:
    error = float(study.rms_sd_g_cm2) if study else default
    if error is None:
        return SitePrecision(label, study, None, None, None)
    least = precision.least_significant
    return SitePrecision(label, study, error, least(error), least(error, 80))


def _defaults() -> list[SitePrecision]:
    errors = precision.DEFAULT_ERROR_PERCENT
    return [_site(label, None, errors.get(site)) for site, label in SCAN_SITES.items()]


def _not_here(kept: list[Scanner]) -> list[str]:
    """Return the names that stand with scans and belong to no scanner of the list."""
    names = ScanRow.objects.exclude(scanner=None).values_list("scanner", flat=True).distinct()
    keys = {scanner.key for scanner in kept}
    return sorted(n for n in names if n and scanner_key(n) not in keys)


def _save(request: HttpRequest, kept: Scanner | None, form: ScannerForm) -> Scanner:
    version = request.POST.get("version", "")
    return actions.save_scanner(
        scanner=kept,
        name=form.cleaned_data["name"],
        note=form.cleaned_data["note"] or "",
        version=whole_number(version) or 0,
        **_who(request),
    )


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"by": signed_in(request), "at": timezone.now(), "token": sent_token(request)}


def _page(request: HttpRequest, template: str, form: Any, context: dict[str, Any]) -> HttpResponse:
    context["token"] = sent_token(request) or uuid4()
    return render(request, template, context, status=422 if form.errors else 200)
