"""The clinical safety file, on a page and as a paper for colleagues."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from programs.actions import papers
from programs.actions.clinic import details_in_force
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.views.being_made import prints
from safety.hazards.safety_file import safety_file as made_of_hazards


@require_GET
def safety_file(request: HttpRequest) -> HttpResponse:
    """Show what the product is for, who answers, its limits, and every hazard."""
    return render(request, "programs/safety_file.html", {"file": made_of_hazards()})


@require_GET
@prints
def safety_file_pdf(request: HttpRequest) -> HttpResponse:
    """Give the same as a paper."""
    try:
        made = papers.safety_file_pdf(paper=details_in_force().paper)
    except (PaperRefused, PaperUnavailable) as refusal:
        messages.error(request, str(refusal))
        return redirect("programs:clinic_safety")
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="clinical-safety-file.pdf"'
    return response
