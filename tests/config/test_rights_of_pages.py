"""Every address with every role: 403 in plain words where the right is missing, and no button.

Made from the table of addresses, so that a new page fails here until its right is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, resolve, reverse
from django.urls.exceptions import Resolver404

from config.rights_of_pages import PAGES, Anyone
from patients.actions.staff import set_roles
from patients.models.patient import Audit, Patient
from patients.staff.rights import Right, Role, rights_of, why_not
from programs.actions import pdf_process
from programs.actions.drafting import draft_plan
from programs.actions.editing import edit_plan
from tests.factories import MOMENT
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.edit.test_changes import edit
from tests.programs.rows import AT, DAY
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.long]

#: What each part of an address is filled with where the page is only to be refused.
FILLED = {"int": 1, "slug": "fractures", "str": "x"}
PLACES = re.compile(r"<(?:(\w+):)?(\w+)>")
LINK = re.compile(r'<a [^>]*href="(/[^"#?]*)')
FORM = re.compile(r"<form\b([^>]*)>")


def addresses() -> Iterator[tuple[str, str]]:
    """Return the name of each address, and its pattern."""
    yield from _below(get_resolver(), "", "")


def _below(resolver: URLResolver, before: str, app: str) -> Iterator[tuple[str, str]]:
    for one in resolver.url_patterns:
        route = before + str(one.pattern)
        if isinstance(one, URLResolver):
            yield from _below(one, route, f"{one.app_name}:" if one.app_name else app)
        elif isinstance(one, URLPattern):
            yield f"{app}{one.name}", route


def filled(route: str) -> str:
    return "/" + PLACES.sub(lambda found: str(FILLED[found[1] or "str"]), route)


ROUTES = dict(addresses())
ROLES = [(), *((role,) for role in Role)]


def client_of(*roles: Role) -> Client:
    client = Client()
    client.force_login(person_of(*roles, username=f"some.{'-'.join(roles) or 'body'}"))
    return client


def test_each_address_has_its_right_and_each_right_its_address() -> None:
    assert set(PAGES) == set(ROUTES)
    asked = {needs.of(method) for needs in PAGES.values() for method in ("GET", "POST")}
    # What no page does: a person is erased by a command alone.
    assert asked == {*Right, *Anyone} - {Right.ERASE}


@pytest.mark.parametrize("roles", ROLES, ids=lambda roles: "-".join(roles) or "none")
@pytest.mark.parametrize("method", ["GET", "POST", "HEAD"])
def test_k04_refused_where_the_right_is_missing(roles: tuple[Role, ...], method: str) -> None:
    """K04: the right was only in the button; here each address asks for itself."""
    client, held, refused = client_of(*roles), rights_of(roles), 0
    for name, route in ROUTES.items():
        needed = PAGES[name].of(method)
        if isinstance(needed, Anyone) or needed in held:
            continue
        response = client.generic(method, filled(route))
        if name == "programs:caseload" and method != "POST":
            start = "patients:people" if Right.PEOPLE in held else "patients:account"
            assert response.headers["Location"] == reverse(start)
            continue
        assert response.status_code == 403, f"{method} {name}"
        assert method == "HEAD" or why_not(needed) in response.content.decode(), name
        refused += 1
    lines = Audit.objects.filter(action="refuse page")
    assert lines.count() == refused >= 4


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_nobody_signed_in_opens_what_needs_it(method: str) -> None:
    client = Client()
    for name, route in ROUTES.items():
        if PAGES[name].of(method) is not Anyone.ALL:
            response = client.generic(method, filled(route))
            assert response.status_code in (302, 401), f"{method} {name}"


def test_an_address_without_a_right_is_refused_to_whoever_keeps_no_people(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from config import allowed

    monkeypatch.setattr(allowed, "PAGES", {})
    assert client_of(Role.CLINICIAN).get("/rulebook/").status_code == 403


def test_a_table_that_forgets_a_page_would_be_noticed() -> None:
    assert set(PAGES) - {"programs:sign"} != set(ROUTES)


# --- No button without the right ----------------------------------------------------------------


@pytest.fixture
def world(clinician: User, on_the_first_day: None) -> Patient:
    """A patient with a changed draft after a signed program, and all that her pages link to."""
    plan = drafted(clinician)
    sign(plan, clinician)
    again = draft_plan(patient=plan.patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    edit_plan(plan=again, edits=[edit("balance.minutes", 60)], lock=1, by=clinician, at=AT)
    return plan.patient


def pages_from(client: Client, starts: list[str]) -> Iterator[tuple[str, str, str]]:
    """Return name, address and text of each kind of page that links lead to, once each."""
    waiting, met = [*starts], set()
    while waiting:
        address = waiting.pop()
        try:
            name = resolve(address).view_name
        except Resolver404:
            continue
        # A paper takes the press seconds and offers nothing; so does the caseload, which holds
        # each program against the rulebook, and offers what is on the list of everyone.
        if name in {*met, "programs:caseload"} or address.endswith((".pdf", ".css")):
            continue
        met.add(name)
        response = client.get(address, follow=True)
        assert response.status_code == 200, f"{address} is linked to and answers {response}"
        if response.headers["Content-Type"].startswith("text/html"):
            html = response.content.decode()
            yield name, response.request["PATH_INFO"], html
            waiting += LINK.findall(html)
        elif response.streaming:
            # Read to its end, which closes it.
            response.getvalue()


def offered(address: str, html: str) -> Iterator[tuple[str, str]]:
    """Return what a page offers: the method and the address of each link and form."""
    for link in LINK.findall(html):
        yield "GET", link
    for attributes in FORM.findall(html):
        action = re.search(r'action="([^"]*)"', attributes)
        method = "POST" if 'method="post"' in attributes else "GET"
        target = action[1] if action else ""
        yield method, target.partition("#")[0].partition("?")[0] or address


@pytest.mark.no_cover
@pytest.mark.parametrize("roles", ROLES, ids=lambda roles: "-".join(roles) or "none")
def test_k04_no_button_and_no_link_without_the_right(
    world: Patient, roles: tuple[Role, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    # No page offers less for what its papers look like.
    monkeypatch.setattr(pdf_process, "apart", lambda order: b"%PDF")
    client, held, seen = client_of(*roles), rights_of(roles), set()
    starts = [reverse("patients:account")]
    if Right.READ in held:
        starts += [reverse("patients:caseload"), reverse("patients:facts", args=[world.pk])]
    for name, address, html in pages_from(client, starts):
        for method, target in offered(address, html):
            asked = resolve(target).view_name if not target.startswith("/static") else ""
            needed = PAGES[asked].of(method) if asked else Anyone.ALL
            leads_on = asked == "programs:caseload"  # each to where her own work begins
            right = isinstance(needed, Anyone) or needed in held or leads_on
            assert right, f"{name} offers {method} {target} to {roles}"
            seen.add((asked, method))
    may_sign = ("programs:sign", "POST") in seen
    assert may_sign == (Right.SIGN in held)
    assert (("patients:people", "GET") in seen) == (Right.PEOPLE in held)


def test_what_is_not_shown_is_told(world: Patient) -> None:
    client = client_of(Role.ASSISTANT)
    for page in ("programs:sign", "programs:review", "patients:facts"):
        html = client.get(reverse(page, args=[world.pk])).content.decode()
        assert "Your account may not" in html, page
    assert why_not(Right.LIMITS) in client.get(reverse("programs:clinic")).content.decode()


# --- At once ------------------------------------------------------------------------------------


def test_k03_a_right_taken_away_counts_at_the_next_request(
    clinician: User, world: Patient, client: Client
) -> None:
    """K03: a changed role counted only from the next sign-in on."""
    her = person_of(Role.CLINICIAN, username="a.berg")
    client.force_login(her)
    address = reverse("programs:sign", args=[world.pk])
    assert client.post(address, {"patient": world.pk}).status_code != 403
    set_roles(user=her, roles=[Role.ASSISTANT], by=clinician, at=MOMENT)
    assert client.post(address, {"patient": world.pk}).status_code == 403
    set_roles(user=her, roles=[], by=clinician, at=MOMENT)
    assert client.get(address).status_code == 403


def test_k01_who_is_switched_off_is_out_at_the_next_request(
    clinician: User, world: Patient, client: Client
) -> None:
    """K01: a disabled account stayed signed in."""
    from patients.actions.staff import switch

    her: Any = person_of(Role.CLINICIAN, username="a.berg")
    client.force_login(her)
    assert client.get(reverse("patients:facts", args=[world.pk])).status_code == 200
    switch(user=her, on=False, by=clinician, at=MOMENT)
    response = client.get(reverse("patients:facts", args=[world.pk]))
    assert response.headers["Location"].startswith("/sign-in/")
