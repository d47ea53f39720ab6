"""The ten parts: none is ever empty, what is missing is named, what would change it is true."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from patients.facts.declared import Condition, Facts, Lift, Medicine, Symptom
from patients.facts.document import read
from programs.dose.clinic_limits import clinic
from programs.dose.in_force import Setting
from programs.draft.document import write
from programs.draft.draft import Draft, draft
from programs.why import what_would_change, why_findings, why_modality, why_rule
from programs.why.changes import candidates
from programs.why.facts_read import used
from programs.why.other_answers import turned
from programs.why.panel import NOTHING_OPEN, NOTHING_TURNS
from safety.findings import Modality
from safety.rules.all_rules import RULES
from safety.rules.rule import Rule
from tests.documents import Document, documents
from tests.each import each
from tests.people import clearance, fracture, scan, steady

DECIDED = ("Drafted by Marta Ferro on 2 March 2026; nobody has signed it.",)
BY_CODE = {rule.code: rule for rule in RULES}
#: The date of birth and the sex are always known.
ALWAYS_KNOWN = ("person.sex", "person.born")


@cache
def drafted(taken_away: str = "") -> Draft:
    """Return the draft of the steady person, once for all rules, one fact taken away if named."""
    return draft(without(taken_away, steady()) if taken_away else steady())


def without(path: str, facts: Facts) -> Facts:
    """Return the facts with what stands at a path not recorded."""
    head, _, tail = path.partition(".")
    code, _, part = tail.partition(".")
    match head:
        case "conditions" if part == "on":
            held = Condition(answer=True)
            return replace(facts, conditions={**(facts.conditions or {}), code: held})
        case "conditions":
            return replace(facts, conditions={**(facts.conditions or {}), code: Condition()})
        case "symptoms":
            return replace(facts, symptoms={**(facts.symptoms or {}), code: Symptom()})
        case "medicines":
            return replace(facts, medicines={**(facts.medicines or {}), code: Medicine()})
        case "tests" if tail:
            rows = tuple(replace(row, **{tail: None}) for row in facts.tests or ())
            return replace(facts, tests=rows)
        case _ if not tail:
            return replace(facts, **{head: None})
        case _:
            group = getattr(facts, head)
            return replace(facts, **{head: replace(group, **{tail: None})})


@each("rule", RULES, ids=lambda rule: rule.code)
def test_every_rule_has_ten_parts(rule: Rule) -> None:
    parts = why_rule(rule, drafted(), DECIDED).parts
    assert len(parts) == 10
    for title, lines in parts.items():
        assert lines, title
        assert all(line.strip() for line in lines), title


@each("rule", RULES, ids=lambda rule: rule.code)
def test_each_input_taken_away_is_named_as_missing(rule: Rule) -> None:
    for path in set(rule.reads) - set(ALWAYS_KNOWN):
        why = why_rule(rule, drafted(path), DECIDED)
        name = next(one.what for one in used(path, without(path, steady())) if one.value is None)
        missing = {one.what for one in why.open if one.kind == "not recorded"}
        assert name in missing, path
        assert f"not recorded: {name}" in why.parts["Missing, old, or outside its range"]


@each("rule", RULES, ids=lambda rule: rule.code)
def test_what_would_change_a_rule_is_found_for_every_rule(rule: Rule) -> None:
    """Every rule reads something that turns it, and the catalogue of turns holds it."""
    assert why_rule(rule, drafted(), DECIDED).would_change != (NOTHING_TURNS,)


def test_a_rule_nothing_turns_says_so() -> None:
    rule = replace(BY_CODE["epilepsy.plate"], reads=("person.sex",))
    assert why_rule(rule, drafted(), DECIDED).would_change == (NOTHING_TURNS,)
    assert list(turned("person.sex", steady())) == []


@pytest.mark.slow
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_everyone_s_plan_has_ten_parts_for_every_line(document: Document) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    made = draft(facts)
    panels = [why_modality(m, made, (), DECIDED) for m in Modality]
    for modality in Modality:
        panels += why_findings(made, modality, DECIDED)
    for why in panels:
        assert len(why.parts) == 10
        assert all(lines and all(lines) for lines in why.parts.values())


@pytest.mark.slow
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_what_would_change_holds_for_everyone(document: Document) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    made = draft(facts)
    before = write(made)
    said = what_would_change(made)
    assert write(made) == before
    assert set(said) == set(Modality)
    assert len({c.words for c in candidates(made)}) == len(list(candidates(made)))


def said_of(modality: Modality, facts: Facts) -> str:
    return "\n".join(what_would_change(draft(facts))[modality])


def test_a_condition_answered_no_would_bring_the_plate_back() -> None:
    facts = steady(conditions={"epilepsy": "yes"})
    told = said_of(Modality.PLATE, facts)
    assert "With “Epilepsy or seizures” answered no: included, not on hold" in told


def test_leave_would_bring_the_plate_back() -> None:
    facts = steady(conditions={"stones": "yes"})
    assert "clearance for all of it, given for gall" in said_of(Modality.PLATE, facts)


def test_leave_of_an_eye_doctor_is_asked_where_only_that_lifts() -> None:
    facts = steady(conditions={"retinal_disease": "yes"})
    assert "by eye doctor: included, not excluded" in said_of(Modality.RESISTANCE, facts)


def test_t_just_above_and_below_the_threshold() -> None:
    facts = steady(scans=[scan("total_hip", t=-2.5, z=-1.0)])
    told = said_of(Modality.RESISTANCE, facts)
    assert "a lowest T-score of \u22122.4" in told
    assert "a lowest T-score of \u22123.0" in told


def test_below_the_last_limit_t_is_only_turned_up() -> None:
    held = draft(steady(scans=[scan("total_hip", t=-4.5, z=-2.0)]))
    offered = [one.words for one in candidates(held) if "lowest T-score" in one.words]
    assert offered == ["a lowest T-score of \u22123.4"]


def test_z_is_not_turned_into_t() -> None:
    young = steady(person={"born": "1990-01-01", "menopause": "before"})
    assert "T-score" not in said_of(Modality.RESISTANCE, young)


def test_one_more_day_and_ten_more_minutes_where_time_is_short() -> None:
    facts = steady(resources={"days": ["tue"], "minutes_per_day": 20})
    told = said_of(Modality.RESISTANCE, facts)
    assert "as one more day: starts 2 times a week" in told
    assert "With 30 minutes on each day: starts once a week" in said_of(Modality.PLATE, facts)


def test_seven_days_of_four_hours_have_no_more() -> None:
    facts = steady(
        resources={
            "days": ["mon", "tue", "wed", "thu", "fri", "sat", "sun"],
            "minutes_per_day": 240,
            "supervised": "yes",
            "watcher": "yes",
        }
    )
    words = " ".join(c.words for c in candidates(draft(facts)))
    assert "more day" not in words
    assert "minutes on each day" not in words
    assert "staff" not in words
    assert "adult" not in words


def test_pressure_falls_image_and_a_review_are_looked_at_where_they_apply() -> None:
    facts = steady(
        person={"height_cm": 158, "tallest_height_cm": 164, "born": "1944-01-01"},
        tests={"resting_bp": [170, 90]},
        falls={"last_12_months": 3},
        fractures=None,
    )
    words = " ".join(c.words for c in candidates(draft(facts)))
    for part in ("130/80", "no fall in 12 months", "image of the spine", "no fractures", "review"):
        assert part in words, part


def test_unanswered_conditions_are_answered_no_together() -> None:
    facts = replace(steady(), conditions=None, symptoms=None)
    told = said_of(Modality.PLATE, facts)
    assert "everything that was not asked answered no: included" in told


def test_a_finding_that_a_clearance_lifted_is_not_waited_for() -> None:
    facts = steady(
        fractures=[fracture("vertebra", "2020-01-01")],
        clearances=[{"for": "vertebral_fracture", **clearance("plate")}],
    )
    assert not any("vertebral" in c.words for c in candidates(draft(facts)))


@pytest.mark.parametrize(
    ("day", "old"), [(dt.date(2025, 3, 2), False), (dt.date(2025, 3, 1), True)]
)
def test_a_scan_is_old_after_twelve_months(day: dt.date, old: bool) -> None:
    facts = steady(scans=[scan("total_hip", day.isoformat(), t=-1.8)])
    why = why_modality(Modality.RESISTANCE, draft(facts), (), DECIDED)
    assert any(one.kind == "older than 12 months" for one in why.open) == old


@pytest.mark.parametrize(("reps", "outside"), [(2, True), (3, False), (20, False), (21, True)])
def test_a_set_outside_the_equation_is_named(reps: int, outside: bool) -> None:
    facts = replace(steady(), lifts=(Lift(lift="leg_press", kg=60, reps=reps, on=steady().as_of),))
    why = why_modality(Modality.RESISTANCE, draft(facts), (), DECIDED)
    assert any("repetitions, the rule has" in one.what for one in why.open) == outside


@pytest.mark.parametrize(
    ("born", "outside"),
    [("1966-03-02", False), ("1966-03-03", True), ("1931-03-03", False), ("1931-03-02", True)],
)
def test_age_outside_the_tables_is_named(born: str, outside: bool) -> None:
    made = draft(steady(person={"born": born}))
    why = why_modality(Modality.BALANCE, made, (), DECIDED)
    assert any("chair-stand" in one.what for one in why.open) == outside


def test_a_t_limit_read_by_z_is_outside_its_range() -> None:
    young = steady(person={"born": "1990-01-01", "menopause": "before"})
    why = why_rule(BY_CODE["low_t.plate"], draft(young), DECIDED)
    assert any(one.kind == "outside its range" for one in why.open)


def test_nothing_open_is_said_too() -> None:
    why = why_rule(BY_CODE["epilepsy.plate"], draft(steady()), DECIDED)
    assert why.parts["Missing, old, or outside its range"] == (NOTHING_OPEN,)
    assert why.recommendation.startswith("It has nothing to say")


def test_a_fact_has_value_unit_and_day() -> None:
    why = why_rule(BY_CODE["pressure.over_180_110.plate"], draft(steady()), DECIDED)
    (pressure,) = why.facts
    assert pressure.value == "126/76 mmHg"
    assert pressure.when(steady().as_of) == "on 2 Mar 2026"
    answered = used("conditions.epilepsy", steady())[0]
    assert answered.when(steady().as_of) == "as on record on 2 Mar 2026"


def test_details_that_a_rule_needs_are_asked_for() -> None:
    facts = steady(
        conditions={"joint_replacement": "yes", "osteoarthritis": "yes"},
        medicines={"glucocorticoid": {"answer": "yes"}},
        spine_image={"answer": "yes"},
        falls={"last_12_months": 1, "injury": None},
        lifts=[{"lift": "leg_press", "kg": 50, "reps": 8}],
        fractures=[fracture("wrist", None)],
        person={"earlier_heights": [{"date": "2020-01-01", "cm": 164}]},
    )
    paths = (
        *("conditions.joint_replacement", "conditions.osteoarthritis", "spine_image", "falls"),
        *("medicines.glucocorticoid", "lifts", "fractures", "person.earlier_heights"),
    )
    lines = [one for path in paths for one in used(path, facts)]
    missing = " ".join(one.what for one in lines if one.value is None)
    for part in ("Date of: joint", "Degree of", "Dose", "Day of the spine", "injury", "wrist"):
        assert part in missing, part
    assert "Day of the set: leg press" in missing
    assert any(one.value == "height then 164 cm" for one in lines)


def test_a_yes_about_a_fall_shows_though_no_fall_is_counted() -> None:
    asked = {one.what for one in used("falls", steady())}
    told = {one.what for one in used("falls", steady(falls={"injury": "yes"}))}
    assert {one for one in told if "injury" in one}
    assert told > asked


def test_no_tests_and_no_day_of_tests_are_named() -> None:
    assert used("tests", replace(steady(), tests=None))[0].value is None
    undated = steady(tests={"date": None})
    assert "Day of: timed Up and Go" in [one.what for one in used("tests", undated)]


def test_lists_asked_and_empty_are_none() -> None:
    facts = replace(
        steady(resources={"plates": [], "equipment": []}),
        clearances=(),
        person=replace(steady().person, earlier_heights=()),
    )
    for path in ("clearances", "resources.plates", "resources.equipment", "person.earlier_heights"):
        assert [one.value for one in used(path, facts)] == ["none"], path
    given = steady(clearances=[{"for": "low_t", **clearance("plate")}])
    assert used("clearances", given)[0].value == "very low T-score, by clinic, until 10 Aug 2026"


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        (steady(), "Include plate, number 3 of 5: week 1: 3 times a week, 25 Hz"),
        (steady(conditions={"epilepsy": "yes"}), "Keep plate out of the weeks until"),
        (steady(resources={"plates": []}), "Leave plate out."),
        (steady(resources={"minutes_per_day": 1}), "Plate may be done, but is in no week."),
    ],
)
def test_the_recommendation_is_one_sentence(facts: Facts, said: str) -> None:
    why = why_modality(Modality.PLATE, draft(facts), (), DECIDED)
    assert why.recommendation.startswith(said)
    assert why.would_change == (NOTHING_TURNS,)


def test_leave_and_answers_are_offered_where_they_help() -> None:
    waiting = draft(steady(conditions={"epilepsy": "yes", "stones": None}))
    why = why_modality(Modality.PLATE, waiting, (), DECIDED)
    assert {"Accept", "Change", "Leave out", "Record a clearance"} <= {c.verb for c in why.choices}
    unasked = draft(replace(steady(), aims=None))
    assert "Answer" in {c.verb for c in why_modality(Modality.PLATE, unasked, (), DECIDED).choices}
    rule = why_rule(BY_CODE["epilepsy.plate"], waiting, DECIDED)
    assert "Record a clearance" in {c.verb for c in rule.choices}
    assert rule.strength.startswith("A bar until")
    eye = why_rule(BY_CODE["retinal_disease.plate"], waiting, DECIDED)
    assert "ophthalmologist" in eye.strength


def test_the_clinic_s_own_limit_stands_among_the_thresholds() -> None:
    own = Setting(name="resistance.percent_1rm.A", value=60, by="Marta Ferro", on=steady().as_of)
    why = why_modality(Modality.RESISTANCE, draft(steady(), limits=clinic([own])), (), DECIDED)
    assert "Load of group A: at most 60 % of 1RM." in why.rule
    assert not any("group C" in line for line in why.rule)


def test_fractures_on_record_are_turned_older_and_away() -> None:
    facts = steady(fractures=[fracture("rib", "2026-01-20", healed="no")])
    why = why_rule(BY_CODE["fracture.mending.plate"], draft(facts), DECIDED)
    said = " ".join(why.would_change)
    assert "With no fracture at all on record: it has nothing to say." in said
    assert "With these fractures older and healed on record: it has nothing to say." in said


def test_how_she_stands_and_walks_is_turned() -> None:
    """Rulebook rows 3a and 3b: a chair excludes plate and impact; low function holds impact."""
    seated = steady(person={"mobility": "wheelchair"})
    told = said_of(Modality.IMPACT, seated)
    assert "With walking without help on record: included, not excluded" in told
    slow = steady(tests={"up_and_go_s": 16, "unable": ["walk_4m_s"], "walk_4m_s": None})
    assert draft(slow).screen.situation.function_is_low
    told = said_of(Modality.IMPACT, slow)
    assert "With function tests that are all normal:" in told
    words = {one.words for one in candidates(draft(steady()))}
    assert not {"walking without help on record", "function tests that are all normal"} & words


def test_a_clearance_that_says_no_limit_is_needed_is_looked_at() -> None:
    given = {
        "modalities": ["plate", "resistance"],
        "by": "surgeon",
        "on": "2026-02-01",
        "until": "2026-10-01",
    }
    facts = steady(conditions={"stones": {"answer": "yes", "on": "2024-01-01", "cleared": given}})
    words = {one.words for one in candidates(draft(facts))}
    assert "every clearance saying that the dose needs no limit" in words
    free = {**given, "limits": "none"}
    facts = steady(conditions={"stones": {"answer": "yes", "on": "2024-01-01", "cleared": free}})
    assert "no limit" not in " ".join(one.words for one in candidates(draft(facts)))
    other = steady(clearances=[{"for": "fracture", **given}])
    words = {one.words for one in candidates(draft(other))}
    assert "every clearance saying that the dose needs no limit" in words


def test_a_clearance_is_told_with_its_end_its_limits_and_who_gave_it() -> None:
    given = {
        "for": "fracture",
        "modalities": ["plate"],
        "by": "surgeon",
        "on": "2026-02-01",
        "until": "2026-10-01",
    }
    (plain,) = used("clearances", steady(clearances=[given]))
    assert (plain.value or "").endswith("by surgeon, until 1 Oct 2026")
    more = {**given, "limits": "none", "eye_specialist": "yes"}
    (full,) = used("clearances", steady(clearances=[more]))
    assert (full.value or "").endswith(
        "until 1 Oct 2026, no limit is needed, given by an eye doctor"
    )
