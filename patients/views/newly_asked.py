"""All that a newer rulebook asks of one person, on one page, saved in one go."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from patients.forms.newly_asked import NewlyAskedSheet
from patients.views.one_page import OnePage

PAGE = OnePage(
    sheet=NewlyAskedSheet,
    template="patients/newly_asked.html",
    title="New questions",
    measured=lambda sheet: {"corrected": sheet.corrected()},
    of_rows=lambda sheet: ["fractures"] if sheet.corrected() else [],
)


@require_http_methods(["GET", "POST"])
def newly_asked(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show or save what is newly open."""
    return PAGE.serve(request, patient_id)
