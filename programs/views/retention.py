"""How long records are kept, and whose retention period has ended, for whoever answers for it."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import audit
from patients.standing import erasure_words, erasures
from patients.views.common import sent_token, signed_in, today
from programs.actions.retention import people_over, set_years_kept, years_in_force
from programs.forms.clinic import RetentionForm
from safety.sources import cite

#: People whom the page lists, the longest over first.
_SHOWN = 200


@require_GET
def retention(request: HttpRequest) -> HttpResponse:
    """Show the years, the closed records whose time is over, and the records that were erased."""
    held = years_in_force()
    years = held.years if held else None
    over = [] if years is None else people_over(years, today())
    told = {
        "held": held,
        "who": audit.printed_name(held.by) if held else "",
        "years": years,
        "over": over[:_SHOWN],
        "count": len(over),
        "sources": cite("nhs_retention", "us_retention"),
        "erased": [erasure_words(one) for one in erasures().reverse()],
    }
    return render(request, "programs/retention.html", told)


@require_http_methods(["GET", "POST"])
def retention_years(request: HttpRequest) -> HttpResponse:
    """Set the years."""
    held = years_in_force()
    form = RetentionForm(request.POST or None, initial={"years": held.years if held else None})
    if request.method == "POST" and form.is_valid():
        set_years_kept(
            years=form.cleaned_data["years"],
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
        messages.success(request, "Saved.")
        return redirect("programs:retention")
    told = {
        "form": form,
        "token": uuid4(),
        "sources": cite("nhs_retention", "us_retention"),
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "programs/retention_years.html", told, status=status)
