"""Both boxes on paper: each number in one line, room beside them; the card, the page on falls."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import page as pdf_rules
import pytest

from programs.actions import printing
from programs.actions.number_room import CLINIC_EM, EMERGENCY_EM, why_no_room
from programs.actions.papers import words_of
from programs.actions.printing import bold_width
from programs.papers import issue_of
from programs.papers.emergency import STOP
from programs.papers.kinds import KINDS, QUESTIONNAIRE
from programs.papers.span import Span
from tests.programs.sample_papers import DIGEST, OF_TODAY, program_of, snapshot_of
from tests.rendered import reading
from tests.rendered.reading import MM, squeezed

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]
#: The head and the foot of a page, which bear the clinic's number too.
EDGE_PT = 95
DIGIT = "8"


def printed(
    kind: str, language: str = "en", paper: str = "A4", type_pt: int = 20, **clinic: str
) -> bytes:
    """Print a paper of somebody who takes a blood thinner, with the clinic's numbers."""
    words = words_of(language)
    program = replace(program_of(snapshot_of("ending")), clinic=replace(OF_TODAY, **clinic))
    made = KINDS.get(kind, QUESTIONNAIRE)
    issue: Any = None
    if made is QUESTIONNAIRE:
        said: Any = QUESTIONNAIRE.make(words, program.clinic)
    else:
        issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
        said = KINDS[kind].make(program, words, issue, Span(first=3, last=3))
    return printing.pdf(
        made.template,
        {made.part: said},
        issue=issue,
        language=language,
        paper=paper,
        type_pt=made.letters_pt(type_pt),
    )


def lines_of(pdf: bytes) -> int:
    """Return in how many lines the largest digits stand."""
    found = [
        letter
        for letter in reading.letters_of(pdf)
        if letter.sign == DIGIT and letter.box[1] > EDGE_PT
    ]
    assert found
    largest = max(letter.size_pt for letter in found)
    return len({(one.page, round(one.box[1])) for one in found if one.size_pt > largest - 0.1})


def most(room_em: float) -> str:
    """Return as many digits as are taken for a number."""
    return DIGIT * int(room_em / bold_width(DIGIT))


@pytest.mark.parametrize("kind", ["wallet card", "fall", "questions"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_the_longest_number_that_is_taken_stands_in_one_line(
    kind: str, paper: str, language: str
) -> None:
    """At 20 pt, or in the card's own letters."""
    assert why_no_room(most(EMERGENCY_EM), EMERGENCY_EM) == ""
    assert lines_of(printed(kind, language, paper, number=most(EMERGENCY_EM))) == 1
    assert lines_of(printed(kind, language, paper, number="112", phone=most(CLINIC_EM))) == 1


@pytest.mark.parametrize(("field", "room_em"), [("number", EMERGENCY_EM), ("phone", CLINIC_EM)])
def test_one_digit_more_is_refused_and_would_not_fit(field: str, room_em: float) -> None:
    """The narrowest paper, A4, in the largest letters: the threshold is where the box ends."""
    longer = most(room_em) + DIGIT
    assert "Too long" in why_no_room(longer, room_em)
    assert lines_of(printed("questions", **{field: longer})) == 2


def test_a_number_that_was_set_before_breaks_within_its_box() -> None:
    """53 signs once threw the clinic's box off the sheet."""
    long = "01234 567890 ext 12345, or 01234 567891 at night and at weekends"
    pdf = printed("sheets", phone=long)
    assert squeezed(STOP[-1]) in squeezed(reading.pages_of(pdf)[0].text)
    for left, _, right, _ in reading.ink_of(pdf):
        assert left >= 20 * MM - 1
        assert right <= 190 * MM + 1


# --- Room beside them -------------------------------------------------------------------------


def height_of_boxes(pdf: bytes, language: str) -> float:
    """Return the height of both boxes on page one, from the first words to the last."""
    letters = [one for one in reading.letters_of(pdf) if one.page == 1]
    text = "".join(one.sign for one in letters)
    words = words_of(language)
    first = text.index(squeezed(words.gettext("Call the ambulance now")))
    last = squeezed(words.gettext(STOP[-1]))
    end = text.index(last) + len(last) - 1
    return letters[first].box[3] - letters[end].box[1]


#: The part of a page between head and foot that the boxes may take, by the size of letters.
MOST = {16: 0.45, 20: 0.75}


@pytest.mark.parametrize("type_pt", MOST)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_they_leave_room_for_the_week(language: str, paper: str, type_pt: int) -> None:
    """With the line on knocks, which not everybody has."""
    pdf = printed("fall", language, paper, type_pt)
    page = reading.pages_of(pdf)[0]
    share = height_of_boxes(pdf, language) / (page.height - 64 * MM)
    assert share <= MOST[type_pt]


# --- The card and the page on falls -----------------------------------------------------------


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_all_of_the_card_lies_within_its_line(language: str, paper: str) -> None:
    """The longest numbers that are taken, words of their own, a blood thinner."""
    pdf = printed(
        "wallet card",
        language,
        paper,
        number=most(EMERGENCY_EM),
        phone=most(CLINIC_EM),
        emergency="W" * 39 + " " + "w" * 40,
    )
    (page,) = reading.pages_of(pdf)
    # The head and the foot of the page are in larger letters, and so is what stands below.
    on_card = [one for one in reading.letters_of(pdf) if one.size_pt < 13.5]
    top = max(one.box[3] for one in on_card)
    assert top - min(one.box[1] for one in on_card) <= 108 * MM
    assert page.width - 166 * MM > 20 * MM
    assert min(one.size_pt for one in on_card) >= 12 - 0.01
    assert pdf_rules.is_pdf_compliant_bytes(pdf, profile="ua1")


@pytest.mark.parametrize(("type_pt", "pages"), [(16, 2), (20, 4)])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_the_page_on_falls(language: str, paper: str, type_pt: int, pages: int) -> None:
    pdf = printed("fall", language, paper, type_pt)
    assert pdf_rules.is_pdf_compliant_bytes(pdf, profile="ua1")
    assert reading.missing_glyphs(pdf) == 0
    assert len(reading.pages_of(pdf)) <= pages
    for left, _, right, _ in reading.ink_of(pdf):
        assert left >= 20 * MM - 1
        assert right <= reading.pages_of(pdf)[0].width - 20 * MM + 1
