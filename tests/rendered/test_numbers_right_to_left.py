"""A language that is written from right to left: its numbers stand as they are dialled and set."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from gettext import NullTranslations

import pytest

from programs import languages
from programs.actions import printing
from programs.languages import Language
from programs.papers import Words, issue_of, pages
from programs.papers.fall_page import UP, fall_paper
from programs.papers.numbers import hz_words
from programs.papers.span import Span
from tests.programs.sample_papers import DIGEST, OF_TODAY, program_of, snapshot_of
from tests.rendered import reading

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

PHONE = "01 234 567"


class Hebrew(NullTranslations):
    """A catalogue of one sentence, in Hebrew; a number in it is set apart."""

    apart = "\N{LEFT-TO-RIGHT ISOLATE}{number}\N{POP DIRECTIONAL ISOLATE}"

    def gettext(self, message: str) -> str:
        return "נוחו שם והתקשרו: {phone}" if message == UP[-1] else message

    def pgettext(self, context: str, message: str) -> str:
        return self.apart if context == "from left to right" else message


class NotApart(Hebrew):
    """The same without what sets a number apart."""

    apart = "{number}"


@pytest.fixture(autouse=True)
def right_to_left(monkeypatch: pytest.MonkeyPatch) -> None:
    hebrew = Language(code="he", name="Hebrew", own_name="עברית", rtl=True)
    monkeypatch.setitem(languages.DECLARED, "he", hebrew)


def printed(words: Words) -> bytes:
    program = replace(program_of(snapshot_of()), clinic=replace(OF_TODAY, phone=PHONE))
    issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
    told = {"falling": fall_paper(program, words)}
    how = {"language": "he", "paper": "A4", "type_pt": 16}
    return printing.pdf("paper/fall.html", told, issue=issue, **how)  # type: ignore[arg-type]


def as_read(pdf: bytes) -> set[str]:
    """Return the digits of each line from the left to the right, as the eye meets them."""
    rows: dict[tuple[int, int], list[tuple[float, str]]] = {}
    for letter in reading.letters_of(pdf):
        if letter.sign.isdecimal():
            rows.setdefault((letter.page, round(letter.box[1])), []).append(
                (letter.box[0], letter.sign)
            )
    return {"".join(sign for _, sign in sorted(row)) for row in rows.values()}


def test_a_number_to_call_stands_as_it_is_dialled() -> None:
    digits = PHONE.replace(" ", "")
    wrong = "".join(reversed(PHONE.split()))
    lines = as_read(printed(Hebrew()))
    assert any(digits in line for line in lines)
    assert not any(wrong in line for line in lines)
    assert any(wrong in line for line in as_read(printed(NotApart())))


def test_nothing_is_shown_of_what_sets_it_apart() -> None:
    assert reading.missing_glyphs(printed(Hebrew())) == 0
    assert printing.unprintable(hz_words(25, Hebrew())) == ()


def test_amounts_are_set_apart_on_every_page_that_tells_one() -> None:
    program = program_of(snapshot_of())
    issue = issue_of(program, Hebrew(), digest=DIGEST, zone=dt.UTC)
    told = str(pages(program, Hebrew(), issue, Span(first=1, last=4)))
    for amount in ("25 Hz", "46\N{NO-BREAK SPACE}kg"):
        shown = (amount, Hebrew.apart.format(number=amount))
        bare, apart = (told.count(repr(text)[1:-1]) for text in shown)
        assert bare == apart > 0
