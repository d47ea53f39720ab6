"""The page of the evidence: both sides, what is awaited, and how each source is known."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from tests.patients.pages import text_of


@pytest.fixture
def client(clinician: User) -> Client:
    client = Client()
    client.force_login(clinician)
    return client


def page(client: Client, **asked: Any) -> str:
    return text_of(client.get(reverse("programs:evidence"), asked))


def test_the_loss_at_the_wrist_stands_with_its_trial(client: Client) -> None:
    """Bemben 2010, PMID 20601282."""
    said = page(client, aim="wrist")
    assert "0 mixed, 1 a loss" in said
    assert "<strong>Wrist</strong>, density: worse" in said


def test_an_overview_is_counted_in_reviews_and_marked_as_read_in_abstract(client: Client) -> None:
    """Yin 2024, BMC Womens Health 24:444: 15 reviews."""
    said = page(client, known="abstract")
    assert "15 reviews" in said
    assert "Abstract only read" in said
    assert "Gusi 2006, BMC" not in said


def test_what_is_awaited_is_on_the_page(client: Client) -> None:
    assert "Results awaited" in page(client)
