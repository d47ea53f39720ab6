"""Help: the glossary, and the tour that each person puts away for herself."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_POST

from patients.views.common import signed_in
from patients.views.form_marks import of_any_life
from programs.actions import tour as actions
from programs.actions.refusals import NotDone
from programs.help.glossary import groups
from programs.help.tour import ALL_PAGES

#: Where the session keeps which pages' tours were put away, from signing in on.
TOUR_AWAY = "tour_away"


@require_GET
def glossary(request: HttpRequest) -> HttpResponse:
    """Show every term, question, code and source with its place."""
    return render(request, "programs/glossary.html", {"groups": groups()})


@of_any_life
@require_POST
def tour(request: HttpRequest) -> HttpResponse:
    """Put the tour of a page away, or of all, or bring it back; then go where it was."""
    by, at = signed_in(request), timezone.now()
    page = request.POST.get("tour_page", "")
    try:
        if page:
            actions.put_away(page=page, by=by, at=at)
        else:
            actions.bring_back(by=by, at=at)
            messages.success(request, "The tour is shown on each page again.")
    except NotDone as refused:
        messages.error(request, str(refused))
    if page == ALL_PAGES:
        messages.success(request, "Put away. Your account can bring the tour back.")
    request.session[TOUR_AWAY] = sorted(actions.pages_put_away(by))
    return redirect(_back(request))


def _back(request: HttpRequest) -> str:
    """Return the page from which it was put away, if it is one of ours."""
    to = request.POST.get("tour_next", "")
    ours = to.startswith("/") and url_has_allowed_host_and_scheme(
        to, {request.get_host()}, require_https=request.is_secure()
    )
    return to if ours else reverse("patients:account")
