"""From a page of a record that stands under another one to the same page of that one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponseRedirect
from django.urls import reverse
from django.utils.html import format_html

from patients.models.patient import Patient
from patients.standing import join_of

#: Pages that are shown of the double itself.
_OF_DOUBLES = ("patients:kept",)


def lead_on(request: HttpRequest, patient: Patient) -> HttpResponseRedirect | None:
    """Return the way to the record that goes on, with a sentence for its page; None: stay.

    What is kept under the double stays readable: its own page, single programs and papers,
    and any page asked for with ?kept=1.
    """
    at = request.resolver_match
    if request.method != "GET" or at is None or "kept" in request.GET:
        return None
    if len(at.kwargs) != 1 or at.view_name in _OF_DOUBLES or (join := join_of(patient)) is None:
        return None
    text = format_html(
        'Record {0} is joined to this one, of the same person. <a href="{1}">What was kept under '
        "{0}</a>",
        patient.pk,
        reverse("patients:kept", args=[patient.pk]),
    )
    messages.info(request, text)
    return HttpResponseRedirect(reverse(at.view_name, args=[join.into_id]))
