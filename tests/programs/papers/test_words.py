"""Every word of a handout is plain, and every precaution has one."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest

from patients.facts import codes, her_words
from programs.papers import (
    ENGLISH,
    Handout,
    advice,
    cautions,
    emergency,
    lifting,
    manner,
    plate_page,
    watching,
)
from programs.papers.questionnaire import questionnaire
from programs.signed.program import SignedFinding
from safety.findings import Level, Modality
from safety.rules.all_rules import RULES
from safety.rules.rule import Unanswered
from tests.each import each
from tests.plain_language import Trouble, check_line, check_passage, grade
from tests.programs.sample_papers import CLINIC, OF_TODAY, PEOPLE, handout_of, snapshot_of

pytestmark = pytest.mark.long

#: Lists of instructions: each line begins with a verb.
INSTRUCTIONS = {
    *("do", "look", "stopped", "steps", "before", "stand", "dizzy", "feel", "avoid"),
    *("leave_out", "instead"),
}
#: Names, settings of a table, and what the clinician wrote herself.
NOT_SENTENCES = {
    *("issue", "figure", "wrong", "panel", "heads", "rows", "plate", "name", "held", "days"),
    *("title", "items", "weeks", "about", "code", "brief", "last"),
}


def lines(part: object, field: str = "") -> Iterator[tuple[str, str]]:
    """Yield each text of a handout with the name of the field that holds it."""
    if isinstance(part, str):
        yield field, part
    elif isinstance(part, tuple):
        for one in part:
            yield from lines(one, field)
    elif is_dataclass(part):
        for one in fields(part):
            if one.name not in NOT_SENTENCES:
                yield from lines(getattr(part, one.name), one.name)
            elif one.name == "plate" and not isinstance(part.plate, str):
                yield from lines(part.plate, one.name)


@pytest.fixture(params=PEOPLE)
def told(request: pytest.FixtureRequest) -> Handout:
    # The digits of a telephone number have no unit.
    return handout_of(snapshot_of(request.param, clinic=CLINIC | {"phone": "our number"}))


def test_each_line_is_plain(told: Handout) -> None:
    found: list[Trouble] = []
    for field, text in lines(told):
        found += check_line(text, instruction=field in INSTRUCTIONS)
    assert found == []


def test_it_is_read_at_grade_six(told: Handout) -> None:
    text = [line for _, line in lines(told)]
    assert grade("\n".join(text)) <= 6
    assert check_passage(text) == ()


def test_there_is_enough_to_judge(told: Handout) -> None:
    assert len(list(lines(told))) > 100


def test_each_section_is_read_by_itself(told: Handout) -> None:
    for section in told.advice:
        assert check_passage((*section.tell, *section.do)) == ()


@pytest.mark.parametrize(
    "texts",
    [
        (*advice.PAIN, *advice.GAPS_DO, *advice.CALL, *advice.EXPECT_DO),
        tuple(cautions.SEATED.values()),
        (lifting.WARM_UP, lifting.WARM_UP_HELD, *lifting.FIND_A_LOAD),
        (watching.STAFF, watching.HELPER, watching.AT_CLINIC, watching.SOMEBODY),
        (manner.HANDS_ON, manner.WITH_THE_FRAME, manner.IN_REACH, manner.SEAT, manner.BED),
        tuple(text for told in cautions.OF_MODALITY.values() for text in told),
        tuple(text for told in cautions.INSTEAD.values() for text in told),
        tuple(cautions.OF_SUBJECT.values()),
        tuple(plate_page.STANDING.values()),
    ],
)
def test_advice_that_not_everybody_gets(texts: tuple[str, ...]) -> None:
    assert [t for text in texts for t in check_line(text, instruction=True)] == []
    assert check_passage(texts) == ()


def test_telling_that_not_everybody_gets() -> None:
    texts = (*emergency.AMBULANCE, *emergency.STOP, *advice.GAPS, *advice.EXPECT)
    texts += (*advice.LOW_MAGNITUDE, lifting.EASY, plate_page.LITTLE, emergency.KNOCK)
    assert [t for text in texts for t in check_line(text)] == []
    assert check_passage(texts) == ()


# --- Cautions -------------------------------------------------------------------------------


def precautions() -> set[tuple[str, str]]:
    """Return subject and modality of each rule that may leave a precaution on a modality."""
    return {
        (rule.code.removesuffix(f".{rule.applies_to}"), str(rule.applies_to))
        for rule in RULES
        if rule.level is Level.PRECAUTION and rule.applies_to in tuple(Modality)
    }


def test_there_are_precautions() -> None:
    assert len(precautions()) > 50


def finding(subject: str, about: str, **more: Any) -> SignedFinding:
    held = {"rule": f"{subject}.{about}", "subject": subject, "about": about, "text": ""}
    held |= {"level": Level.PRECAUTION, "cleared": False, "dosed": False}
    return SignedFinding(**held | more)


@each(("subject", "about"), sorted(precautions()))
def test_each_precaution_has_words_for_the_patient(subject: str, about: str) -> None:
    said = cautions.cautions([finding(subject, about)], frozenset({about}), ENGLISH, seated=False)
    assert said is not None
    assert cautions.OF_SUBJECT[subject] in said.do


def test_no_words_for_what_no_rule_says() -> None:
    subjects = {subject for subject, _ in precautions()}
    dosed_unknown = {
        rule.code.removesuffix(f".{rule.applies_to}")
        for rule in RULES
        if rule.unanswered is Unanswered.DOSE
    }
    assert set(cautions.OF_SUBJECT) <= subjects | dosed_unknown
    assert {subject for subject, _ in cautions.INSTEAD} <= subjects | dosed_unknown


def test_nothing_is_said_of_what_she_does_not_do() -> None:
    assert (
        cautions.cautions(
            [finding("hernia", "impact")], frozenset({"balance"}), ENGLISH, seated=False
        )
        is None
    )


def test_a_precaution_that_a_review_lifted_keeps_its_subject_alone() -> None:
    lifted = finding("osteoarthritis", "plate", cleared=True)
    said = cautions.cautions([lifted], frozenset({"plate"}), ENGLISH, seated=False)
    assert said is not None
    assert said.do == (cautions.OF_SUBJECT["osteoarthritis"],)


@pytest.mark.parametrize(("dosed", "count"), [(True, 2), (False, 0)])
def test_what_is_not_recorded_is_told_where_it_is_dosed(dosed: bool, count: int) -> None:
    unknown = finding("hernia", "resistance", level=Level.MISSING, dosed=dosed)
    said = cautions.cautions([unknown], frozenset({"resistance"}), ENGLISH, seated=False)
    assert len(said.do if said else ()) == count


def test_walking_only_says_more_than_no_jumps() -> None:
    both = [finding("fragile_spine", "impact"), finding("hernia", "impact")]
    said = cautions.cautions(both, frozenset({"impact"}), ENGLISH, seated=False)
    assert said is not None
    assert "Walk only. Do not jump, stamp or run." in said.do
    assert "Do not jump or run." not in said.do


def test_a_rule_without_words_still_asks_what_its_modality_asks() -> None:
    said = cautions.cautions(
        [finding("new_rule", "balance")], frozenset({"balance"}), ENGLISH, seated=False
    )
    assert said is not None
    assert said.do == cautions.OF_MODALITY["balance"]


@pytest.mark.parametrize(
    ("subject", "about", "level", "spared"),
    [
        ("fragile_spine", "resistance", Level.PRECAUTION, True),
        ("fragile_spine", "plate", Level.NEEDS_CLEARANCE, False),
        ("spine_not_imaged", "impact", Level.PRECAUTION, True),
        ("spine_not_imaged.refer", "all", Level.REFER, False),
        ("hernia", "impact", Level.PRECAUTION, False),
    ],
)
def test_whose_spine_is_spared(subject: str, about: str, level: Level, spared: bool) -> None:
    assert cautions.spares_spine([finding(subject, about, level=level)]) == spared


@pytest.mark.counted
@pytest.mark.parametrize("seated", [True, False])
def test_who_sits_is_not_told_to_stand(seated: bool) -> None:
    found = [finding("pressure.low", "balance")]
    said = cautions.cautions(found, frozenset({"balance"}), ENGLISH, seated=seated)
    assert said is not None
    assert any("stand" in line or "worktop" in line for line in said.do) != seated


def test_the_blank_form_is_short() -> None:
    form = questionnaire(ENGLISH, OF_TODAY)
    tables = (*form.tables, form.falls, form.help)
    asked = [line.text for table in tables for line in table.asked]
    assert [t for line in asked for t in check_line(line)] == []
    assert {"Chest pain", "A blood thinner", "Numb feet: you feel very little in them"} <= set(
        asked
    )
    assert (len(form.days), form.equipment[0], form.aims[0]) == (7, "firm chair", "my hips")


def test_the_blank_form_asks_for_days_and_names_and_says_not_to_wait() -> None:
    conditions, symptoms, medicines = questionnaire(ENGLISH, OF_TODAY).tables
    dated = {line.text for line in conditions.asked if line.written == "When?"}
    assert {"An operation", "An operation on an eye", "You gave birth"} <= dated
    assert len(dated) == len(codes.DATED_CONDITIONS)
    assert {line.written for line in medicines.asked} == {"Its name:"}
    assert {line.written for line in symptoms.asked} == {""}
    assert "do not wait for your visit" in symptoms.first[0]
    assert (conditions.first, medicines.first) == ((), ())


#: Words of the trade that no patient should have to know, from the findings on the form.
TRADE = ("metastasis", "retinopathy", "spondylolisthesis", "antiepileptic", "saddle", "acute")


def test_the_blank_form_is_in_a_patients_words() -> None:
    asked = [label for held in HER_WORDS.values() for label in held.values()]
    assert [line for line in asked if any(word in line.lower() for word in TRADE)] == []


HER_WORDS = {
    "CONDITIONS": her_words.CONDITIONS,
    "SYMPTOMS": her_words.SYMPTOMS,
    "MEDICINES": her_words.MEDICINES,
    "FRACTURE_SITES": her_words.BONES,
    "EQUIPMENT": her_words.EQUIPMENT,
    "AIMS": her_words.AIMS,
}


@pytest.mark.parametrize("name", HER_WORDS)
def test_each_code_has_her_words_in_its_order(name: str) -> None:
    """A finger, toe or face not told apart is of older records; each is asked by itself."""
    wanted = [code for code in getattr(codes, name) if code != "finger_toe_face"]
    assert list(HER_WORDS[name]) == wanted
