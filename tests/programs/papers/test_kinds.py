"""Each paper that can be printed: its template, its Spanish, a sample, its place in the form."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.html import escape

from programs.actions.papers import words_of
from programs.actions.signing import MEANING
from programs.forms.paper import PaperForm
from programs.models.program import Handout
from programs.papers import Issue, Words, issue_of
from programs.papers.kinds import (
    DISCHARGE,
    ENGLISH_CODE,
    HANDOUT,
    KINDS,
    PHONE_SLIP,
    QUESTIONNAIRE,
    SAFETY_FILE,
    SHEETS,
    TO_VISIT,
    Paper,
    kept_title,
    span_of,
)
from programs.papers.paper_parts import ENGLISH
from programs.papers.span import Span
from tests.programs import patient_texts
from tests.programs.papers.catalogues import CODES, text_of, written
from tests.programs.papers.test_phone_week import HELD
from tests.programs.sample_papers import (
    DIGEST,
    ENDED_ON,
    ENDING,
    OF_TODAY,
    SIGNER,
    WHO,
    program_of,
    snapshot_of,
)

pytestmark = pytest.mark.long

#: Those that name nobody.
OF_NOBODY: tuple[Paper[Any], ...] = (QUESTIONNAIRE, SAFETY_FILE, PHONE_SLIP)
PAPERS: tuple[Paper[Any], ...] = (*KINDS.values(), DISCHARGE, *OF_NOBODY)
LANGUAGES = tuple(code for code, _ in settings.LANGUAGES)
EACH = pytest.mark.parametrize("paper", PAPERS, ids=[one.code for one in PAPERS])
IN_EACH = pytest.mark.parametrize(
    ("paper", "language"),
    [(one, code) for one in PAPERS for code in one.languages or LANGUAGES],
    ids=lambda one: getattr(one, "code", one),
)
WHOLE, FEW = Span(first=1, last=26), Span(first=3, last=4)
TRANSLATED = [{text_of(message).english for message in written(code).messages} for code in CODES]


def told(paper: Paper[Any], words: Words, span: Span = FEW) -> tuple[object, Issue | None]:
    """Return what a paper says of the sample person, and whose it is."""
    if paper is PHONE_SLIP:
        return PHONE_SLIP.make(words, HELD), None
    if paper is QUESTIONNAIRE:
        return QUESTIONNAIRE.make(words, OF_TODAY), None
    if paper in OF_NOBODY:
        return paper.make(words), None
    held = program_of(snapshot_of(signer=SIGNER | {"meaning": MEANING}))
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    if paper is DISCHARGE:
        return DISCHARGE.make(held, ENDING, ENDED_ON, words), issue
    return paper.make(held, words, issue, span), issue


def laid_out(paper: Paper[Any], language: str) -> str:
    """Return the sample of a paper as its template lays it out."""
    said, issue = told(paper, words_of(language))
    shown = {paper.part: said, "issue": issue, "language": language}
    shown |= {"paper": "A4", "type_pt": paper.letters_pt(16), "draft": False}
    with translation.override(language):
        return render_to_string(paper.template, shown)


def test_each_stands_under_its_code() -> None:
    assert [one.code for one in KINDS.values()] == list(KINDS)
    assert {HANDOUT, TO_VISIT, SHEETS} <= set(KINDS)
    assert len({one.code for one in PAPERS}) == len(PAPERS)
    assert len({one.title for one in PAPERS}) == len(PAPERS)


@EACH
def test_its_kind_fits_where_it_is_kept(paper: Paper[Any]) -> None:
    assert len(paper.kept_as(Span(first=10, last=26))) <= Handout._meta.get_field("kind").max_length


@IN_EACH
def test_a_sample_of_it(paper: Paper[Any], language: str) -> None:
    text = laid_out(paper, language)
    assert f'<html lang="{language}" class="type-{paper.letters_pt(16)} paper-A4">' in text
    assert ("<h1" in text) or ("<h2" in text)
    assert (WHO["family_name"] in text) is (paper not in OF_NOBODY)


def lines_of(said: Any) -> Iterator[str]:
    """Yield the texts in what a paper says, without pictures and whose paper it is."""
    if isinstance(said, str):
        yield from () if said.startswith("<svg") else (said,)
    elif is_dataclass(said):
        for field in fields(said):
            yield from () if field.name == "issue" else lines_of(getattr(said, field.name))
    elif isinstance(said, tuple):
        for one in said:
            yield from lines_of(one)


@pytest.mark.counted
@EACH
def test_its_template_shows_what_was_made_for_it(paper: Paper[Any]) -> None:
    said, _ = told(paper, ENGLISH)
    longest = sorted(set(lines_of(said)), key=len)[-3:]
    assert min(map(len, longest)) > 20
    text = laid_out(paper, ENGLISH_CODE)
    assert [line for line in longest if escape(line) not in text] == []


@pytest.mark.parametrize(
    "paper", [one for one in PAPERS if one.languages is None], ids=lambda one: one.code
)
def test_it_has_its_translations(paper: Paper[Any]) -> None:
    """Of what it says, and, by the test of all texts, of what its template does."""
    words = patient_texts.Asked()
    said, _ = told(paper, words)
    assert said is not None
    assert len(words.asked) > 12
    assert all(set(words.asked) <= held for held in TRANSLATED)
    assert paper.template in patient_texts.PAPERS
    assert paper.template not in patient_texts.FOR_COLLEAGUES


def test_one_for_colleagues_stays_in_english_and_small() -> None:
    doctors = KINDS["summary"]
    assert (doctors.spoken("es"), doctors.spoken("en")) == ("en", "en")
    assert (doctors.letters_pt(20), KINDS[SHEETS].letters_pt(20)) == (10, 20)
    assert KINDS[SHEETS].spoken("es") == "es"


@pytest.mark.parametrize(
    ("code", "person", "span"),
    [
        ("sheets", "hip_first", Span(first=27, last=27)),
        ("sheets", "hip_first", Span(first=26, last=27)),
        ("plate session", "no_plate", FEW),
    ],
)
def test_where_there_is_nothing_to_print_it_says_why(code: str, person: str, span: Span) -> None:
    held = program_of(snapshot_of(person))
    issue = issue_of(held, ENGLISH, digest=DIGEST, zone=dt.UTC)
    assert KINDS[code].make(held, ENGLISH, issue, span) is None
    assert KINDS[code].nothing.format(weeks=span).endswith(".")


@pytest.mark.django_db
def test_the_form_offers_them_all_and_says_what_is_english_alone() -> None:
    of = {"born": dt.date(1960, 1, 1), "as_of": dt.date(2026, 3, 2)}
    form = PaperForm(whole=WHOLE, to_visit=Span(first=1, last=4), **of)
    assert form.fields["kind"].choices == [(one.code, one.title) for one in KINDS.values()]  # type: ignore[attr-defined]
    assert form["kind"].initial == TO_VISIT
    assert form.fields["kind"].help_text == "To the next visit: weeks 1 to 4"
    assert (form["first_week"].initial, form["last_week"].initial) == (1, 4)
    helped = form.fields["language"].help_text
    assert helped == "The letter to the referring doctor is always in English"
    one = PaperForm(whole=WHOLE, to_visit=Span(first=4, last=4), **of)
    assert one.fields["kind"].help_text == "To the next visit: week 4"


@pytest.mark.counted
@pytest.mark.parametrize(
    ("kind", "told"),
    [
        ("to visit 1-4", "Take-home handout, to the next visit, weeks 1 to 4"),
        ("sheets 3-3", "Week sheets for the fridge door, weeks 3 to 3"),
        ("summary", "Letter to the referring doctor"),
        # Kept before papers were of chosen weeks.
        ("handout", "Take-home handout, all weeks"),
        ("first weeks", "First weeks"),
        ("week 3", "Week 3"),
        ("stop notice 7", "Stop notice 7"),
    ],
)
def test_what_a_kept_paper_is_called(kind: str, told: str) -> None:
    assert kept_title(kind) == told


def test_fewer_weeks_are_a_shorter_paper() -> None:
    some, all_ = (told(KINDS[HANDOUT], ENGLISH, span)[0] for span in (FEW, WHOLE))
    assert len(str(some)) < len(str(all_))


@pytest.mark.parametrize(
    ("on", "first", "last"),
    [
        # The sample begins on Monday 2 March 2026; its reviews are in weeks 4, 12 and 26.
        (dt.date(2026, 1, 5), 1, 4),
        (dt.date(2026, 3, 2), 1, 4),
        (dt.date(2026, 3, 8), 1, 4),
        (dt.date(2026, 3, 9), 2, 4),
        (dt.date(2026, 3, 22), 3, 4),
        # In the week of a visit it counts as made.
        (dt.date(2026, 3, 23), 4, 12),
        (dt.date(2026, 5, 18), 12, 26),
        (dt.date(2026, 8, 24), 26, 26),
        (dt.date(2027, 8, 24), 26, 26),
    ],
)
def test_which_weeks_it_is_to_the_next_visit(on: dt.date, first: int, last: int) -> None:
    held = program_of(snapshot_of())
    chosen = Span(first=7, last=9)
    span = Span(first=first, last=last)
    assert [span_of(code, held, on, chosen) for code in (TO_VISIT, HANDOUT, SHEETS)] == [
        *(span, WHOLE, chosen)
    ]
    assert span_of(SHEETS, held, on, None) == span
