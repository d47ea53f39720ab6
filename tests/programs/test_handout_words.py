"""Every word of a handout is plain, and every precaution has one."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest

from programs.handout import ENGLISH, Handout, advice, cautions, dosed, plate_page
from programs.handout.questionnaire import questionnaire
from programs.plain_words import Trouble, check_line, check_passage, grade
from safety.findings import Level, Modality
from safety.rules.book import RULES
from safety.rules.rule import Unanswered
from tests.programs.papers import CLINIC, PEOPLE, handout_of, snapshot_of

#: Lists of instructions: each line begins with a verb.
INSTRUCTIONS = {"do", "steps", "before", "stand", "dizzy", "feel", "avoid", "leave_out", "instead"}
#: Names, settings of a table, and what the clinician wrote herself.
NOT_SENTENCES = {
    *("issue", "figure", "heads", "rows", "plate", "name", "held", "days", "title", "items"),
    *("weeks", "logs", "about"),
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
        (*advice.PAIN, *advice.GAPS, *advice.CALL, *advice.EXPECT_DO),
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
    texts = (*advice.STOP, *advice.EMERGENCY, *advice.EXPECT, *advice.LOW_MAGNITUDE)
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


def finding(subject: str, about: str, **more: object) -> dict[str, object]:
    held = {"rule": f"{subject}.{about}", "about": about, "level": "precaution", "text": ""}
    return held | {"cleared": False} | more


@pytest.mark.parametrize(("subject", "about"), sorted(precautions()))
def test_each_precaution_has_words_for_the_patient(subject: str, about: str) -> None:
    said = cautions.cautions([finding(subject, about)], frozenset({about}), ENGLISH)
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
    assert cautions.cautions([finding("hernia", "impact")], frozenset({"balance"}), ENGLISH) is None


def test_a_precaution_that_a_review_lifted_keeps_its_subject_alone() -> None:
    lifted = finding("osteoarthritis", "plate", cleared=True)
    said = cautions.cautions([lifted], frozenset({"plate"}), ENGLISH)
    assert said is not None
    assert said.do == (cautions.OF_SUBJECT["osteoarthritis"],)


@pytest.mark.parametrize(
    ("text", "count"), [("Dosed as if the answer were yes.", 2), ("Asked for.", 0)]
)
def test_what_is_not_recorded_is_told_where_it_is_dosed(text: str, count: int) -> None:
    told = f"Not recorded: hernia. {text}"
    unknown = finding("hernia", "resistance", level="missing", text=told)
    said = cautions.cautions([unknown], frozenset({"resistance"}), ENGLISH)
    assert len(said.do if said else ()) == count


def test_walking_only_says_more_than_no_jumps() -> None:
    both = [finding("fragile_spine", "impact"), finding("hernia", "impact")]
    said = cautions.cautions(both, frozenset({"impact"}), ENGLISH)
    assert said is not None
    assert "Walk only. Do not jump, stamp or run." in said.do
    assert "Do not jump or run." not in said.do


def test_a_rule_without_words_still_asks_what_its_modality_asks() -> None:
    said = cautions.cautions([finding("new_rule", "balance")], frozenset({"balance"}), ENGLISH)
    assert said is not None
    assert said.do == cautions.OF_MODALITY["balance"]


@pytest.mark.parametrize(
    ("rule", "about", "level", "spared"),
    [
        ("fragile_spine.resistance", "resistance", "precaution", True),
        ("fragile_spine.plate", "plate", "needs_clearance", False),
        ("spine_not_imaged.impact", "impact", "precaution", True),
        ("spine_not_imaged.refer", "all", "refer", False),
        ("hernia.impact", "impact", "precaution", False),
    ],
)
def test_whose_spine_is_spared(rule: str, about: str, level: str, spared: bool) -> None:
    found = {"rule": rule, "about": about, "level": level, "text": "", "cleared": False}
    assert cautions.spares_spine([found]) == spared


def test_the_blank_form_is_short() -> None:
    form = questionnaire(ENGLISH)
    asked = [line for table in (*form.tables, form.falls, form.help) for line in table.asked]
    assert [t for line in asked for t in check_line(line)] == []
    assert {"Hernia", "Chest pain", "Opioid"} <= set(asked)
    assert (len(form.days), form.equipment[0], form.aims[0]) == (7, "firm chair", "hip")


def test_titles_cover_all_kinds_of_exercise() -> None:
    assert set(dosed.TITLES) == set(Modality)
