"""Pages as the browser prints them: A4, 20 mm of margin, backgrounds off, on a grey printer."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from playwright.sync_api import Page

from patients.models.patient import Patient
from programs.demo.people import REVIEW_DUE
from tests.rendered import reading
from tests.rendered.reading import MM, squeezed

MARGIN = 20 * MM
PAGES = ["screen", "plan", "review", "measures"]
#: Grey of which a line or a letter is seen beside white: 3 to 1 of WCAG 2.2, 1.4.11.
SEEN = 3.0
INK_AND_PAPER = """() => [getComputedStyle(document.querySelector("main h1")).color,
  getComputedStyle(document.body).backgroundColor]"""
INK_OF_CHARTS = """() =>
  [...document.querySelectorAll("main svg[role=img]")].map(svg =>
    [...svg.querySelectorAll("circle, line, path, polyline, rect, text")].map(one => {
      const held = getComputedStyle(one);
      return [one.tagName, held.stroke, held.fill];
    }))"""


@pytest.fixture
def clinic(transactional_db: None, signed_in: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """The invented clinic, seen by the clinician; its handout is not looked at here."""
    monkeypatch.setattr("programs.actions.papers.pdf", lambda *_, **__: b"%PDF")
    call_command("demo", verbosity=0)


def printed(page: Page, path: Path) -> bytes:
    edges = dict.fromkeys(("top", "right", "bottom", "left"), "20mm")
    return page.pdf(path=path, format="A4", margin=edges, print_background=False)


@pytest.mark.usefixtures("clinic")
def test_pages_print_inside_the_margins_and_whole(
    live_server: Any, signed_in_page: Page, output: Path
) -> None:
    """Case F07: the text at the edge and the last column of each table."""
    page = signed_in_page
    person = Patient.objects.get(record_number=REVIEW_DUE.record_number)
    for name in PAGES:
        page.goto(f"{live_server.url}/patients/{person.pk}/{name}/")
        page.emulate_media(media="print")
        shown = page.evaluate(
            "() => [...document.querySelectorAll('main table tr > td:last-child:not(:has(input))')]"
            ".filter(one => one.checkVisibility()).map(one => one.innerText)"
        )
        made = printed(page, output / f"printed-{name}.pdf")
        assert name == "screen" or shown
        text = reading.text_of(made)
        assert [last for last in shown if squeezed(last) not in text] == [], name
        for sheet in reading.pages_of(made):
            right = max(box[2] for box in sheet.drawn)
            left = min(box[0] for box in sheet.drawn)
            assert MARGIN - 1 <= left < right <= sheet.width - MARGIN + 1, name


@pytest.mark.usefixtures("clinic")
@pytest.mark.parametrize("name", ["plan", "review"])
def test_p03_in_a_dark_scheme_paper_stays_white(
    live_server: Any, signed_in_page: Page, name: str
) -> None:
    """P03: the dark colours went to the printer."""
    page = signed_in_page
    person = Patient.objects.get(record_number=REVIEW_DUE.record_number)
    page.emulate_media(color_scheme="dark")
    page.goto(f"{live_server.url}/patients/{person.pk}/{name}/")
    on_screen, _ = page.evaluate(INK_AND_PAPER)
    page.emulate_media(color_scheme="dark", media="print")
    on_paper, paper = page.evaluate(INK_AND_PAPER)
    assert contrast(on_screen) < SEEN
    assert contrast(on_paper) > 7
    assert paper in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")


def contrast(colour: str) -> float:
    """Return how a colour stands out from white paper, 1 to 21; 1 where there is none.

    Luminance and ratio by WCAG 2.2.
    """
    found = re.fullmatch(r"rgb\((\d+), (\d+), (\d+)\)", colour)
    if found is None:
        assert colour == "none" or colour.startswith("rgba("), colour
        return 1.0
    parts = [int(part) / 255 for part in found.groups()]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    light = sum(w * p for w, p in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
    return 1.05 / (light + 0.05)


def test_the_measure_of_contrast() -> None:
    assert contrast("rgb(0, 0, 0)") == pytest.approx(21)
    assert contrast("rgb(255, 255, 255)") == pytest.approx(1)
    assert contrast("rgb(118, 118, 118)") == pytest.approx(4.54, abs=0.01)


@pytest.mark.usefixtures("clinic")
@pytest.mark.parametrize("name", ["review", "measures"])
def test_charts_are_seen_on_a_grey_printer(
    live_server: Any, signed_in_page: Page, output: Path, name: str
) -> None:
    """Case F09: marks, lines and letters are ink, not background, and dark enough in grey."""
    page = signed_in_page
    person = Patient.objects.get(record_number=REVIEW_DUE.record_number)
    page.goto(f"{live_server.url}/patients/{person.pk}/{name}/")
    page.emulate_media(media="print")
    charts = page.evaluate(INK_OF_CHARTS)
    words = page.locator("main svg[role=img] text").all_text_contents()
    text = reading.text_of(printed(page, output / f"printed-charts-{name}.pdf"))
    assert charts
    assert words
    assert [word for word in words if squeezed(word) not in text] == []
    for chart in charts:
        ink = {tag: [] for tag, _, _ in chart}
        for tag, stroke, fill in chart:
            ink[tag].append(max(contrast(stroke), contrast(fill)))
        assert min(ink["text"]) >= SEEN
        assert min(ink.get("circle", [21])) >= SEEN
        assert max(ink["line"]) >= SEEN
