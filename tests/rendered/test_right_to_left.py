"""Papers in a language that is written from right to left, made up for this test alone."""

from __future__ import annotations

from functools import cache
from gettext import NullTranslations

import pytest
from django.template.loader import render_to_string
from django.utils.translation import trans_real

from programs import languages
from programs.actions import printing
from programs.languages import Language
from programs.papers.questionnaire import questionnaire
from tests.programs.sample_papers import OF_TODAY, handout_of, snapshot_of
from tests.rendered import reading

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

MM = 72 / 25.4
#: The margins left and right of the text, as printing sets them.
MARGIN = 21 * MM
HEBREW = Language(code="he", name="Hebrew", own_name="עברית", rtl=True)


class Tiny(NullTranslations):
    """A catalogue of a few words; all else stays in English."""

    HELD = {"Page": "עמוד", "of": "מתוך", "born": "תאריך לידה", "Name": "שם", "Date": "תאריך"}

    def gettext(self, message: str) -> str:
        return self.HELD.get(message, message)


@pytest.fixture(autouse=True)
def hebrew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(languages.DECLARED, "he", HEBREW)
    monkeypatch.setitem(trans_real._translations, "he", Tiny())


@cache
def made(language: str) -> bytes:
    words = trans_real.translation(language)
    told = handout_of(snapshot_of(), words=words, last_week=2)
    shown = {"handout": told}
    layout = {"language": language, "paper": "A4", "type_pt": 16}
    return printing.pdf("handout.html", shown, issue=told.issue, **layout)


def sides(pdf: bytes) -> list[tuple[float, float]]:
    """Return left and right of the letters of head, text and foot of the first page."""
    page = reading.pages_of(pdf)[0]
    bands: tuple[list[float], list[float], list[float]] = ([], [], [])
    for one in reading.letters_of(pdf):
        if one.page == 1:
            left, bottom, right, _ = one.box
            band = 0 if bottom > page.height - 30 * MM else 2 if bottom < 30 * MM else 1
            bands[band].extend((left, right))
    return [(min(band), max(band)) for band in bands]


@pytest.mark.parametrize("template", ["handout.html", "paper/questionnaire.html"])
def test_the_page_says_so(template: str) -> None:
    told = handout_of(snapshot_of())
    form = questionnaire(trans_real.translation("he"), OF_TODAY)
    shown = {"handout": told, "form": form, "issue": told.issue, "paper": "A4", "type_pt": 16}
    assert '<html lang="he" dir="rtl"' in render_to_string(template, shown | {"language": "he"})
    assert '<html lang="en" class' in render_to_string(template, shown | {"language": "en"})


def test_head_text_and_foot_begin_at_the_right_margin() -> None:
    page = reading.pages_of(made("he"))[0]
    (head_left, _), _, (foot_left, _) = sides(made("he"))
    for _, right in sides(made("he")):
        assert right == pytest.approx(page.width - MARGIN, abs=2 * MM)
    assert min(head_left, foot_left) > MARGIN + 10 * MM


def test_head_text_and_foot_of_english_begin_at_the_left_margin() -> None:
    page = reading.pages_of(made("en"))[0]
    (_, head_right), _, (_, foot_right) = sides(made("en"))
    for left, _ in sides(made("en")):
        assert left == pytest.approx(MARGIN, abs=2 * MM)
    assert max(head_right, foot_right) < page.width - MARGIN - 10 * MM


def test_nothing_runs_off_the_page() -> None:
    pages = reading.pages_of(made("he"))
    for page, (left, _, right, _) in zip(pages, reading.ink_of(made("he")), strict=True):
        assert left > 15 * MM
        assert right < page.width - 15 * MM


def test_its_letters_are_there() -> None:
    assert reading.missing_glyphs(made("he")) == 0
    assert "עמוד" in reading.text_of(made("he")) or "דומע" in reading.text_of(made("he"))
