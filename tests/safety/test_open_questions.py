"""What each open question would decide: told as the whole screen would tell it, and quickly."""

from __future__ import annotations

import pytest

from patients.facts.codes import SYMPTOMS
from safety.deciding_questions import QUESTIONS
from safety.findings import Modality
from safety.open_questions import open_questions, still_open
from safety.rules.all_rules import RULES
from safety.rules.rule import Rule
from safety.screen import Status, screen
from tests.people import AS_OF, facts, steady
from tests.safety.campaigns import by_all_rules

NOBODY_ASKED = {"format": "facts/1", "as_of": AS_OF, "person": {"born": "1958", "sex": "female"}}


def told(found, code, answer):
    """Return what an answer would change: the kind, where it would stand."""
    (one,) = [one for one in found if one.question.code == code]
    (decides,) = [d for d in one.decides if d.answer == answer]
    return decides.stops, {str(c.modality): c.status for c in decides.changes}


def test_nothing_is_open_of_whom_everything_is_known():
    asked = steady(resources={"watcher": "no"})
    assert still_open(asked) == ()
    assert open_questions(asked) == ()


def test_of_whom_nothing_is_known_most_questions_decide():
    found = open_questions(facts(NOBODY_ASKED))
    codes = {one.question.code for one in found}
    assert {"symptoms", "conditions", "medicines", "fractures", "falls", "pressure"} <= codes
    assert "height" not in {q.code for q in still_open(facts(NOBODY_ASKED))}


def test_the_one_open_question_says_what_will_come_of_it():
    asked = steady(falls={"last_12_months": None})
    stops, changes = told(open_questions(asked), "falls", "two or more")
    assert not stops
    assert changes["impact"] is Status.EXCLUDED


def test_a_red_flag_would_stop_everything_and_none_of_them_frees_it():
    open_to = dict.fromkeys(list(SYMPTOMS)[:1], "unknown")
    found = open_questions(steady(symptoms={"otherwise": "no", **open_to}))
    assert told(found, "symptoms", "any of them")[0]
    stops, changes = told(found, "symptoms", "none")
    assert (stops, set(changes)) == (False, set(map(str, Modality)))
    assert set(changes.values()) == {Status.INCLUDED}


def test_an_open_condition_holds_and_none_frees_it():
    held = steady(conditions={"otherwise": "no", "epilepsy": "unknown"})
    assert told(open_questions(held), "conditions", "none")[1]["plate"] is Status.INCLUDED


def test_height_is_asked_where_she_was_taller_and_tells_of_the_spine():
    asked = steady(person={"height_cm": None})
    assert told(open_questions(asked), "height", "as tall as ever")[1]["plate"] is Status.INCLUDED


def test_men_are_not_asked_of_menopause_or_pregnancy():
    man = facts({**NOBODY_ASKED, "person": {"born": "1958", "sex": "male"}})
    assert not {"menopause", "pregnant"} & {q.code for q in still_open(man)}


@pytest.mark.parametrize("born, asked", [("1970-03-02", False), ("1970-03-03", True)])
def test_pregnancy_is_open_to_the_day_before_she_is_56(born, asked):
    of_her = {**NOBODY_ASKED, "person": {"born": born, "sex": "female"}}
    assert ("pregnant" in {q.code for q in still_open(facts(of_her))}) is asked


def test_a_pressure_over_the_limit_would_hold_back_what_a_usual_one_frees():
    found = open_questions(facts(NOBODY_ASKED))
    assert told(found, "pressure", "130/80")[1]["resistance"] is Status.INCLUDED
    assert told(found, "pressure", "over 180/110")[1]["resistance"] is not Status.INCLUDED


def test_before_menopause_pregnancy_decides():
    young = steady(person={"born": "1985-05-05", "menopause": "before", "pregnant": None})
    assert told(open_questions(young), "pregnant", "yes")[1]["plate"] is Status.EXCLUDED


@pytest.mark.parametrize("answer", [q.code for q in QUESTIONS])
def test_the_first_answer_closes_its_question(answer):
    (question,) = [q for q in QUESTIONS if q.code == answer]
    person = {"born": "1980", "sex": "female", "tallest_height_cm": 165}
    asked = facts({**NOBODY_ASKED, "person": person})
    for one in question.answers:
        assert question.is_open(asked)
        assert not question.is_open(one.turn(asked)), one.words


def test_the_menopause_settles_whether_a_birth_is_asked_about():
    """A rule of a condition that reads something else of her is looked at again."""
    known = steady(
        conditions={"otherwise": "unknown"}, person={"born": "2009-03-02", "menopause": "unknown"}
    )
    (question,) = (one for one in still_open(known) if one.code == "menopause")
    for answer in question.answers:
        turned = answer.turn(known)
        assert screen(turned) == by_all_rules(turned)


def test_it_is_quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page of all open questions screens some thirty times: most rules say nothing each time.

    339 times a rule told what it saw when this was written, of 278 rules; counts travel.
    """
    told = []
    tell = Rule.told
    monkeypatch.setattr(Rule, "told", lambda *a, **k: told.append(1) or tell(*a, **k))
    open_questions(facts(NOBODY_ASKED))
    assert 0 < len(told) < 2 * len(RULES), len(told) / len(RULES)
