"""The page of a discharge and the sheet of the last week, as PDF: all of it is there."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import page as pdf_rules
import pytest

from programs.actions import printing
from programs.actions.papers import words_of
from programs.papers import issue_of
from programs.papers.kinds import DISCHARGE, KINDS
from programs.papers.span import Span
from programs.signed.ending import Ending, Kept
from safety.findings import Modality
from tests.programs.sample_papers import DIGEST, ENDED_ON, ENDING, program_of, snapshot_of
from tests.rendered import reading

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

UNTIL = dt.date(2026, 12, 24)
#: All that a discharge may leave, with a day and an easier beginning.
LONGEST = Ending(
    keeps={m: Kept(until=UNTIL, easier=True) for m in Modality if m is not Modality.PLATE},
    near_support=True,
)


def made(
    template: str, part: str, said: object, issue: Any, language: str, paper: str, type_pt: int = 16
) -> bytes:
    return printing.pdf(
        template, {part: said}, issue=issue, language=language, paper=paper, type_pt=type_pt
    )


@pytest.mark.parametrize("language", ["en", "es", "fr"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("person", ["hip_first", "faller", "ending", "seated"])
def test_a_discharge_is_two_pages(person: str, paper: str, language: str) -> None:
    held, words = program_of(snapshot_of(person)), words_of(language)
    held = replace(held, anticoagulant=True)
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    for ending in (ENDING, LONGEST, Ending(keeps={}, near_support=False)):
        said = DISCHARGE.make(held, ending, ENDED_ON, words)
        pdf = made(DISCHARGE.template, DISCHARGE.part, said, issue, language, paper)
        assert pdf_rules.is_pdf_compliant_bytes(pdf, profile="ua1")
        assert len(reading.pages_of(pdf)) <= 2, (person, paper, language)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("type_pt", [16, 20])
def test_no_letter_of_a_discharge_is_smaller_than_was_asked_for(
    type_pt: int, language: str
) -> None:
    held, words = program_of(snapshot_of("hip_first")), words_of(language)
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    said = DISCHARGE.make(held, LONGEST, ENDED_ON, words)
    part = DISCHARGE.part
    pdf = made(DISCHARGE.template, part, said, issue, language, "Letter", type_pt)
    letters = list(reading.letters_of(pdf))
    assert len(letters) > 800
    assert [one.sign for one in letters if one.size_pt < type_pt - 0.01] == []
    assert len(reading.pages_of(pdf)) <= 3


@pytest.mark.parametrize("language", ["en", "es", "fr"])
@pytest.mark.parametrize("person", ["hip_first", "faller"])
def test_the_last_week_s_sheet_says_what_comes_after(person: str, language: str) -> None:
    held, words = program_of(snapshot_of(person)), words_of(language)
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    paper = KINDS["sheets"]
    said = paper.make(held, words, issue, Span(first=26, last=26))
    pdf = made(paper.template, paper.part, said, issue, language, "A4")
    assert len(reading.pages_of(pdf)) in (2, 3)
    (sheet,) = said
    for line in sheet.after:
        assert reading.squeezed(line) in reading.text_of(pdf)
