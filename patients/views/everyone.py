"""Everyone on record, fifty at a time, and whom a search finds.

The terms of a search are posted and kept in the session; the address of what is found holds a
handle of no meaning. So Back and Reload show it again, and no name is left in the browser.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from secrets import token_urlsafe
from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from patients.asked_for import LONGEST, asked_for
from patients.models.finding import CLOSED, JOINED, OPEN, Findable
from patients.models.patient import Patient
from patients.models.standing import Closing
from patients.search import MOST, PAGE, Found, found
from patients.standing import closings_of, joins_of
from patients.views.form_marks import of_any_life

_SEARCHES = "searches"
#: Searches of one session that Back leads to.
_KEPT = 20


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One line of a list of people.

    closing  where her record is closed
    also     other records that were joined to hers and by which she was found
    """

    patient: Patient
    closing: Closing | None = None
    also: tuple[Patient, ...] = ()


@sensitive_post_parameters("q")
@of_any_life
@require_http_methods(["GET", "POST"])
def caseload(request: HttpRequest) -> HttpResponse:
    """Show a page of everyone, or of whom a search finds; a posted search leads there."""
    if request.method == "POST":
        return _searched(request)
    handle = request.GET.get("found", "")
    query, closed = request.session.get(_SEARCHES, {}).get(handle, ("", "closed" in request.GET))
    if asked_for(query).readings:
        context = _found_page(query, closed, _number(request.GET.get("page")) or 1)
    else:
        context = _everyone_page(request, closed)
        context |= {"unreadable": bool(query), "over": bool(handle) and not query}
    return render(request, "patients/caseload.html", context | {"query": query, "handle": handle})


def _searched(request: HttpRequest) -> HttpResponse:
    """Keep what is searched for in the session, and lead to what is found."""
    query, closed = request.POST.get("q", "").strip()[:LONGEST], "closed" in request.POST
    page = reverse("patients:caseload")
    if not query:
        return redirect(f"{page}?closed=on" if closed else page)
    handle = token_urlsafe(9)
    kept = [*request.session.get(_SEARCHES, {}).items(), (handle, (query, closed))]
    request.session[_SEARCHES] = dict(kept[-_KEPT:])
    return redirect(f"{page}?found={handle}")


def _found_page(query: str, closed: bool, number: int) -> dict[str, Any]:
    whom = found(asked_for(query), closed=closed)
    typed = set(whom.numbers if whom.exact is None else whom.numbers[: whom.exact])
    leads = _leads(whom, closed)
    pages = max(1, -(-len(leads) // PAGE))
    number = min(max(1, number), pages)
    start = (number - 1) * PAGE
    return {
        "closed": closed,
        "lines": _lines(dict(islice(leads.items(), start, start + PAGE))),
        "count": len(leads),
        "most": MOST if whom.more else None,
        "alike": sum(1 for lead, also in leads.items() if not typed & {lead, *also}),
        "number": number,
        "pages": pages,
    }


def _leads(whom: Found, closed: bool) -> dict[int, list[int]]:
    """Return the records to show, each with the joined ones by which it was found."""
    joins = {join.double_id: join.into for join in joins_of(whom.joined)} if whom.joined else {}
    leads: dict[int, list[int]] = {}
    for number in whom.numbers:
        into = joins.get(number)
        if into is None:
            leads.setdefault(number, [])
        elif closed or into.findable.state == OPEN:
            leads.setdefault(into.pk, []).append(number)
    return leads


def _lines(leads: dict[int, list[int]]) -> list[Listed]:
    people = Patient.objects.in_bulk([*leads, *(one for also in leads.values() for one in also)])
    also = {lead: [people[one] for one in doubles] for lead, doubles in leads.items()}
    return _listed([people[lead] for lead in leads], also)


def _listed(people: list[Patient], also: dict[int, list[Patient]]) -> list[Listed]:
    closings = closings_of([one.pk for one in people if one.findable.state == CLOSED])
    return [
        Listed(patient=one, closing=closings.get(one.pk), also=tuple(also.get(one.pk, ())))
        for one in people
    ]


def _everyone_page(request: HttpRequest, closed: bool) -> dict[str, Any]:
    """Return a page of everyone by name, from the person on whose number the address names."""
    listed = ~Q(state=JOINED) if closed else Q(state=OPEN)
    rows = Findable.objects.filter(listed).select_related("patient")
    after, before = (_place(request.GET.get(name)) for name in ("after", "before"))
    if before is not None:
        page = list(_beyond(rows, before, back=True)[: PAGE + 1])
        earlier, later, page = len(page) > PAGE, True, page[:PAGE][::-1]
    else:
        page = list(_beyond(rows, after, back=False)[: PAGE + 1])
        earlier, later, page = after is not None, len(page) > PAGE, page[:PAGE]
    people = [row.patient for row in page]
    for row, patient in zip(page, people, strict=True):
        patient.findable = row
    return {
        "closed": closed,
        "lines": _listed(people, {}),
        "earlier": people[0].pk if people and earlier else None,
        "later": people[-1].pk if people and later else None,
        "begun": after is None and before is None,
    }


def _place(number: str | None) -> Findable | None:
    return Findable.objects.filter(patient=_number(number)).first() if number else None


def _beyond(rows: QuerySet[Findable], place: Findable | None, *, back: bool) -> QuerySet[Findable]:
    """Return the rows after, or before, somebody's place in the list, the nearest first."""
    order = ("-sort_key", "-patient_id") if back else ("sort_key", "patient_id")
    if place is None:
        return rows.order_by(*order)
    way = "lt" if back else "gt"
    # Also as a range, which the index begins at; the rest tells those of one name apart.
    from_there = Q(**{f"sort_key__{way}e": place.sort_key})
    beyond = Q(**{f"sort_key__{way}": place.sort_key})
    same = Q(sort_key=place.sort_key, **{f"patient_id__{way}": place.patient_id})
    return rows.filter(from_there, beyond | same).order_by(*order)


def _number(text: str | None) -> int | None:
    short = bool(text) and len(text or "") < 12
    return int(text or "") if short and (text or "").isdecimal() else None
