"""Which plan a form was made for, and in which state."""

from __future__ import annotations

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404

from patients.views.common import sent_number, whole_number
from programs.models.program import Plan
from programs.views.program_page import Kept


def sent_plan(request: HttpRequest, kept: Kept) -> Plan:
    """Return the plan that the form was made for. Raises Http404 where it is not hers."""
    number = whole_number(request.POST.get("plan", ""))
    if number is None:
        raise Http404("The form names no plan.")
    return get_object_or_404(Plan, pk=number, patient=kept.patient)


def sent_lock(request: HttpRequest) -> int:
    """Return the state of the plan that the form was made from."""
    return sent_number(request, "lock")
