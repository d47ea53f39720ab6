"""What was signed under an older rulebook, on the pages; and the note on what today's changed."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.models.patient import Patient
from patients.views.common import BannerNote, sent_token, signed_in
from programs.actions.release_note import has_read, note_read
from programs.actions.rulebook_check import to_look_at_in
from programs.models.program import Plan
from programs.release_note import CHANGES
from safety.rules.all_rules import RULEBOOK


def look_again_notes(patient: Patient, signed: Plan) -> list[BannerNote]:
    """Say that the program in her hands tells more than is allowed today.

    signed   the newest signed plan, as newest_plans reads it
    """
    found = to_look_at_in(signed, timezone.now())
    if found is None:
        return []
    text = (
        f"Program {found.signed.version} was signed under rulebook {found.signed.rulebook} and "
        f"asks more than {RULEBOOK} allows. Look again; nothing of it is printed until a review."
    )
    review, asked = (
        reverse(name, args=[patient.pk]) for name in ("programs:review", "patients:newly_asked")
    )
    return [BannerNote(text=text, links=((review, "Review"), (asked, "New questions")))]


@require_http_methods(["GET", "POST"])
def release_note(request: HttpRequest) -> HttpResponse:
    """Tell what the rulebook changed and for whom; take that it was read."""
    user = signed_in(request)
    if request.method == "POST":
        note_read(by=user, at=timezone.now(), token=sent_token(request))
        messages.success(request, "Noted: you have read what changed.")
        return redirect("programs:caseload")
    context = {
        "changes": CHANGES,
        "rulebook": RULEBOOK,
        "has_read": has_read(user),
        "token": uuid4(),
    }
    return render(request, "programs/release_note.html", context)
