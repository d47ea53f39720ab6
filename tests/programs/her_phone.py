"""A phone that opens a code and sends the forms of its pages, as its browser would."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from tests.patients.pages import Inputs, text_of

WEEK = "/week/"


def new_phone() -> Client:
    return Client(enforce_csrf_checks=True)


def get(phone: Client, address: str = WEEK) -> HttpResponse:
    return phone.get(address, secure=True)


def post(phone: Client, address: str, page: str = "", **typed: Any) -> HttpResponse:
    """Send the form of a page, as a browser does from one whose address it tells nobody."""
    sent = Inputs(text_of(get(phone, page or address))).sent
    return phone.post(address, sent | typed, secure=True, headers={"Origin": "null"})


def opened(phone: Client, code: str, language: str = "en") -> HttpResponse:
    return post(phone, WEEK, reverse("programs:her_code", args=[language, code]))


def is_closed(response: HttpResponse) -> bool:
    told = text_of(response)
    return "Nothing is open here" in told and "Aquí no hay nada abierto" in told


def write(phone: Client, day: str = "2026-03-04", **typed: str) -> HttpResponse:
    address = f"/week/day/{day}/"
    told = {name.replace("__", "."): text for name, text in typed.items()}
    return post(phone, address, address, **told)
