"""From rows and answers to facts: what counts on a day, and the round trip."""

import dataclasses
import datetime as dt
from decimal import Decimal

import pytest

from patients.facts.document import read, write
from patients.facts.partial_dates import known_of, told_text
from patients.models.patient import LiftSet
from patients.rows_to_facts import Contradiction, entered, facts_from, facts_of
from tests.factories import (
    DAY,
    AssessmentFactory,
    FractureFactory,
    FunctionTestDayFactory,
    LiftFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.database]

PLATE = {
    "name": "at home",
    "motion": "vertical",
    "frequency_hz": {"from": 20, "to": 50, "step": 1},
    "displacement_mm": {"settings": [1, 2, 4], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 120,
    "price": 1900,
}
ANSWERS = {
    "person": {"pregnant": "no", "menopause": "after", "tallest_height_cm": 166},
    "spine_image": {"answer": "yes", "on": "2025-11-03"},
    "probability_10y": {"major_percent": 18, "hip_percent": 3.4},
    "falls": {
        "last_12_months": 1,
        "injury": "no",
        "long_lie": "no",
        "blackout": "no",
        "unsteady": "yes",
        "worried": "yes",
    },
    "conditions": {
        "epilepsy": "no",
        "joint_replacement": {"answer": "yes", "on": "2024-06-01"},
        "osteoarthritis": {"answer": "yes", "degree": "mild"},
    },
    "symptoms": {"fever": "no"},
    "medicines": {"glucocorticoid": {"answer": "yes", "mg_per_day": 7.5, "months": 6}},
    "aims": ["hip", "falls"],
    "own_goal": "Carry my shopping home",
    "experience": {"resistance": "none", "impact": "some"},
    "resources": {
        "days": ["mon", "wed", "fri"],
        "minutes_per_day": 40,
        "supervised": "no",
        "watcher": "yes",
        "support_rail": "yes",
        "equipment": [],
        "load_step_kg": 1,
        "plates": [PLATE],
    },
}


@pytest.fixture
def patient():
    """A patient of whom everything is known."""
    patient = PatientFactory()
    SizeFactory(patient=patient, date=dt.date(2024, 2, 1), height_cm=Decimal("162.0"))
    SizeFactory(patient=patient)
    for site in ("total_hip", "femoral_neck"):
        ScanFactory(patient=patient, site=site)
    for factory in (FractureFactory, MarkerFactory, LiftFactory):
        factory(patient=patient)
    FunctionTestDayFactory(patient=patient, unable=["grip_kg"], standing_bp=[128, 76])
    AssessmentFactory(patient=patient, answers=ANSWERS)
    return patient


def test_b07_all_of_it_is_read_back_equal(patient):
    facts = facts_of(patient, DAY)
    assert read(write(facts)) == facts


def test_b07_every_fact_stands_under_its_own_name(patient):
    facts = facts_of(patient, DAY)
    unrecorded = {f.name for f in dataclasses.fields(facts) if getattr(facts, f.name) is None}
    assert unrecorded == {"clearances"}
    assert (facts.person.height_cm, facts.person.weight_kg) == (161.5, 58.0)
    assert [h.cm for h in facts.person.earlier_heights] == [162.0]
    assert [(row.resting_bp, row.standing_bp) for row in facts.tests] == [((132, 78), (128, 76))]
    assert facts.resources.equipment == ()
    assert facts.condition("joint_replacement").on == dt.date(2024, 6, 1)
    assert facts.medicine("glucocorticoid").mg_per_day == 7.5


def test_two_queries(patient, django_assert_max_num_queries):
    with django_assert_max_num_queries(2):
        facts_of(patient, DAY)


def test_b09_of_a_new_patient_nothing_is_recorded():
    facts = facts_of(PatientFactory(), DAY)
    named = {f.name: getattr(facts, f.name) for f in dataclasses.fields(facts)}
    assert {name for name, value in named.items() if value is not None} == {"as_of", "person"}
    assert facts.person.height_cm is None
    assert facts.condition("epilepsy").answer is None


def test_asked_and_none_differs_from_not_asked():
    patient = AssessmentFactory(answers={"fractures": [], "scans": []}).patient
    facts = facts_of(patient, DAY)
    assert (facts.fractures, facts.scans, facts.lifts) == ((), (), None)


def test_rows_outweigh_an_older_none():
    patient = AssessmentFactory(answers={"fractures": []}).patient
    FractureFactory(patient=patient)
    assert len(facts_of(patient, DAY).fractures) == 1


@pytest.mark.parametrize(("day", "count"), [(DAY, 1), (DAY - dt.timedelta(days=1), 0)])
def test_a_measurement_counts_from_its_day_on(day, count):
    patient = ScanFactory(date=DAY).patient
    assert len(facts_of(patient, day).scans or ()) == count


def test_what_was_struck_out_does_not_count():
    patient = SizeFactory(withdrawn=True).patient
    ScanFactory(patient=patient, withdrawn=True)
    facts = facts_of(patient, DAY)
    assert (facts.person.weight_kg, facts.scans) == (None, None)


def test_every_test_day_stands_with_its_date_oldest_first():
    patient = FunctionTestDayFactory(date=dt.date(2025, 3, 2), grip_kg=Decimal("22.0")).patient
    FunctionTestDayFactory(patient=patient, date=DAY)
    FunctionTestDayFactory(patient=patient, date=dt.date(2024, 3, 2))
    tests = facts_of(patient, DAY).tests
    days = [dt.date(2024, 3, 2), dt.date(2025, 3, 2), DAY]
    assert [(row.date, row.grip_kg) for row in tests] == list(
        zip(days, (None, 22.0, None), strict=True)
    )


def test_newest_height_and_weight_each_of_their_own_day():
    patient = SizeFactory(date=dt.date(2025, 1, 1), weight_kg=None).patient
    SizeFactory(patient=patient, date=DAY, height_cm=None, weight_kg=Decimal("57.1"))
    person = facts_of(patient, DAY).person
    assert (person.height_cm, person.weight_kg, person.earlier_heights) == (161.5, 57.1, None)
    known = entered(patient, DAY)
    assert known.newest_day("height_cm") == dt.date(2025, 1, 1)
    assert known.newest_day("weight_kg") == DAY
    assert entered(PatientFactory(), DAY).newest_day("weight_kg") is None


def test_of_two_assessments_of_one_day_the_last_saved_holds():
    patient = AssessmentFactory(answers={"aims": ["hip"]}).patient
    AssessmentFactory(patient=patient, answers={"aims": ["spine"]})
    AssessmentFactory(patient=patient, answers={"aims": ["wrist"]}, as_of=dt.date(2026, 3, 1))
    assert facts_of(patient, DAY).aims == ("spine",)


def test_an_earlier_day_has_the_answers_of_then():
    patient = AssessmentFactory(answers={"aims": ["hip"]}, as_of=dt.date(2026, 1, 1)).patient
    AssessmentFactory(patient=patient, answers={"aims": ["spine"]})
    assert facts_of(patient, dt.date(2026, 3, 1)).aims == ("hip",)
    assert facts_of(patient, dt.date(2025, 12, 31)).aims is None


def test_what_does_not_fit_together_is_named():
    patient = SizeFactory(height_cm=Decimal("170.0")).patient
    AssessmentFactory(patient=patient, answers={"person": {"tallest_height_cm": 160}})
    with pytest.raises(Contradiction) as raised:
        facts_of(patient, DAY)
    assert raised.value.problems[0].at == "person.tallest_height_cm"


def test_the_answers_given_out_are_a_copy():
    patient = AssessmentFactory(answers={"aims": ["hip"]}).patient
    known = entered(patient, DAY)
    known.answers["aims"].append("spine")
    assert facts_from(known).aims == ("hip",)


def test_a_day_of_the_worry_scale_alone_hides_no_test():
    day = FunctionTestDayFactory(date=dt.date(2026, 2, 1), up_and_go_s=Decimal("13.0"))
    blank = dict.fromkeys(("up_and_go_s", "chair_stands_30s", "walk_4m_s", "resting_bp"))
    FunctionTestDayFactory(patient=day.patient, worry=[2, 2, 2, 2, 2, 2, None], **blank)
    tests = facts_of(day.patient, DAY).tests
    assert [(row.date, row.up_and_go_s) for row in tests] == [(dt.date(2026, 2, 1), 13.0)]


def test_the_worry_scale_is_no_fact():
    day = FunctionTestDayFactory()
    without = write(facts_of(day.patient, DAY))
    blank = dict.fromkeys(("up_and_go_s", "chair_stands_30s", "walk_4m_s", "resting_bp"))
    FunctionTestDayFactory(patient=day.patient, worry=[4] * 7, **blank)
    assert write(facts_of(day.patient, DAY)) == without


def test_nobody_tested_is_not_recorded():
    blank = dict.fromkeys(("up_and_go_s", "chair_stands_30s", "walk_4m_s", "resting_bp"))
    day = FunctionTestDayFactory(worry=[1] * 7, **blank)
    assert facts_of(day.patient, DAY).tests is None


@pytest.mark.parametrize("known", ["year", "month", "day"])
def test_a_fracture_of_a_year_is_given_as_it_was_told_and_read_as_its_latest_day(known):
    row = FractureFactory(date=dt.date(2011, 12, 31), date_is=known)
    date = facts_of(row.patient, DAY).fractures[0].date
    assert date == dt.date(2011, 12, 31)
    assert known_of(date) == known


@pytest.mark.parametrize(("known", "told"), [("year", "1941"), ("month", "1941-03")])
def test_a_birth_of_a_year_is_given_as_it_was_told_and_read_as_its_first_day(known, told):
    first = dt.date(1941, 1 if known == "year" else 3, 1)
    person = facts_of(PatientFactory(born=first, born_is=known), DAY).person
    assert (person.born, told_text(person.born)) == (first, told)


def test_a_lift_of_a_year_keeps_what_was_told():
    row = LiftFactory(on=dt.date(2025, 1, 1), on_is="year")
    (lift,) = facts_of(row.patient, DAY).lifts
    assert (lift.on, told_text(lift.on)) == (dt.date(2025, 1, 1), "2025")
    assert LiftSet.from_fact(lift).on_is == "year"
