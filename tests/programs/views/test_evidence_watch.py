"""The page of the evidence watch, and what the Evidence page and the rulebook say of notices."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from patients.staff.rights import Role
from programs.actions.evidence_watch import KEPT, newest_row
from programs.watch.file import FORMAT
from programs.watch.resting import papers
from tests.conftest import MarkedClient
from tests.patients.pages import text_of
from tests.staff import person_of

pytestmark = pytest.mark.django_db
PAGE = reverse("programs:evidence_watch")
HOSTILE = "<script>alert('x')</script> \u202e {{ 7*7 }} '; DROP TABLE"
OURS = {
    "format": FORMAT,
    "as_of": "2026-01-02",
    "drawn_up_by": "Ada <b>Example</b>",
    "papers": [
        {"paper": "doi:10.1186/1471-2474-7-92", "status": "concern", "notice": "<i>See</i> {{ x }}"}
    ],
}


@pytest.fixture
def keeper(db: None) -> Client:
    client = MarkedClient()
    client.force_login(person_of(Role.KEEPER, username="k.lark"))
    return client


def sent(client: Client, told: Any, **more: Any) -> Any:
    file = SimpleUploadedFile("watch.json", json.dumps(told).encode())
    return client.post(PAGE, {"file": file, "reason": "", "seen": newest_row(), **more})


def test_a_keeper_puts_a_file_in_and_every_page_says_so(keeper: Client, signed_in: Client) -> None:
    refused = sent(keeper, OURS)
    assert refused.status_code == 422
    said = text_of(refused)
    assert "It is of 2026-01-02; the one in force is of" in said
    assert "Write why it should take its place all the same" in said
    assert newest_row() == 0
    assert sent(keeper, OURS, reason="A trial").status_code == 302
    said = keeper.get(PAGE).content.decode()
    assert "Although it was older, or said less: A trial" in said
    assert "Ada &lt;b&gt;Example&lt;/b&gt;" in said
    assert "The product’s own file says more" in said
    for address in ("programs:evidence", "safety:rulebook"):
        said = signed_in.get(reverse(address)).content.decode()
        assert "Under concern" in said
        assert "&lt;i&gt;See&lt;/i&gt; {{ x }}" in said
        assert "Limit, Vibration plate: A side-alternating plate starts" in said


def test_the_products_own_file_is_told_of_on_each_page(signed_in: Client) -> None:
    for page in (PAGE, reverse("programs:evidence"), reverse("safety:rulebook")):
        said = text_of(signed_in.get(page))
        assert "Retracted on 22 October 2019" in said
        assert "Erratum, J Bone Miner Res 34:572" in said
        assert "Gain on a scanner, lumbar spine, Heavy lifting" in said
    # The trial itself says so in the table of the evidence.
    said = text_of(signed_in.get(reverse("programs:evidence")))
    assert "Corrected</strong>: Erratum, Clin Interv Aging" in said


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (OURS | {"papers": [{"paper": HOSTILE, "status": "standing"}]}, "must be like doi:10.1000"),
        (OURS | {"drawn_up_by": HOSTILE}, "“drawn_up_by” must say who"),
        ("none", "not one object"),
    ],
)
def test_what_is_wrong_is_said_beside_the_file(keeper: Client, told: Any, words: str) -> None:
    refused = sent(keeper, told)
    assert refused.status_code == 422
    said = refused.content.decode()
    assert words in said
    assert "<script>alert" not in said


def test_a_page_that_was_opened_before_another_file_is_told(keeper: Client) -> None:
    assert sent(keeper, OURS, reason="A trial").status_code == 302
    refused = sent(keeper, OURS, reason="A trial", seen=0)
    assert refused.status_code == 422
    assert "Somebody else put a file in" in text_of(refused)


def test_nothing_and_too_much_are_refused(keeper: Client) -> None:
    assert "Choose a file" in text_of(keeper.post(PAGE, {"seen": 0}))
    large = SimpleUploadedFile("watch.json", b" " * (1024**2 + 1))
    assert "larger than 1 MB" in text_of(keeper.post(PAGE, {"seen": 0, "file": large}))


def test_who_is_no_keeper_reads_and_takes_the_file_away(db: None) -> None:
    client = MarkedClient()
    client.force_login(person_of(Role.CLINICIAN, username="c.lark"))
    said = text_of(client.get(PAGE))
    assert "may not put in a file of the evidence watch" in said
    assert 'type="file"' not in said
    assert sent(client, OURS, reason="A trial").status_code == 403
    answer = client.get(reverse("programs:evidence_watch_file"))
    told = json.loads(answer.content)
    assert answer["Content-Type"] == "application/json"
    assert {row["paper"] for row in told["papers"]} >= {paper.name for paper in papers()}
    assert told["as_of"] == json.loads(KEPT.read_text(encoding="utf-8"))["as_of"]
