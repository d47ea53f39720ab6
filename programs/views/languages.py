"""The page that turns languages of papers on and off, and tells who read them."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from patients.views.common import today
from programs.actions.languages import set_languages
from programs.forms.languages import LanguagesForm
from programs.views.settings_form import is_set


@require_http_methods(["GET", "POST"])
def clinic_languages(request: HttpRequest) -> HttpResponse:
    """Set in which languages papers are made, and by whom each was read."""
    form = LanguagesForm(request.POST or None, today=today())
    if request.method == "POST" and form.is_valid() and is_set(request, form, set_languages):
        messages.success(request, "Saved.")
        return redirect("programs:clinic")
    status = 422 if request.method == "POST" else 200
    shown = {"form": form, "token": uuid4()}
    return render(request, "programs/clinic_languages.html", shown, status=status)
