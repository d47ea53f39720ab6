"""The Caseload: its lists, the first rows of each; and each list by itself, page by page."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from patients.models.patient import Patient
from patients.views.common import signed_in, today
from programs.actions.emergency_numbers import missing_numbers
from programs.actions.release_note import has_read
from programs.actions.rulebook_check import hold_all
from programs.views.caseload_lists import LISTS
from programs.views.first_run import to_set
from safety.rules.all_rules import RULEBOOK

#: Programs held against today's rulebook at one opening: each takes a draft.
HELD_AT_ONCE = 20
#: Rows of each list on the first page.
FIRST = 8


@require_GET
def caseload(request: HttpRequest) -> HttpResponse:
    """Show the lists; what nobody held against today's rulebook yet is held now, some at a time."""
    hold_all(at=timezone.now(), most=HELD_AT_ONCE)
    day = today()
    context: dict[str, Any] = {
        "lists": [(one, *one.page(day, size=FIRST)) for one in LISTS.values()],
        "unread": not has_read(signed_in(request)),
        "rulebook": RULEBOOK,
        "missing": missing_numbers(),
    }
    if not any(lines for _, lines, _ in context["lists"]) and not Patient.objects.exists():
        context["to_set"] = to_set()
    return render(request, "programs/caseload.html", context)


@require_GET
def one_list(request: HttpRequest, code: str) -> HttpResponse:
    """Show one list, a page of it at a time."""
    if code not in LISTS:
        raise Http404(code)
    asked = request.GET.get("page", "")
    number = max(1, int(asked)) if asked.isdecimal() and len(asked) < 6 else 1
    lines, more = LISTS[code].page(today(), number)
    context = {"one": LISTS[code], "lines": lines, "more": more, "number": number}
    return render(request, "programs/caseload_list.html", context)
