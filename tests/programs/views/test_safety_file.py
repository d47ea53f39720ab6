"""The clinical safety file: all of it on a page, the same as a paper, and ways to it."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from programs.actions import papers
from programs.actions.pdf_process import PaperUnavailable
from safety.hazards.all_hazards import CHAPTERS, HAZARDS
from safety.hazards.hazard import Standing
from safety.hazards.intended_use import INTENDED_USE, KNOWN_LIMITS, VERSION
from safety.rules.all_rules import RULEBOOK
from tests.patients.pages import text_of

PAGE, PAPER = "programs:clinic_safety", "programs:clinic_safety_pdf"


@pytest.fixture
def client(clinician: User) -> Client:
    client = Client()
    client.force_login(clinician)
    return client


def test_the_page_holds_all_of_it(client: Client) -> None:
    said = text_of(client.get(reverse(PAGE)))
    assert f"Calcar {VERSION}" in said
    assert f"rulebook {RULEBOOK}" in said
    for statement in (*INTENDED_USE, KNOWN_LIMITS):
        assert [line for line in (statement.title, *statement.lines) if line not in said] == []
    assert [one.name for one in CHAPTERS if f">{one.name}</h2>" not in said] == []
    for one in HAZARDS:
        parts = (one.what, one.cause, one.harm, one.left, one.before.words, one.after.words)
        parts += (*one.missing, *(control.words for control in one.controls))
        parts += tuple(test.partition("::")[2] for test in one.tests)
        assert [part for part in parts if part not in said] == [], one.code


def test_each_standing_is_told_in_a_word_and_counted(client: Client) -> None:
    said = text_of(client.get(reverse(PAGE)))
    for standing in Standing:
        count = sum(one.standing is standing for one in HAZARDS)
        assert count
        assert f"{count} {standing}" in said
        assert said.count(f'<strong class="level">{standing.capitalize()}.</strong>') == count


def test_pages_lead_to_it(client: Client) -> None:
    link = f'href="{reverse(PAGE)}"'
    assert text_of(client.get(reverse("programs:clinic"))).count(link) == 2
    assert link in text_of(client.get(reverse("safety:rulebook")))
    assert f'href="{reverse(PAPER)}"' in text_of(client.get(reverse(PAGE)))


@pytest.mark.counted
def test_it_is_given_as_a_paper(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(papers, "pdf", lambda template, told, **how: f"{template} {how}".encode())
    answer = client.get(reverse(PAPER))
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="clinical-safety-file.pdf"'
    assert answer.content.startswith(b"paper/safety_file.html")
    assert b"'paper': 'A4'" in answer.content
    assert b"'type_pt': 10" in answer.content


def test_where_it_cannot_be_printed_the_page_says_why(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(**how: object) -> bytes:
        raise PaperUnavailable("Nothing to print with.")

    monkeypatch.setattr(papers, "safety_file_pdf", refused)
    answer = client.get(reverse(PAPER), follow=True)
    assert answer.redirect_chain == [(reverse(PAGE), 302)]
    assert "Nothing to print with." in text_of(answer)


@pytest.mark.parametrize("name", [PAGE, PAPER])
def test_only_who_is_signed_in_sees_it(name: str) -> None:
    answer = Client().get(reverse(name))
    assert answer.headers["Location"].startswith(reverse("sign_in"))
