"""The page of an episode: its picture, all that happened in it, and what comes next."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from patients.views.common import today
from programs.actions.timeline import timeline_of
from programs.review.timeline import newest_first, picture
from programs.views.program_page import Kept, newest_signed, program_page


@require_GET
def timeline(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the episode that the newest program belongs to."""
    kept = Kept.of(patient_id)
    signed = newest_signed(kept)
    told: dict[str, Any] = {"found": None}
    if signed is not None:
        day = today()
        found = timeline_of(signed, day, kept.facts_known)
        told = {
            "found": found,
            "moments": newest_first(found.moments),
            "picture": picture(found.moments, found.begun, day, "episode"),
        }
    return program_page(request, "programs/timeline.html", kept, step="review", **told)
