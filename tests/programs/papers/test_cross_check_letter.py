"""The letter to the doctor says what was signed; a dose that is broken is found."""

from __future__ import annotations

import re

import pytest

from programs.actions.papers import words_of
from programs.papers.span import all_weeks
from tests.each import each
from tests.programs.papers.cross_check_letter import of_letter
from tests.programs.papers.test_cross_check import EVERYBODY, broken, held_of, laid_out
from tests.programs.papers.under_check import Check
from tests.programs.sample_papers import program_of

pytestmark = pytest.mark.slow


def letter_of(who: str) -> str:
    return laid_out(held_of(who), "summary", all_weeks(program_of(held_of(who))), "en")


def found(who: str, html: str) -> list[str]:
    held = held_of(who)
    words = words_of("en")
    last = len(held["weeks"])
    return of_letter(html, Check(held=held, first=1, last=last, language="en", words=words))


@each("who", EVERYBODY)
def test_the_letter_says_what_was_signed(who: str) -> None:
    assert found(who, letter_of(who)) == []


@pytest.mark.parametrize("who", ["hip_first", "DEMO-01"])
def test_each_dose_that_is_broken_is_found(who: str) -> None:
    html = letter_of(who)
    start, end = html.index("<h2>Program</h2>"), html.index("<h2>Findings")
    at_all = [m.start() for m in re.finditer(r"(?<![\w.,&#])\d", html) if start < m.start() < end]
    doses = [at for at in at_all if not _is_worked_out(html, at)]
    assert len(doses) > 30
    assert [html[at - 30 : at + 20] for at in doses if not found(who, broken(html, at))] == []


def _is_worked_out(html: str, at: int) -> bool:
    """Tell whether a number stands in a range or in an index."""
    line = html[html.rindex(">", 0, at) : at]
    return "osteogenic" in line or html[at - 1] == "(" or html[at - 4 : at] == " to "
