"""The page of what the product is made of, and ways to it."""

from __future__ import annotations

import json

import pytest
from django.test import Client
from django.urls import reverse

from programs.actions.made_of import KEPT, kept
from programs.made_of.licences import OF_THE_APP
from tests.patients.pages import text_of

PAGE, FILE = "programs:made_of", "programs:made_of_file"


def test_every_part_is_there_with_its_licence(signed_in: Client) -> None:
    said = text_of(signed_in.get(reverse(PAGE)))
    parts = kept()["components"]
    assert f"{len(parts)} parts" in said
    for one in parts:
        assert f'<th scope="row">{one["name"]}</th>' in said
    assert OF_THE_APP["pyphen"] in said
    assert "OFL-1.1" in said


def test_it_is_given_as_a_file(signed_in: Client) -> None:
    answer = signed_in.get(reverse(FILE))
    assert answer["Content-Disposition"] == 'attachment; filename="calcar-sbom.cdx.json"'
    assert json.loads(answer.content) == json.loads(KEPT.read_text())


def test_pages_lead_to_it(signed_in: Client) -> None:
    link = f'href="{reverse(PAGE)}"'
    assert link in text_of(signed_in.get(reverse("programs:clinic")))
    assert link in text_of(signed_in.get(reverse("programs:clinic_safety")))


@pytest.mark.parametrize("name", [PAGE, FILE])
def test_only_who_is_signed_in_sees_it(name: str, client: Client, db: None) -> None:
    assert client.get(reverse(name))["Location"].startswith(reverse("sign_in"))
