"""Every number, day and date of every paper is the signed program's; a broken one is found."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.utils import translation

from programs.actions.papers import words_of
from programs.papers import Span, issue_of
from programs.papers.kinds import KINDS
from programs.papers.span import all_weeks, to_next_visit
from tests.each import each
from tests.programs.demo_programs import STARTS_ON, demo_snapshot, numbers
from tests.programs.papers.cross_check import differences
from tests.programs.papers.under_check import Check
from tests.programs.sample_papers import DIGEST, PEOPLE, in_format_1, program_of, snapshot_of

LANGUAGES = ("en", "es", "fr")


@cache
def held_of(who: str) -> Any:
    """Return a snapshot: of one of the invented clinic, of a sample person, or in format 1."""
    if who in numbers():
        return demo_snapshot(who)
    if who == COMES_AND_GOES:
        return _coming_and_going()
    name, _, old = who.partition(", format ")
    return in_format_1(snapshot_of(name)) if old else snapshot_of(name)


def _coming_and_going() -> Any:
    """Return a program whose kinds start late, rest, end, and have fewer days than are theirs."""
    held = snapshot_of(starts_on="2026-03-04")
    for week in held["weeks"]:
        at = week["week"]
        week["plate"] = week["plate"] if at > 2 else None
        week["impact"] = None if at in (4, 6) else week["impact"]
        week["posture"] = week["posture"] if at <= 3 else None
        week["balance"]["sessions"] = 2 if at % 2 else 1
    return held


def laid_out(held: Any, code: str, span: Span, language: str) -> str:
    """Return a paper's page."""
    words, program = words_of(language), program_of(held)
    issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
    paper = KINDS[code]
    shown = {paper.part: paper.make(program, words, issue, span), "issue": issue}
    shown |= {"language": language, "paper": "A4", "type_pt": 16, "draft": False}
    with translation.override(language):
        return render_to_string(paper.template, shown)


def found(who: str, code: str, span: Span, language: str, html: str) -> list[str]:
    words = words_of(language)
    check = Check(
        held=held_of(who), first=span.first, last=span.last, language=language, words=words
    )
    return differences(html, check)


COMES_AND_GOES = "comes and goes"
OLD = ("hip_first, format 1", "vertebral_fracture, format 1")
EVERYBODY = (*numbers(), *PEOPLE, *OLD, COMES_AND_GOES)


@pytest.mark.slow
@each(("who", "language"), [(who, language) for who in EVERYBODY for language in LANGUAGES])
def test_each_paper_says_what_was_signed(who: str, language: str) -> None:
    program = program_of(held_of(who))
    whole, few = all_weeks(program), to_next_visit(program, program.starts_on)
    for code, span in (("handout", whole), ("to visit", few), ("sheets", few)):
        html = laid_out(held_of(who), code, span, language)
        assert found(who, code, span, language, html) == [], (code, span)


def test_they_are_people_of_all_kinds() -> None:
    """The check sees what ends, comes later, comes on fewer days, and weeks off a Monday."""
    said = "".join(
        laid_out(held_of(who), "sheets", all_weeks(program_of(held_of(who))), "en")
        for who in ("DEMO-14", "ending", COMES_AND_GOES)
    )
    for telling in (
        *("starts this week", "It starts in week", "It comes again in week", "has ended in week"),
        *("less often than", "more often than"),
    ):
        assert telling in said
    assert "of these days" in said
    assert STARTS_ON.weekday() != 0


# --- It would be noticed --------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(
    ("who", "code"),
    [
        *(("DEMO-01", code) for code in ("to visit", "sheets")),
        ("ending", "handout"),
        (COMES_AND_GOES, "to visit"),
    ],
)
def test_each_number_that_is_broken_is_found(who: str, code: str) -> None:
    """Each of the page's numbers made one more, one after the other, in a copy of the page."""
    span = to_next_visit(program_of(held_of(who)), program_of(held_of(who)).starts_on)
    html = laid_out(held_of(who), code, span, "en")
    missed = [
        html[at - 40 : at + 20]
        for at in numbers_at(html)
        if not found(who, code, span, "en", broken(html, at))
    ]
    assert missed == []


def numbers_at(html: str) -> list[int]:
    """Return where numbers stand in a page's own texts, some forty of them; no pictures."""
    start = html.index("<body>")
    bare = re.sub(r"<svg.*?</svg>", lambda m: " " * len(m[0]), html, flags=re.DOTALL)
    bare = re.sub(r"<[^>]*>", lambda m: " " * len(m[0]), bare)
    told = [m.start() for m in re.finditer(r"(?<![\w.,])\d", bare) if m.start() > start]
    return told[:: max(1, len(told) // 40)]


def broken(html: str, at: int) -> str:
    other = str((int(html[at]) + 1) % 10)
    return html[:at] + other + html[at + 1 :]


def test_a_day_that_is_moved_is_found() -> None:
    span = Span(first=1, last=1)
    html = laid_out(held_of("DEMO-01"), "sheets", span, "en")
    for before, after in (("Fri 13", "Thu 13"), ("March", "April")):
        assert before in html
        assert found("DEMO-01", "sheets", span, "en", html.replace(before, after, 1))


def test_a_box_on_another_day_is_found() -> None:
    span = Span(first=1, last=1)
    html = laid_out(held_of("DEMO-01"), "sheets", span, "en")
    none = '<td class="none" colspan="2">–</td>'
    assert none in html
    other = '<td class="write"></td><td class="write"></td>'
    assert found("DEMO-01", "sheets", span, "en", html.replace(none, other, 1))
