"""The list of people who may be on record twice."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions.doubles import two_people
from patients.actions.refusals import Refused
from patients.models.patient import Patient
from patients.models.standing import PossibleDouble
from patients.search import PAGE
from patients.views.common import sent_token, signed_in, whole_number


@require_http_methods(["GET", "POST"])
def doubles(request: HttpRequest) -> HttpResponse:
    """Show two and two who may be one, the newest first; keep that they are two people."""
    wrong, status = "", 200
    if request.method == "POST":
        try:
            two_people(
                one=_sent(request, "one"),
                other=_sent(request, "other"),
                reason=request.POST.get("reason", ""),
                by=signed_in(request),
                at=timezone.now(),
                token=sent_token(request),
            )
        except Refused as refused:
            wrong, status = str(refused), 422
        else:
            messages.success(request, "Noted: two people.")
            return redirect("patients:doubles")
    return _page(request, wrong, status)


def _sent(request: HttpRequest, name: str) -> Patient:
    number = request.POST.get(name, "")
    return get_object_or_404(Patient, pk=whole_number(number) or 0)


def _page(request: HttpRequest, wrong: str, status: int) -> HttpResponse:
    before = request.GET.get("before", "")
    rows = PossibleDouble.objects.select_related("one", "other")
    if before.isdecimal() and len(before) < 12:
        rows = rows.filter(pk__lt=int(before))
    pairs = list(rows[: PAGE + 1])
    context = {
        "pairs": [(pair, uuid4()) for pair in pairs[:PAGE]],
        "more": pairs[PAGE - 1].pk if len(pairs) > PAGE else None,
        "wrong": wrong,
        "wrong_one": request.POST.get("one"),
        "wrong_other": request.POST.get("other"),
    }
    return render(request, "patients/doubles.html", context, status=status)
