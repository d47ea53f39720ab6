"""The facts in words: each value with its unit, what is open named, nothing guessed."""

import datetime as dt

import pytest

from patients.facts import in_words
from patients.facts.codes import CONDITIONS
from patients.facts.declared import Facts, Person, Resources, Scan
from patients.facts.document import read
from patients.facts.in_words import readings, show, summary
from patients.facts.question import asks
from patients.facts.sections import SECTIONS, following, merged, put, taken, value_at

BASE = {"format": "facts/1", "as_of": "2026-03-02"}


def of(answered=None, sex="female", **facts):
    """Return the readings by section of a patient with these facts."""
    person = {"born": "1959-08-14", "sex": sex, **facts.pop("person", {})}
    known = read({**BASE, "person": person, **facts})
    assert isinstance(known, Facts), known
    return {reading.section.code: reading for reading in readings(known, answered or {})}


def said(reading):
    return {line.label: line.value for line in reading.lines}


def test_of_nobody_known_everything_is_open_and_nothing_is_said():
    for code, reading in of().items():
        assert reading.untouched, code
        assert reading.open, code
        assert all(line.value is None for line in reading.lines)


def test_the_day_of_asking_is_given():
    shown = of({"falls": "2026-03-01"})
    assert (shown["falls"].answered, shown["aims"].answered) == (dt.date(2026, 3, 1), None)


@pytest.mark.parametrize(
    ("sex", "person", "open_"),
    [
        ("male", {}, set()),
        ("female", {"menopause": "after"}, set()),
        ("female", {"menopause": "before"}, {"Pregnant, or may be"}),
        ("female", {}, {"Pregnant, or may be", "Menopause"}),
    ],
)
def test_what_a_stage_of_life_answers_is_not_open(sex, person, open_):
    sizes = {"height_cm": 160, "weight_kg": 60, "tallest_height_cm": 161, "mobility": "stick"}
    assert set(of(sex=sex, person=person | sizes)["about"].open) == open_


def test_an_answer_on_record_is_shown_even_where_it_is_not_asked():
    shown = of(person={"menopause": "after", "pregnant": "no"})["about"]
    assert said(shown)["Pregnant, or may be"] == "no"


def test_heights_have_their_days():
    person = {"height_cm": 160, "earlier_heights": [{"date": "2024-02-01", "cm": 162}]}
    shown = {line.label: (line.value, line.note) for line in of(person=person)["about"].lines}
    assert shown["Height before"] == ("162.0 cm", "1 Feb 2024")


def test_the_newest_size_has_the_day_of_its_measurement():
    known = read({**BASE, "person": {"born": "1959-08-14", "sex": "female", "height_cm": 160}})
    shown = readings(known, {}, {in_words.HEIGHT: dt.date(2026, 1, 5)})[0]
    lines = {line.label: (line.value, line.note) for line in shown.lines}
    assert lines[in_words.HEIGHT] == ("160.0 cm", "5 Jan 2026")
    assert lines[in_words.WEIGHT] == (None, "")


def test_fractures_image_and_probability():
    shown = of(
        fractures=[{"site": "wrist", "date": "2019-05-01", "low_trauma": "yes"}, {"site": "hip"}],
        spine_image={"answer": "no"},
        probability_10y={"major_percent": 18},
    )["fractures"]
    assert said(shown) == {
        "Wrist": "low trauma: yes",
        "Hip": "broken",
        "Spine imaged for vertebral fracture": "no",
        "Ten-year probability, major fracture": "18.0 %",
        "Ten-year probability, hip fracture": None,
    }
    imaged = of(spine_image={"answer": "yes", "on": "2025-11-03"}, fractures=[])["fractures"]
    assert [(line.value, line.note) for line in imaged.lines[:2]] == [
        ("none", ""),
        ("yes", "3 Nov 2025"),
    ]
    assert of(spine_image={})["fractures"].untouched


def test_a_fracture_of_which_only_the_year_is_known_says_so():
    document = {
        "format": "facts/1",
        "as_of": "2026-03-02",
        "person": {"born": "1959-08-14", "sex": "female"},
        "fractures": [
            {"site": "wrist", "date": "2011"},
            {"site": "rib", "date": "2011-12-31"},
        ],
    }
    found = readings(read(document), {})[1]
    assert [line.note for line in found.lines[:2]] == ["2011 (year only)", "31 Dec 2011"]


def test_scans_say_the_score_with_a_true_minus_and_markers_their_unit():
    shown = of(
        scans=[{"date": "2026-01-20", "site": "total_hip", "bmd_g_cm2": 0.68, "t": -2.1}],
        turnover=[
            {"date": "2026-01-20", "marker": "ctx", "value": 520, "unit": "ng/L"},
            {"date": "2026-01-20", "marker": "p1np", "value": 41.5, "unit": "ug/L",
             "fasting_morning": "no"},
        ],
    )["scans"]  # fmt: skip
    assert said(shown) == {
        "Total hip": "T \u22122.1 · BMD 0.680 g/cm²",
        "CTX": "520 ng/L",
        "P1NP": "41.5 µg/L, not fasting",
    }


def test_without_a_fall_its_harm_is_not_open():
    steady = {"unsteady": "no", "worried": "no"}
    assert of(falls={"last_12_months": 0, **steady})["falls"].open == ()
    assert len(of(falls={"last_12_months": 1, **steady})["falls"].open) == 3
    assert len(of(falls=steady)["falls"].open) == 4


def test_a_test_tried_in_vain_is_not_open():
    shown = of(tests={"date": "2026-03-02", "chair_stands_30s": 0, "unable": ["tandem_s"]})
    words = said(shown["tests"])
    assert (words["Tandem"], words["Chair stands in 30 s"]) == ("not possible", "0")
    assert {line.note for line in shown["tests"].lines if line.value} == {"2 Mar 2026"}
    assert words["Grip"] is None


def test_yes_no_and_open_answers_of_a_table():
    shown = of(
        conditions={"epilepsy": "no", "joint_replacement": {"answer": "yes", "on": "2024-06-01"}}
    )["conditions"]
    assert shown.lines[0].value == "yes, 1 Jun 2024"
    assert (shown.lines[1].label, shown.lines[1].value) == (
        f"Answered no: 1 of {len(CONDITIONS)}",
        "Epilepsy or seizures",
    )
    assert len(shown.open) == len(CONDITIONS) - 2
    every = of(symptoms={"otherwise": "no"})["symptoms"]
    assert [line.label for line in every.lines] == ["Answered no: all"]
    assert of(symptoms={"fever": "yes"})["symptoms"].lines[0].value == "yes"


def test_aims_in_order_time_and_plates():
    shown = of(
        aims=["hip", "falls"],
        own_goal="walk to O'Dell's by myself",
        experience={"impact": "none"},
        resources={"days": ["mon"], "equipment": [], "plates": [
            {"name": "at home", "motion": "vertical", "rail": "yes",
             "frequency_hz": {"from": 20, "to": 50, "step": 1},
             "displacement_mm": {"settings": [1, 2.5]}}]},
    )  # fmt: skip
    aims = said(shown["aims"])
    assert aims["Aims"] == "hip, then fewer falls"
    wish = "What she would like to be able to do, in her own words"
    assert aims[wish] == "walk to O'Dell's by myself"
    assert (aims["Days for training"], aims["Equipment"]) == ("Monday", "none")
    assert (aims["Impact before"], aims["Resistance before"]) == ("none", None)
    assert said(shown["plates"])["at home"] == (
        "vertical (whole plate up and down), frequency from 20 Hz, to 50 Hz, step 1 Hz, "
        "displacement settings 1 · 2.5 mm, rail on the plate: yes"
    )
    assert said(of(resources={"plates": []})["plates"]) == {"Plates": "none"}


def test_lifts():
    shown = of(lifts=[{"lift": "leg_press", "kg": 60, "reps": 8}])["lifts"]
    assert said(shown) == {"Leg press": "60.0 kg × 8"}
    dated = of(lifts=[{"lift": "row", "kg": 60, "reps": 8, "on": "2026-03-02"}])["lifts"]
    assert dated.lines[0].note == "2 Mar 2026"


def test_a_pressure_keeps_its_unit():
    shown = of(tests={"date": "2026-03-02", "resting_bp": [132, 78]})["tests"]
    assert said(shown)["Resting blood pressure"] == "132/78 mmHg"
    ask = asks(Scan)["scanner"]
    assert show(ask, "A") == "A"


def test_a_summary_names_what_it_sums_up():
    scan = Scan(date=dt.date(2026, 1, 20), site="total_hip", t=-2.5, scanner="A")
    assert summary(scan, ("date", "site")) == "T-score \u22122.5, A"
    assert in_words.day_text(dt.date(2026, 3, 2)) == "2 Mar 2026"
    assert asks(Person)["height_cm"].unit == "cm"


def test_sections_follow_each_other():
    codes = list(SECTIONS)
    assert [following(code).code for code in codes[:-1]] == codes[1:]
    assert following(codes[-1]) is None


def test_no_two_sections_share_an_entry():
    keys = [key for section in SECTIONS.values() for key in section.keys]
    assert len(keys) == len(set(keys))
    resources = {f"resources.{name}" for name in asks(Resources)}
    assert resources <= set(keys)


def test_a_part_is_taken_and_put_back_without_touching_others():
    answers = {"aims": ["hip"], "resources": {"days": ["mon"], "plates": []}, "falls": {}}
    plates = SECTIONS["plates"]
    assert taken(answers, plates) == {"resources": {"plates": []}}
    without = merged(answers, plates, {})
    assert without == {"aims": ["hip"], "resources": {"days": ["mon"]}, "falls": {}}
    assert answers["resources"]["plates"] == []


def test_an_empty_group_goes_with_its_last_entry():
    document = {"person": {"pregnant": "no"}}
    put(document, "person.pregnant", None)
    assert document == {}
    put(document, "person.pregnant", None)
    assert document == {}
    assert value_at({"aims": ["hip"]}, "aims.first") is None
