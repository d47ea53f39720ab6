"""Keep what is typed and not saved, and throw it away. Its page asks for both."""

from __future__ import annotations

import json

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from patients.actions.refusals import Refused
from patients.actions.unfinished import drop_unfinished, keep_unfinished
from patients.models.patient import Patient
from patients.views.common import signed_in

#: In the session: that who is signed in may have left something unfinished, then or before.
LEFT_UNFINISHED = "left_unfinished"


@require_POST
def keep(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Keep a form as it is typed so far: nothing of it is saved, and nothing is answered."""
    patient = get_object_or_404(Patient, pk=patient_id)
    try:
        keep_unfinished(
            patient=patient,
            page=_of_hers(request, "page", patient),
            title=request.POST.get("title", ""),
            made_from=request.POST.get("made_from", ""),
            typed=json.loads(request.POST.get("typed", "")),
            anew="anew" in request.POST,
            by=signed_in(request),
            at=timezone.now(),
        )
    except (Refused, ValueError, RecursionError):
        return HttpResponse("This cannot be kept.", status=400, content_type="text/plain")
    if not request.session.get(LEFT_UNFINISHED):
        request.session[LEFT_UNFINISHED] = True
    return HttpResponse(status=204)


@require_POST
def drop(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Throw away what was typed on a page, and go back to it."""
    patient = get_object_or_404(Patient, pk=patient_id)
    try:
        page = _of_hers(request, "page", patient)
    except Refused:
        return redirect("patients:facts", patient_id)
    drop_unfinished(patient_id=patient.pk, page=page, by=signed_in(request))
    if request.headers.get("HX-Request"):
        # The page itself asks, once it has put it back, and says so.
        return HttpResponse(status=204)
    messages.info(request, "Discarded. What is on record stands as it was.")
    return redirect(page)


def _of_hers(request: HttpRequest, name: str, patient: Patient) -> str:
    """Return an address that was sent; raises Refused where it is of no page of hers."""
    address = request.POST.get(name, "")
    if not address.startswith(f"/patients/{patient.pk}/"):
        raise Refused("This page does not belong to this person.")
    return address
