"""The page of her phone: a code made and shown once, its slip, and the phones that are open."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_POST

from patients.actions.refusals import Refused
from patients.views.common import sent_number, sent_token, signed_in
from programs.actions.clinic import details_in_force
from programs.actions.languages import languages_on
from programs.actions.papers import phone_slip_pdf
from programs.actions.phone_codes import (
    code_shown,
    codes_of,
    dies_at,
    end_code,
    is_unspent,
    make_code,
    note_slip,
    why_no_code,
)
from programs.actions.phone_log import leave_day, take_days, waiting
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.actions.refusals import NotDone
from programs.models.phone import PhoneCode
from programs.models.program import SignedPlan
from programs.papers.kinds import ENGLISH_CODE
from programs.papers.phone_slip import CodeOnSlip
from programs.phone.address import Served, why_unreachable
from programs.phone.codes import grouped
from programs.phone.qr import svg
from programs.views.program_page import Kept, newest_signed, program_page


@require_http_methods(["GET", "POST"])
def phone(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the codes and phones of a patient; make a code, shown with this answer alone."""
    kept = Kept.of(patient_id)
    signed = newest_signed(kept)
    if request.method == "GET" or signed is None:
        return _phone_page(request, kept, signed)
    if why_unreachable(served(request)):
        return _phone_page(request, kept, signed, status=409)
    chosen = request.POST.get("language", "")
    try:
        row, code = make_code(
            signed=signed,
            language=chosen if chosen in dict(languages_on()) else ENGLISH_CODE,
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except NotDone as refused:
        messages.error(request, str(refused))
        return redirect("programs:phone", patient_id)
    return _phone_page(request, kept, signed, made=row, **_shown(request, row, code))


def served(request: HttpRequest) -> Served:
    """Return how this page was asked for, and how Calcar is set up."""
    return Served(
        tls=settings.TLS,
        secure=request.is_secure(),
        host=request.get_host(),
        hosts=settings.HOSTS,
    )


def _shown(request: HttpRequest, row: PhoneCode, code: str) -> dict[str, Any]:
    address = _address(request, row, code)
    told = "Picture of the address for the camera of the phone"
    return {
        "code": code,
        "typed": grouped(code),
        "picture": mark_safe(svg(address, told)),
        "until": dies_at(row),
        "address": served(request).short,
    }


def _address(request: HttpRequest, row: PhoneCode, code: str) -> str:
    path = reverse("programs:her_code", args=[row.language, code])
    return f"https://{served(request).host}{path}"


def _phone_page(
    request: HttpRequest,
    kept: Kept,
    signed: SignedPlan | None,
    *,
    status: int = 200,
    **shown: Any,
) -> HttpResponse:
    at = timezone.now()
    why = why_unreachable(served(request))
    not_now = why_no_code(signed, at) if signed else "Nothing is signed yet."
    codes = [(row, _state(row)) for row in codes_of(kept.patient)]
    context: dict[str, Any] = {
        "step": "handout",
        "why": why,
        "not_now": not_now,
        "codes": codes,
        "languages": languages_on(),
        **shown,
    }
    return program_page(request, "programs/phone.html", kept, status=status, **context)


def _state(row: PhoneCode) -> str:
    """Return what becomes of a code or a phone now: "unspent", "open", or "over"."""
    at = timezone.now()
    if is_unspent(row, at):
        return "unspent"
    opening = getattr(row, "opening", None)
    return "open" if opening and not hasattr(row, "end") and at < opening.until else "over"


@require_POST
def slip(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Print the slip of a code that was just made; the page that shows the code sends it."""
    kept = Kept.of(patient_id)
    code, at = request.POST.get("code", ""), timezone.now()
    row = code_shown(kept.patient, code, at)
    if row is None or why_unreachable(served(request)):
        messages.error(request, "This code opens no phone any more. Make another one.")
        return redirect("programs:phone", patient_id)
    clinic = details_in_force()
    held = CodeOnSlip(
        picture=_address(request, row, code),
        address=served(request).short,
        code=grouped(code),
        until=timezone.localtime(dies_at(row)),
        phone=clinic.phone,
    )
    try:
        made = phone_slip_pdf(held, language=row.language, paper=clinic.paper)
    except (PaperRefused, PaperUnavailable) as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:phone", patient_id)
    note_slip(code=row, by=signed_in(request), at=at)
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="phone.pdf"'
    return response


@require_POST
def end(request: HttpRequest, patient_id: int, code_id: int) -> HttpResponse:
    """End a code, or the phone that it opened."""
    row = get_object_or_404(PhoneCode, pk=code_id, signed__patient_id=patient_id)
    end_code(code=row, by=signed_in(request), at=timezone.now())
    messages.success(request, "Ended. That phone shows nothing of her any more.")
    return redirect("programs:phone", patient_id)


# --- What she wrote ---------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
def log_phone(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what she wrote by phone; take it into the log, or do not, with a reason."""
    kept = Kept.of(patient_id)
    if request.method == "GET":
        return _written_page(request, kept)
    try:
        said = _decided(request, kept)
    except Refused as refused:
        return _written_page(request, kept, str(refused), status=409)
    messages.success(request, said)
    return redirect("programs:log", patient_id)


def _decided(request: HttpRequest, kept: Kept) -> str:
    who: dict[str, Any] = {
        "patient": kept.patient,
        "by": signed_in(request),
        "at": timezone.now(),
    }
    if "leave" in request.POST:
        number = sent_number(request, "leave")
        leave_day(number=number, reason=request.POST.get(f"reason{number}", ""), **who)
        return "Not taken into the log. It stays as she wrote it."
    numbers = [int(n) for n in request.POST.getlist("day") if n.isdecimal() and len(n) < 16]
    if one := sent_number(request, "take"):
        numbers = [one]
    added = take_days(numbers=numbers, token=sent_token(request), **who)
    return f"Taken into the log: {added} entr{'y' if added == 1 else 'ies'}."


def _written_page(
    request: HttpRequest, kept: Kept, error: str = "", status: int = 200
) -> HttpResponse:
    days = [(day, request.POST.get(f"reason{day.entry.pk}", "")) for day in waiting(kept.patient)]
    context: dict[str, Any] = {"steps_of_plan": True, "her_days": days, "error": error}
    template = "programs/log_phone.html"
    return program_page(request, template, kept, step="log", status=status, **context)
