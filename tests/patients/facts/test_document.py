"""The facts document in and out: what is refused, where, and that nothing is lost."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from hypothesis import given, settings

from patients.facts import declared
from patients.facts.declared import Clearance, Condition, Facts, OtherClearance, Scan, Symptom
from patients.facts.document import Problem, read, read_part, write, write_part
from tests.documents import Document, documents
from tests.each import each
from tests.people import clearance, facts, steady, steady_document

TOLD = (
    "A date is written year-month-day, like 2026-03-02, or 2026-03 or 2026 where no more is known."
)
DATE = "A date is written year-month-day, like 2026-03-02."
NUMBER, WHOLE = "A number is expected here.", "A whole number is expected here."
TEXT = "A short text is expected here, up to 200 characters."
LIST, OBJECT = "A list is expected here.", "An object is expected here."
YES_NO = "The answer is yes, no or unknown."
UNKNOWN = "This is not a known entry."
NEEDED = "This is needed."
DAYS = "Check this: a day from 1900 to 2199 is expected."
PRESSURE = "Check this blood pressure, upper number first."
TWO_NUMBERS = "Two whole numbers are expected, like [132, 78]."
SCAN = {"date": "2026-01-20", "site": "total_hip", "t": -1.8}
PLATE = {"name": "at home", "motion": "vertical"}
MEASURED = PLATE | {"frequency_hz": {"from": 20.6, "to": 41.2, "step": 1.03}}
BORN = {"born": "1960-08-14", "sex": "female"}
SEX = "One of these is expected: female, male."


def measured(**panel: Any) -> dict[str, Any]:
    """Return a plate as it moves, with what its panel shows."""
    shown = {
        "measured_on": "2026-02-20",
        "frequency_hz": {"from": 20, "to": 40, "step": 1},
        "displacement_mm": [1, 2],
    }
    moves = {"settings": [1.12, 2.3], "reads_as": "peak_to_peak"}
    return MEASURED | {"displacement_mm": moves, "panel": shown | panel}


def problems(**changes: Any) -> list[tuple[str, str]]:
    found = read({**steady_document(), **changes})
    assert not isinstance(found, Facts)
    return [(problem.at, problem.text) for problem in found]


@pytest.mark.slow
@settings(max_examples=300)
@given(documents)
def test_what_is_written_is_read_back(document: Document) -> None:
    known = facts(document)
    written = write(known)
    assert facts(json.loads(json.dumps(written, allow_nan=False))) == known
    assert write(facts(written)) == written


def test_not_recorded_is_left_out_and_an_empty_list_is_kept() -> None:
    written = write(steady(scans=None, fractures=[]))
    assert "scans" not in written
    assert written["fractures"] == []


@pytest.mark.parametrize("document", [None, [], "facts/1", 3, True])
def test_what_is_no_object_is_no_facts_document(document: object) -> None:
    expected = Problem(at="", text="Not a facts document: an object is expected.")
    assert read(document) == (expected,)


def test_an_empty_object_is_told_all_that_it_needs() -> None:
    found = read({})
    assert not isinstance(found, Facts)
    assert [(p.at, p.text) for p in found] == [
        ("format", "The format must be facts/1."),
        ("as_of", NEEDED),
        ("person", NEEDED),
    ]


def test_the_least_that_is_a_facts_document() -> None:
    known = facts({"format": "facts/1", "as_of": "2026-03-02", "person": BORN})
    assert known.fractures is known.conditions is known.resources is None
    assert known.condition("stones") == Condition()
    assert known.symptom("fever") == Symptom()
    assert known.medicine("glucocorticoid").answer is None


@each(
    ("changes", "at", "text"),
    [
        ({"format": "facts/2"}, "format", "The format must be facts/1."),
        ({"colour": "blue"}, "colour", UNKNOWN),
        ({"person": None}, "person", NEEDED),
        ({"person": []}, "person", OBJECT),
        ({"person": {"sex": "female"}}, "person.born", NEEDED),
        ({"person": {**BORN, "sex": "unknown"}}, "person.sex", SEX),
        ({"person": {**BORN, "sex": 1}}, "person.sex", SEX),
        ({"person": {**BORN, "shoe_size": 38}}, "person.shoe_size", UNKNOWN),
        ({"person": {**BORN, "height_cm": "163"}}, "person.height_cm", NUMBER),
        ({"person": {**BORN, "height_cm": True}}, "person.height_cm", NUMBER),
        ({"person": {**BORN, "pregnant": False}}, "person.pregnant", YES_NO),
        ({"person": {**BORN, "pregnant": "maybe"}}, "person.pregnant", YES_NO),
        ({"person": {**BORN, "born": "14.8.1960"}}, "person.born", TOLD),
        ({"person": {**BORN, "born": 1960}}, "person.born", TOLD),
        ({"person": {**BORN, "born": "1899-12-31"}}, "person.born", DAYS),
        ({"scans": {}}, "scans", LIST),
        ({"scans": [SCAN, 3]}, "scans[1]", OBJECT),
        ({"scans": [SCAN, {**SCAN, "t": "low"}]}, "scans[1].t", NUMBER),
        ({"scans": [{**SCAN, "scanner": " "}]}, "scans[0].scanner", TEXT),
        ({"scans": [{**SCAN, "scanner": "x" * 201}]}, "scans[0].scanner", TEXT),
        ({"scans": [{**SCAN, "scanner": 4}]}, "scans[0].scanner", TEXT),
        ({"scans": [{**SCAN, "scanner": "\ud800"}]}, "scans[0].scanner", TEXT),
        ({"scans": [{**SCAN, "scanner": "A\x00"}]}, "scans[0].scanner", TEXT),
        ({"falls": {"last_12_months": 1.0}}, "falls.last_12_months", WHOLE),
        ({"falls": {"last_12_months": True}}, "falls.last_12_months", WHOLE),
        ({"tests": {"resting_bp": [132]}}, "tests.resting_bp", TWO_NUMBERS),
        ({"tests": {"resting_bp": "132/78"}}, "tests.resting_bp", TWO_NUMBERS),
        ({"tests": {"resting_bp": [78, 132]}}, "tests.resting_bp", PRESSURE),
        ({"tests": {"resting_bp": [301, 90]}}, "tests.resting_bp", PRESSURE),
        ({"tests": {"unable": ["tandem", 4]}}, "tests.unable[1]", "One of these is expected: "),
        ({"aims": "hip"}, "aims", LIST),
        ({"aims": ["hip", "fame"]}, "aims[1]", "One of these is expected: hip, spine, wrist, "),
        ({"conditions": []}, "conditions", "An object of answers is expected here."),
        ({"conditions": {"otherwise": None}}, "conditions.otherwise", YES_NO),
        ({"conditions": {"gout": "yes"}}, "conditions.gout", UNKNOWN),
        ({"conditions": {"stones": 1}}, "conditions.stones.answer", YES_NO),
        ({"conditions": {"stones": {"size": 3}}}, "conditions.stones.size", UNKNOWN),
        (
            {"conditions": {"stones": {"answer": "yes", "cleared": {"by": "x"}}}},
            "conditions.stones.cleared.modalities",
            NEEDED,
        ),
        (
            {"conditions": {"stones": {"answer": "yes", "cleared": [clearance("flight")]}}},
            "conditions.stones.cleared[0].modalities[0]",
            "One of these is expected: plate, ",
        ),
        ({"medicines": {"glucocorticoid": {"mg": 5}}}, "medicines.glucocorticoid.mg", UNKNOWN),
        ({"resources": {"plates": [{}]}}, "resources.plates[0].name", NEEDED),
        (
            {"resources": {"plates": [{**PLATE, "displacement_mm": {"settings": []}}]}},
            "resources.plates[0].displacement_mm.settings",
            "At least one number is expected here.",
        ),
        (
            {"resources": {"plates": [{**PLATE, "displacement_mm": {"settings": [1, "2"]}}]}},
            "resources.plates[0].displacement_mm.settings[1]",
            NUMBER,
        ),
        (
            {
                "resources": {
                    "plates": [{**PLATE, "frequency_hz": {"from": 30, "to": 20, "step": 1}}]
                }
            },
            "resources.plates[0].frequency_hz.to",
            "The highest frequency is below the lowest.",
        ),
        (
            {"resources": {"plates": [MEASURED | {"panel": {"measured_on": "2026-02-20"}}]}},
            "resources.plates[0].panel.frequency_hz",
            "One for each measured frequency is expected.",
        ),
        (
            {"resources": {"plates": [measured(displacement_mm=[1])]}},
            "resources.plates[0].panel.displacement_mm",
            "One for each measured displacement is expected.",
        ),
        (
            {"resources": {"plates": [measured() | {"displacement_mm": {"settings": [1, 2]}}]}},
            "resources.plates[0].panel.displacement_mm",
            "What was measured reads peak to peak.",
        ),
        (
            {"resources": {"plates": [measured(measured_on="2026-03-03")]}},
            "resources.plates[0].panel.measured_on",
            "This is after the day of the assessment.",
        ),
        (
            {"clearances": [{"for": "boredom", **clearance("plate")}]},
            "clearances[0].for",
            "One of these is expected: fracture, ",
        ),
        (
            {"clearances": [{"for": "low_t", **clearance("plate", until="2026-02-09")}]},
            "clearances[0].until",
            "The last day is before the first.",
        ),
        (
            {"person": {**BORN, "height_cm": 165, "tallest_height_cm": 162.9}},
            "person.tallest_height_cm",
            "Shorter than the height today.",
        ),
    ],
)
def test_what_is_refused_and_where(changes: dict[str, Any], at: str, text: str) -> None:
    found = problems(**changes)
    assert [where for where, _text in found].count(at) == 1
    assert dict(found)[at].startswith(text)


def test_one_mistake_is_told_once() -> None:
    assert problems(aims=["fame"], fractures="none") == [
        ("fractures", LIST),
        ("aims[0]", "One of these is expected: hip, spine, wrist, falls, strength."),
    ]


@pytest.mark.parametrize(
    ("height", "refused"), [(99.9, True), (100, False), (230, False), (230.1, True)]
)
def test_ends_of_a_believable_range(height: float, refused: bool) -> None:
    person = {**BORN, "height_cm": height}
    if not refused:
        assert facts(steady_document() | {"person": person}).person.height_cm == height
        return
    text = "Check this: 100 to 230 cm is expected."
    assert problems(person=person) == [("person.height_cm", text)]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf"), 10**400])
def test_numbers_that_are_none(value: float) -> None:
    (found,) = problems(scans=[{**SCAN, "t": value}])
    assert found == ("scans[0].t", "Check this: -8 to 6 is expected.")


@pytest.mark.parametrize(
    ("date", "text"),
    [
        ("1960-08-13", "This is before the date of birth."),
        ("1960-08-14", ""),
        ("2026-03-02", ""),
        ("2026-03-03", "This is after the day of the assessment."),
        ("2026-02-29", DATE),
    ],
)
def test_days_lie_between_birth_and_assessment(date: str, text: str) -> None:
    document = steady_document(scans=[{**SCAN, "date": date}])
    found = read(document)
    assert isinstance(found, Facts) == (not text)
    if not isinstance(found, Facts):
        assert [(p.at, p.text) for p in found] == [("scans[0].date", text)]


@pytest.mark.parametrize("as_of", ["0001-01-01", "1899-12-31", "2200-01-01", "9999-12-31"])
def test_days_with_which_nobody_can_reckon_are_refused(as_of: str) -> None:
    """Months are counted back and forth from them."""
    assert ("as_of", DAYS) in problems(as_of=as_of)


@pytest.mark.parametrize("as_of", ["1900-01-01", "2199-12-31"])
def test_the_first_and_last_day_that_can_be_reckoned_with(as_of: str) -> None:
    person = {"born": "1900-01-01", "sex": "female"}
    assert facts({"format": "facts/1", "as_of": as_of, "person": person}).person.sex == "female"


def test_only_a_clearance_may_lie_after_the_assessment() -> None:
    later = clearance("plate", on="2026-04-01", until="9999-12-31")
    known = steady(clearances=[{"for": "low_t", **later}])
    assert known.clearances is not None
    assert known.clearances[0].until == dt.date.max


def test_a_choice_that_is_unknown_is_not_recorded() -> None:
    assert steady(person={"menopause": "unknown"}).person.menopause is None


def test_otherwise_answers_all_that_are_not_named() -> None:
    known = steady_document() | {"conditions": {"otherwise": "no", "stones": "yes", "hernia": None}}
    answers = facts(known).conditions
    assert answers is not None
    assert answers["stones"].answer is True
    assert answers["hernia"].answer is None
    assert {
        answer.answer for code, answer in answers.items() if code not in ("stones", "hernia")
    } == {False}


def test_without_otherwise_the_others_are_unknown() -> None:
    known = facts(steady_document() | {"symptoms": {"fever": "no"}})
    assert known.symptom("fever").answer is False
    assert known.symptom("chest_pain").answer is None


def test_a_lone_clearance_is_a_list_of_one() -> None:
    lone, listed = (
        steady(conditions={"stones": {"answer": "yes", "cleared": given}})
        for given in (clearance("plate"), [clearance("plate")])
    )
    assert lone == listed
    written = write(lone)["conditions"]["stones"]["cleared"]
    assert written == clearance("plate")


def test_two_clearances_are_written_as_a_list() -> None:
    given = [clearance("plate"), clearance("impact")]
    known = steady(conditions={"stones": {"answer": "yes", "cleared": given}})
    assert write(known)["conditions"]["stones"]["cleared"] == given


@pytest.mark.parametrize(
    ("named", "code"),
    [
        ("up_and_go", "up_and_go_s"),
        ("chair_stands", "chair_stands_30s"),
        ("grip", "grip_kg"),
        ("walk_4m", "walk_4m_s"),
        ("tandem_s", "tandem_s"),
    ],
)
def test_a_test_may_be_named_without_its_unit(named: str, code: str) -> None:
    known = steady(tests={"unable": [named, code]}).tests
    assert known is not None
    assert [row.unable for row in known] == [(code,)]


def test_a_measured_plate_is_read_with_its_panel() -> None:
    held = read({**steady_document(), "resources": {"plates": [measured()]}})
    assert isinstance(held, Facts)
    assert held.resources is not None
    (plate,) = held.resources.plates or ()
    assert plate.panel is not None
    assert plate.panel.displacement_mm == (1, 2)
    assert write(held)["resources"]["plates"] == [measured()]
    alone = measured() | {"displacement_mm": {"settings": [1, 2]}}
    alone["panel"] = {k: v for k, v in alone["panel"].items() if k != "displacement_mm"}
    assert isinstance(read({**steady_document(), "resources": {"plates": [alone]}}), Facts)


def test_settings_are_kept_once_and_in_order() -> None:
    plate = {**PLATE, "displacement_mm": {"settings": [4, 1.0, 2, 1], "reads_as": "unknown"}}
    known = steady(resources={"plates": [plate]}).resources
    assert known is not None
    assert known.plates is not None
    assert known.plates[0].displacement_mm is not None
    assert known.plates[0].displacement_mm.settings == (1.0, 2, 4)
    assert known.plates[0].displacement_mm.reads_as is None


def test_one_part_is_read_and_written_alone() -> None:
    day, born = dt.date(2026, 3, 2), dt.date(1960, 8, 14)
    scan = read_part(Scan, SCAN, "scan", day, born)
    assert scan == Scan(date=dt.date(2026, 1, 20), site="total_hip", t=-1.8)
    assert write_part(scan) == SCAN
    late = read_part(Scan, {**SCAN, "date": "2026-03-03"}, "scan", day, born)
    assert late == (Problem(at="scan.date", text="This is after the day of the assessment."),)


def test_pressure_is_written_as_two_numbers() -> None:
    assert write_part(declared.Tests(resting_bp=(132, 78))) == {"resting_bp": [132, 78]}


@pytest.mark.parametrize(
    ("day", "modality", "covers"),
    [
        (dt.date(2026, 2, 9), "plate", False),
        (dt.date(2026, 2, 10), "plate", True),
        (dt.date(2026, 8, 10), "plate", True),
        (dt.date(2026, 8, 11), "plate", False),
        (dt.date(2026, 3, 2), "impact", False),
    ],
)
def test_what_a_clearance_covers(day: dt.date, modality: str, covers: bool) -> None:
    given = {"by": "clinic", "on": dt.date(2026, 2, 10), "until": dt.date(2026, 8, 10)}
    assert Clearance(modalities=("plate",), **given).covers(modality, day) == covers
    other = OtherClearance(subject="low_t", modalities=("plate",), **given)
    assert other.covers(modality, day) == covers
