"""Every paper that names such signs says first when to call the ambulance, then when to call us."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html import unescape
from typing import Any

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.html import strip_tags

from programs.actions.papers import words_of
from programs.papers import Words, emergency, issue_of, kinds
from programs.papers.emergency import AMBULANCE, BLANK, KNOCK, STOP
from programs.papers.kinds import (
    COLLEAGUES_PT,
    DISCHARGE,
    KINDS,
    PHONE_SLIP,
    QUESTIONNAIRE,
    STOP_NOTICE,
    Paper,
)
from programs.papers.phone_week import phone_week
from programs.papers.span import Span
from programs.papers.stop_notice import Stop
from programs.signed.program import SignedProgram
from tests.programs.papers.test_phone_week import HELD
from tests.programs.sample_papers import (
    CLINIC,
    DIGEST,
    ENDED_ON,
    ENDING,
    OF_TODAY,
    program_of,
    snapshot_of,
)

pytestmark = pytest.mark.long

LANGUAGES = tuple(code for code, _ in settings.LANGUAGES)
EACH = [
    pytest.param(paper, language, id=f"{paper.code}-{language}")
    for paper in KINDS.values()
    for language in paper.languages or LANGUAGES
]
#: Every paper that there is, in the table or beside it, but for those of colleagues.
ALL: tuple[Paper[Any], ...] = tuple(
    paper
    for paper in (*KINDS.values(), *vars(kinds).values())
    if isinstance(paper, Paper) and paper.size_pt != COLLEAGUES_PT
)
#: The slip of her phone is no paper about exercise.
FOR_HER = [
    pytest.param(paper, language, id=f"{paper.code}-{language}")
    for paper in ALL
    if paper is not PHONE_SLIP
    for language in LANGUAGES
]
WANTED = "carry 2 bags"
OWN = "Day and night."
#: What tells that a text names such signs, lower case.
NAMED = {
    "en": ("chest pain", "blackout"),
    "es": ("dolor de pecho", "desmayo"),
    "fr": ("douleur à la poitrine", "évanouissement"),
}


def program(held: Any = None) -> SignedProgram:
    """Return a program with the clinic's numbers and words of the day."""
    made = program_of(held or snapshot_of())
    return replace(made, clinic=replace(made.clinic, number="112", emergency=OWN))


def made(paper: Paper[Any], of: SignedProgram, words: Words, week: int) -> tuple[Any, Any]:
    """Return what a paper says, and whose it is."""
    if paper is PHONE_SLIP:
        return paper.make(words, HELD), None
    if paper is QUESTIONNAIRE:
        return paper.make(words, of.clinic), None
    issue = issue_of(of, words, digest=DIGEST, zone=dt.UTC)
    if paper is DISCHARGE:
        return paper.make(of, ENDING, ENDED_ON, words), issue
    if paper is STOP_NOTICE:
        return paper.make(of, words, Stop(kinds=(), by="Marta Ferro", on=ENDED_ON)), issue
    return paper.make(of, words, issue, Span(first=week, last=week)), issue


def laid_out(paper: Paper[Any], language: str, held: Any = None, week: int = 3) -> str:
    """Return what a paper says, line for line, without its head and foot."""
    said, issue = made(paper, program(held), words_of(language), week)
    shown = {paper.part: said, "issue": issue, "language": language, "paper": "A4"}
    with translation.override(language):
        page = render_to_string(paper.template, shown | {"type_pt": 16, "draft": False})
    body = page.split("<body>")[1]
    body = re.sub(r'<div class="(head|foot)">.*?</div>', "", body, flags=re.DOTALL)
    return unescape(strip_tags(body))


def told(texts: tuple[str, ...], words: Words) -> list[str]:
    return [words.gettext(text) for text in texts]


def boxes(language: str, *, knock: bool = False) -> str:
    """Return both boxes, word for word, without the white space."""
    words = words_of(language)
    lines = (
        f"{words.gettext('Call the ambulance now')}: 112",
        OWN,
        *told(AMBULANCE, words),
        *([words.gettext(KNOCK)] if knock else []),
        f"{words.gettext('Stop, rest and call us')}: {CLINIC['phone']}",
        *told(STOP, words),
    )
    return bare("".join(lines))


def bare(text: str) -> str:
    return re.sub(r"\s", "", text)


def test_the_papers_are_found_where_they_are_declared() -> None:
    codes = {paper.code for paper in ALL}
    assert {"handout", "sheets", "fall", "wallet card", "questions", "discharge"} <= codes
    assert "stop notice" in codes


@pytest.mark.parametrize(("paper", "language"), FOR_HER)
def test_both_boxes_come_before_anything_else(paper: Paper[Any], language: str) -> None:
    text = laid_out(paper, language)
    knock = paper is QUESTIONNAIRE
    before, both, _ = bare(text).partition(boxes(language, knock=knock))
    assert both
    first, second, *_ = (line.strip() for line in text.splitlines() if line.strip())
    # The title comes before, under what she wants; of a stop, what is stopped as well.
    title = first + second if WANTED in first else first
    assert before == bare(title) or paper is STOP_NOTICE


@pytest.mark.parametrize("paper", [pytest.param(one, id=one.code) for one in ALL])
@pytest.mark.parametrize("language", LANGUAGES)
def test_whatever_names_such_signs_has_both_boxes_whole(paper: Paper[Any], language: str) -> None:
    """Chest pain once sent her to the clinic on page one and to the ambulance on page three."""
    text = laid_out(paper, language)
    if any(sign in text.lower() for sign in NAMED[language]):
        assert bare(text).count(boxes(language, knock=paper is QUESTIONNAIRE)) == 1
    else:
        assert paper is PHONE_SLIP


@pytest.mark.parametrize(("paper", "language"), FOR_HER)
def test_what_is_for_the_ambulance_is_nowhere_for_the_clinic(
    paper: Paper[Any], language: str
) -> None:
    words = words_of(language)
    text = laid_out(paper, language)
    assert [text.count(line) for line in told(AMBULANCE, words)] == [1] * len(AMBULANCE)
    clinic = text.split(words.gettext("Stop, rest and call us"))[1].lower()
    if paper is not QUESTIONNAIRE:
        assert NAMED[language][0] not in clinic
    # The form asks about them, under both boxes, and does not let her wait.
    else:
        asked = clinic.index(NAMED[language][0])
        first = words.gettext("If you tick yes here, do not wait for your visit.").lower()
        assert clinic.index(first) < asked
        assert clinic.index("112") < asked
        assert clinic.index(str(CLINIC["phone"])) < asked


@pytest.mark.parametrize("language", LANGUAGES)
def test_her_phone_has_the_same_boxes(language: str) -> None:
    of, words = program(), words_of(language)
    shown = phone_week(of, 3, of.starts_on, words)
    assert shown.page.alarm == emergency.alarm(of, words)
    with translation.override(language):
        page = render_to_string("paper/_alarm.html", {"alarm": shown.page.alarm})
    assert bare(unescape(strip_tags(page))) == boxes(language)


def test_all_that_is_an_emergency_is_named() -> None:
    """Rulebook row 11, same day; of falls and knocks on the head, common practice."""
    said = " ".join(AMBULANCE).lower()
    for telling in ("chest pain", "breath", "blackout", "weak or numb", "bladder", "bowel"):
        assert telling in said
    for telling in ("between the legs", "cannot get up", "leg will not bear", "knock on the head"):
        assert telling in said
    for telling in ("vomiting", "sleepiness", "growing headache"):
        assert telling in said
    assert not set(AMBULANCE) & set(STOP)


def test_without_a_number_there_is_a_line_to_fill_in() -> None:
    """A clinic without numbers: a line for each, in the language of the paper."""
    silent = replace(OF_TODAY, phone="", number="")
    said = emergency.blank_alarm(silent, words_of("es"))
    page = render_to_string("paper/_alarm.html", {"alarm": said})
    assert page.count(words_of("es").gettext(BLANK)) == 2


def test_words_alone_take_the_place_of_a_number() -> None:
    """Programs signed before numbers stood apart may hold it in the clinic's words."""
    older = replace(OF_TODAY, number="", emergency="Call 112, day and night")
    said = emergency.blank_alarm(older, words_of("en"))
    page = render_to_string("paper/_ambulance.html", {"alarm": said})
    assert "<strong>Call 112, day and night</strong>" in page
    assert "____" not in page


@pytest.mark.parametrize(("paper", "language"), EACH)
@pytest.mark.parametrize(("answer", "says"), [("yes", 1), ("no", 0), ("unknown", 1)])
def test_each_paper_tells_who_may_take_a_blood_thinner_of_knocks(
    paper: Paper[Any], language: str, answer: str, says: int
) -> None:
    """Rulebook row 11; where nobody asked, it is told with its condition."""
    held = snapshot_of()
    held["facts"]["medicines"]["anticoagulant"] = answer
    line = words_of(language).gettext(KNOCK)
    assert laid_out(paper, language, held).count(line) == says


# --- What a clearance carries ---------------------------------------------------------------

#: The card and the page on falls tell of no kind of exercise.
OF_EXERCISE = [one for one in EACH if one.values[0].code not in ("wallet card", "fall")]


@pytest.mark.parametrize(("paper", "language"), OF_EXERCISE)
def test_each_paper_says_until_when(paper: Paper[Any], language: str) -> None:
    """Rulebook row 22b; the record of the first session is about the plate alone."""
    text = laid_out(paper, language, snapshot_of("ending"), week=12)
    alone = paper.code in ("plate session", "summary")
    line = {
        "en": f"Vibration plate{'' if alone else ', Lifting'}: only until 20 May 2026, then stop.",
        "es": f"Plataforma vibratoria{'' if alone else ', Levantar peso'}: "
        "solo hasta el 20 de mayo de 2026, luego pare.",
        "fr": f"Plaque vibrante{'' if alone else ', Soulever des poids'}\u202f: "
        "seulement jusqu’au 20 mai 2026, puis arrêtez.",
    }[language]
    assert text.count(line) == 1
    if paper.code == "summary":
        assert text.count("Lifting: only until 20 May 2026, then stop.") == 1


def test_after_the_last_day_a_week_says_nothing_of_it() -> None:
    text = laid_out(KINDS["sheets"], "en", snapshot_of("ending"), week=13)
    assert "only until" not in text
    assert text.count("Vibration plate") == 1
    assert "Vibration plate: has ended in week 12. Do not go on with it." in text
