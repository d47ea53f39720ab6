"""Where a try at a password comes from: a browser that the person is known by, or an address."""

from __future__ import annotations

import ipaddress
import secrets

from django.conf import settings
from django.contrib.auth.models import User
from django.core import signing
from django.http import HttpRequest, HttpResponseBase

from patients.audit import source_address

COOKIE = "calcar_browser"
LASTS_S = 180 * 24 * 60 * 60
#: People who share a browser; the one who came first is forgotten first.
PEOPLE_AT_MOST = 20
_SALT = "calcar.known-browser"


def source_of(request: HttpRequest, person: User | None) -> str:
    """Return what tries are counted by: her own browser where she signed in here before."""
    return _hers(request, person) or f"address {_network()}"


def source_of_second_step(request: HttpRequest, person: User) -> tuple[str, bool]:
    """Return what tries at her one-time code are counted by, and whether it is a browser of hers.

    All places that she is not known by are one: whoever has her password may have many addresses.
    """
    hers = _hers(request, person)
    return hers or f"codes of {person.pk}", bool(hers)


def _hers(request: HttpRequest, person: User | None) -> str:
    known = _known(request).get(str(person.pk)) if person else None
    return f"browser {person.pk} {known}" if person and known else ""


def remember(request: HttpRequest, response: HttpResponseBase, person: User) -> None:
    """Let this browser be known as one in which this person has signed in.

    It lets nobody in: it only gives her a count of her own.
    """
    known = _known(request)
    mark = known.pop(str(person.pk), None) or secrets.token_urlsafe(12)
    kept = dict([*known.items(), (str(person.pk), mark)][-PEOPLE_AT_MOST:])
    response.set_cookie(
        _name(),
        signing.dumps(kept, salt=_SALT),
        max_age=LASTS_S,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Strict",
    )


def _known(request: HttpRequest) -> dict[str, str]:
    try:
        known: dict[str, str] = signing.loads(
            request.COOKIES.get(_name(), ""), salt=_SALT, max_age=LASTS_S
        )
    except signing.BadSignature:
        return {}
    return known


def _name() -> str:
    return f"__Host-{COOKIE}" if settings.SESSION_COOKIE_SECURE else COOKIE


def _network() -> str:
    """Return the sender's address; of IPv6 the network, all of which one machine may have."""
    address = source_address.get()
    try:
        read = ipaddress.ip_address(address)
    except ValueError:
        return "unknown"
    if read.version == 6:
        return str(ipaddress.ip_network((read, 64), strict=False))
    return str(read)
