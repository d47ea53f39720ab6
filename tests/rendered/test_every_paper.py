"""Every paper of the table as a PDF: a new one is looked at without being named here."""

from __future__ import annotations

import datetime as dt
from typing import Any

import page as pdf_rules
import pytest
from django.contrib.auth.models import User

from programs.actions import printing
from programs.actions.person_export import everything_kept
from programs.export.tables import TABLES
from programs.papers import ENGLISH, issue_of
from programs.papers.kinds import (
    ENGLISH_CODE,
    KINDS,
    PHONE_SLIP,
    QUESTIONNAIRE,
    SAFETY_FILE,
    WHOLE_RECORD,
    OfProgram,
    Paper,
)
from programs.papers.span import Span
from programs.papers.whole_record import Known
from safety.hazards.all_hazards import HAZARDS
from tests.people import steady
from tests.programs.actions.test_person_export import a_whole_life
from tests.programs.papers.test_phone_week import HELD
from tests.programs.sample_papers import DIGEST, OF_TODAY, WHO, program_of
from tests.rendered import reading
from tests.rendered.test_handout_texts import short

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]


def sound(paper: Paper[Any], said: object, issue: Any) -> str:
    """Print a paper, look at it as any paper must be, and return its text."""
    made = printing.pdf(
        paper.template,
        {paper.part: said},
        issue=issue,
        language=ENGLISH_CODE,
        paper="A4",
        type_pt=paper.letters_pt(16),
    )
    assert pdf_rules.is_pdf_compliant_bytes(made, profile="ua1")
    assert reading.missing_glyphs(made) == 0
    return reading.text_of(made)


@pytest.mark.parametrize("paper", KINDS.values(), ids=list(KINDS))
def test_a_paper_of_a_program(paper: Paper[OfProgram]) -> None:
    held = program_of(short())
    issue = issue_of(held, ENGLISH, digest=DIGEST, zone=dt.UTC)
    text = sound(paper, paper.make(held, ENGLISH, issue, Span(first=1, last=1)), issue)
    assert str(WHO["family_name"]) in text


def test_the_blank_form() -> None:
    text = sound(QUESTIONNAIRE, QUESTIONNAIRE.make(ENGLISH, OF_TODAY), None)
    assert str(WHO["family_name"]) not in text


def test_the_slip_of_her_phone() -> None:
    text = sound(PHONE_SLIP, PHONE_SLIP.make(ENGLISH, HELD), None)
    assert HELD.code in text


def test_the_clinical_safety_file() -> None:
    text = sound(SAFETY_FILE, SAFETY_FILE.make(ENGLISH), None)
    assert "Intendeduse" in text
    heads = {one.code: f"{one.code}{one.what}".replace(" ", "") for one in HAZARDS}
    assert [code for code, head in heads.items() if head not in text] == []


def test_everything_kept_of_a_person(clinician: User) -> None:
    signed = a_whole_life(clinician)
    held = everything_kept(signed.patient)
    known = Known(facts=steady(), answered={}, problems=())
    text = sound(WHOLE_RECORD, WHOLE_RECORD.make(held, known), None)
    titles = [table.title.replace(" ", "") for table in TABLES]
    assert [title for title in titles if title not in text] == []
    assert "slippedatthesink" in text
    assert "Belongstoanotherperson" in text
