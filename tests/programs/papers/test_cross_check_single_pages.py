"""The record of the first session and the page of a discharge say what was signed alone."""

from __future__ import annotations

import datetime as dt

import pytest
from django.template.loader import render_to_string
from django.utils import translation

from programs.actions.papers import words_of
from programs.papers import issue_of
from programs.papers.kinds import DISCHARGE, KINDS
from programs.papers.span import all_weeks
from programs.signed.ending import Ending, Kept
from safety.findings import Modality
from tests.each import each
from tests.programs.papers.cross_check_single_pages import of_discharge, of_first_session
from tests.programs.papers.test_cross_check import EVERYBODY, broken, held_of, numbers_at
from tests.programs.papers.under_check import Check
from tests.programs.sample_papers import DIGEST, ENDED_ON, program_of

UNTIL = dt.date(2026, 12, 24)
SOME_UNTIL = {Modality.RESISTANCE: UNTIL, Modality.BALANCE: dt.date(2027, 1, 3)}
WITH_PLATE = [who for who in EVERYBODY if any(w["plate"] for w in held_of(who)["weeks"])]
BOTH = ("en", "es")


def ending_of(who: str) -> Ending:
    """Return an ending that keeps all that was signed but the impact, two kinds to a day."""
    weeks = held_of(who)["weeks"]
    kinds = [m for m in Modality if m is not Modality.IMPACT and any(w[m.value] for w in weeks)]
    keeps = {m: Kept(until=SOME_UNTIL.get(m), easier=m is Modality.RESISTANCE) for m in kinds}
    return Ending(keeps=keeps, near_support=True)


def laid_out(who: str, code: str, language: str) -> str:
    words, program = words_of(language), program_of(held_of(who))
    issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
    paper = DISCHARGE if code == DISCHARGE.code else KINDS[code]
    if code == DISCHARGE.code:
        said: object = DISCHARGE.make(program, ending_of(who), ENDED_ON, words)
    else:
        said = KINDS[code].make(program, words, issue, all_weeks(program))
    shown = {paper.part: said, "issue": issue, "language": language}
    with translation.override(language):
        return render_to_string(paper.template, shown | {"paper": "A4", "type_pt": 16})


def found(who: str, code: str, language: str, html: str) -> list[str]:
    held, weeks = held_of(who), len(held_of(who)["weeks"])
    check = Check(held=held, first=1, last=weeks, language=language, words=words_of(language))
    if code == DISCHARGE.code:
        return of_discharge(html, ending_of(who), ENDED_ON, check)
    return of_first_session(html, check)


@each(("who", "language"), [(who, language) for who in EVERYBODY for language in BOTH])
def test_a_discharge_says_what_the_review_left(who: str, language: str) -> None:
    html = laid_out(who, DISCHARGE.code, language)
    assert found(who, DISCHARGE.code, language, html) == []


@each(("who", "language"), [(who, language) for who in WITH_PLATE for language in BOTH])
def test_the_first_session_is_that_of_the_first_week_with_the_plate(
    who: str, language: str
) -> None:
    html = laid_out(who, "plate session", language)
    assert found(who, "plate session", language, html) == []


@pytest.mark.parametrize("code", ["plate session", DISCHARGE.code])
def test_each_number_that_is_broken_is_found(code: str) -> None:
    html = laid_out("hip_first", code, "en")
    at_all = numbers_at(html)
    assert len(at_all) > 10
    missed = [
        html[at - 40 : at + 20]
        for at in at_all
        if not found("hip_first", code, "en", broken(html, at))
    ]
    assert missed == []
