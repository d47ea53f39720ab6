"""The two pictures of the README: the invented clinic on a fixed day, as a browser shows it."""

import datetime as dt
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect

from patients.models.patient import Patient
from tests.conftest import PASSWORD
from tests.gate.project import ROOT

#: A Wednesday, in the middle of the morning.
MORNING = dt.datetime(2026, 11, 25, 10, 0, tzinfo=dt.UTC)
SIZE = {"width": 1100, "height": 900}
PICTURES = {
    "plan": ("DEMO-03", "Plan, version 1: a draft"),
    "screen": ("DEMO-08", "Screen on 25 Nov 2026"),
}
#: So large may a picture of the README be.
MOST_BYTES = 150_000


@pytest.fixture
def morning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: MORNING)


@pytest.fixture
def clinic(transactional_db: None, morning: None, monkeypatch: pytest.MonkeyPatch) -> None:
    # Its handout is in no picture.
    monkeypatch.setattr("programs.actions.papers.pdf", lambda *_, **__: b"%PDF")
    call_command("demo", today=MORNING.date(), password=PASSWORD, stdout=StringIO())


def test_the_pictures_of_the_readme(
    page: Page, live_server: Any, clinic: None, output: Path
) -> None:
    page.set_viewport_size(SIZE)  # type: ignore[arg-type]
    page.goto(f"{live_server.url}/")
    page.fill("[name=username]", "demo.clinician")
    page.fill("[name=password]", PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Caseload")).to_be_visible()
    for step, (number, heading) in PICTURES.items():
        patient = Patient.objects.get(record_number=number)
        page.goto(f"{live_server.url}/patients/{patient.pk}/{step}/")
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
        path = output / f"readme-{step}.png"
        page.screenshot(path=path)
        with Image.open(path) as made:
            assert made.size == (SIZE["width"], SIZE["height"])


@pytest.mark.parametrize("step", PICTURES)
def test_the_readme_shows_them_in_few_bytes(step: str) -> None:
    path = ROOT / "static" / "readme" / f"{step}.png"
    assert f"(static/readme/{step}.png)" in (ROOT / "README.md").read_text()
    assert path.stat().st_size < MOST_BYTES
    with Image.open(path) as shown:
        assert shown.size == (SIZE["width"], SIZE["height"])
