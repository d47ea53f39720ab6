"""The notice of a stop, and a marked copy of a paper, as PDF."""

from __future__ import annotations

import datetime as dt

import page as pdf_rules
import pytest

from programs.actions import printing
from programs.actions.marked_copy import marked
from programs.actions.papers import words_of
from programs.models.program_state import ProgramState
from programs.papers import issue_of
from programs.papers.kinds import STOP_NOTICE
from programs.papers.stop_notice import MARKS, Stop
from safety.findings import Modality
from tests.programs.sample_papers import DIGEST, program_of
from tests.rendered import reading
from tests.rendered.test_handout_texts import short

pytestmark = [pytest.mark.rendered, pytest.mark.counted, pytest.mark.usefixtures("quiet")]
WHOLE: tuple[Modality, ...] = ()


def made(language: str, kinds: tuple[Modality, ...], type_pt: int, paper: str) -> bytes:
    held, words = program_of(short()), words_of(language)
    told = Stop(kinds=kinds, by="Marta Ferro", on=dt.date(2026, 3, 16))
    return printing.pdf(
        STOP_NOTICE.template,
        {STOP_NOTICE.part: STOP_NOTICE.make(held, words, told)},
        issue=issue_of(held, words, digest=DIGEST, zone=dt.UTC),
        language=language,
        paper=paper,
        type_pt=type_pt,
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("type_pt", [16, 20])
@pytest.mark.parametrize(
    ("language", "kinds", "words"),
    [
        ("en", WHOLE, "Stop all your exercises"),
        ("en", (Modality.RESISTANCE,), "Stop this part of your exercises"),
        ("es", WHOLE, "Deje todos sus ejercicios"),
        ("es", (Modality.PLATE,), "Deje esta parte de sus ejercicios"),
    ],
)
def test_it_is_short_and_reads_well(
    language: str, kinds: tuple[Modality, ...], words: str, type_pt: int, paper: str
) -> None:
    pdf = made(language, kinds, type_pt, paper)
    assert pdf_rules.is_pdf_compliant_bytes(pdf, profile="ua1")
    assert reading.missing_glyphs(pdf) == 0
    text = reading.text_of(pdf)
    assert reading.squeezed(words) in reading.squeezed(text)
    assert "MartaFerro" in reading.squeezed(text)
    # In the larger letters both boxes, whom to call for what, may need a page more.
    pages = reading.pages_of(pdf)
    assert len(pages) <= (1 if type_pt == 16 else 2)
    assert "MartaFerro" in reading.squeezed(pages[0].text)


@pytest.mark.parametrize("state", list(MARKS))
def test_a_marked_copy_says_so_on_each_page_and_keeps_its_text(state: str) -> None:
    words = words_of("en")
    pdf = made("en", WHOLE, 16, "A4")
    copy = marked(pdf, state, words)
    text = reading.squeezed(reading.text_of(copy))
    assert reading.squeezed(MARKS[state]) in text
    assert reading.squeezed("Stop all your exercises") in text
    assert marked(pdf, state, words) == copy
    assert state in {code for code, _ in ProgramState.STATES}
