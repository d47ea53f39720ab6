"""The clinic's own limits: what may be set, and that no draft passes what is set."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patients.facts.declared import Facts
from patients.facts.declared_plate import Plate
from patients.facts.document import read
from programs.dose import impact, plate_limits, resistance
from programs.dose.clinic_limits import CLINIC_LIMITS, clinic
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft.document import write
from programs.draft.draft import draft
from programs.draft.resume import Resume
from safety.findings import Modality
from safety.screen import Status
from tests.documents import Document, documents
from tests.people import steady
from tests.programs import sample_plates as plates
from tests.programs.over import over
from tests.programs.own_limits import setting


def with_limits(**values: float) -> Clinic:
    return clinic(setting(name.replace("__", "."), value) for name, value in values.items())


TIGHTENED = st.fixed_dictionaries(
    {},
    optional={
        name: st.floats(*sorted((limit.tightest, limit.value))).map(
            lambda value, whole=limit.unit: round(value, 1) if "g" in whole else round(value)
        )
        for name, limit in CLINIC_LIMITS.items()
    },
)


@pytest.mark.slow
@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
@given(document=documents, values=TIGHTENED, done=st.integers(0, 40))
def test_a_tightened_limit_is_never_passed(
    document: Document, values: dict[str, float], done: int
) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    here = clinic(setting(name, value) for name, value in values.items())
    made = draft(facts, Resume(done_weeks=dict.fromkeys(Modality, done)), limits=here)
    for week in made.weeks:
        assert over(week, here, made.screen) == ()


@pytest.mark.slow
@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_with_nothing_set_nothing_changes_and_nothing_is_passed(document: Document) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    made = draft(facts)
    assert write(made) == write(draft(facts, limits=AS_PUBLISHED))
    again = clinic(setting(name, limit.value) for name, limit in CLINIC_LIMITS.items())
    assert write(made) == write(draft(facts, limits=again))
    assert not any(over(w, AS_PUBLISHED, made.screen) for w in made.weeks)


@pytest.mark.parametrize("name", sorted(CLINIC_LIMITS))
def test_every_limit_that_bites_is_bitten_by_the_tightest(name: str) -> None:
    """Each limit has a person whose unchanged draft passes its tightest value."""
    facts = PEOPLE.get(name, steady())
    tightest = clinic([setting(name, CLINIC_LIMITS[name].tightest)])
    usual, made = draft(facts), draft(facts, limits=tightest)
    assert any(over(week, tightest, usual.screen) for week in usual.weeks)
    assert not any(over(week, tightest, made.screen) for week in made.weeks)
    assert made.weeks != usual.weeks


def _with(plate: Plate = plates.VERTICAL, **changes: object) -> Facts:
    facts = steady()
    assert facts.resources is not None
    helped = replace(facts.resources, plates=(plate,), **changes)  # type: ignore[arg-type]
    return replace(facts, resources=helped)


def _aged(facts: Facts, born: dt.date) -> Facts:
    return replace(facts, person=replace(facts.person, born=born))


OLD = dt.date(1945, 1, 1)
FRAGILE_SPINE = steady(
    fractures=[{"site": "vertebra", "date": "2018-01-01", "low_trauma": "yes", "healed": "yes"}]
)
PEOPLE = {
    "resistance.percent_1rm.B": _aged(_with(), OLD),
    "resistance.percent_1rm.B.supervised": _aged(_with(supervised=True), OLD),
    "resistance.percent_1rm.C": FRAGILE_SPINE,
    "impact.peak_bw.B": _aged(_with(), OLD),
    "impact.peak_bw.A.unsteady": steady(tests={"up_and_go_s": 12.5}),
    "impact.minutes": FRAGILE_SPINE,
}


@pytest.mark.parametrize(
    ("name", "value", "fine"),
    [
        ("plate.top_g", 5.1, True),
        ("plate.top_g", 5.2, False),
        ("plate.top_g", 0.2, False),
        ("resistance.percent_1rm.A", 80, True),
        ("resistance.percent_1rm.A", 81, False),
        ("resistance.reps_in_reserve", 2, True),
        ("resistance.reps_in_reserve", 1, False),
        ("resistance.reps_in_reserve", 6, True),
        ("impact.impacts", 100, True),
        ("impact.impacts", 101, False),
    ],
)
def test_what_a_limit_may_be_set_to(name: str, value: float, fine: bool) -> None:
    """5.1 g is the most that the hip trial reports, from memory; the rest are project choices."""
    assert (CLINIC_LIMITS[name].problem(value) == "") == fine
    if not fine:
        with pytest.raises(ValueError, match=name):
            clinic([setting(name, value)])


def test_a_limit_that_may_not_be_loosened_says_so() -> None:
    assert "not loosened" in CLINIC_LIMITS["resistance.percent_1rm.A"].problem(90)
    assert "not loosened" not in CLINIC_LIMITS["plate.top_g"].problem(9)


@pytest.mark.parametrize(
    ("name", "value", "looser"),
    [
        ("plate.top_g", 4.1, True),
        ("plate.top_g", 4.0, False),
        ("resistance.reps_in_reserve", 1, True),
        ("resistance.reps_in_reserve", 3, False),
    ],
)
def test_looser_is_what_allows_more(name: str, value: float, looser: bool) -> None:
    assert CLINIC_LIMITS[name].is_looser(value) == looser


def test_the_newest_setting_counts() -> None:
    here = clinic([setting("plate.top_g", 2), setting("plate.top_g", 3)])
    assert here.value(plate_limits.TOP_G) == 3


def test_a_loosened_ceiling_reaches_the_draft_and_stands_on_the_plan_by_name() -> None:
    here = clinic([setting("plate.top_g", 5.1, reason="Trial dose for this clinic.")])
    facts = _with(replace(plates.VERTICAL, displacement_mm=plates.shown(1.0, 1.5)))
    usual, loosened = draft(facts), draft(facts, limits=here)
    assert max(w.plate.peak_g for w in usual.weeks if w.plate) <= 4.0
    assert max(w.plate.peak_g for w in loosened.weeks if w.plate) > 4.0
    said = [why for why in loosened.standings[Modality.PLATE].why if "own limit" in why]
    assert said == [
        "The clinic's own limit. Peak acceleration of any plate: at most 5.1 g peak (the rulebook "
        "has 4), loosened by Marta Ferro on 1 March 2026: Trial dose for this clinic."
    ]
    assert not any("own limit" in why for why in usual.standings[Modality.PLATE].why)


def test_a_tightened_limit_stands_on_the_plans_of_its_own_group_only() -> None:
    here = with_limits(resistance__percent_1rm__A=60, resistance__percent_1rm__C=60)
    why = " ".join(draft(steady(), limits=here).standings[Modality.RESISTANCE].why)
    assert "Load of group A: at most 60 % of 1RM" in why
    assert "tightened by Marta Ferro" in why
    assert "group C" not in why


def test_the_supervised_limit_of_group_b_is_its_own() -> None:
    here = with_limits(resistance__percent_1rm__B__supervised=60)
    alone, watched = (
        draft(PEOPLE[f"resistance.percent_1rm.B{end}"], limits=here) for end in ("", ".supervised")
    )
    # 75 % is 14 times, and 14 times is 74 % (row 19a).
    assert max(w.resistance.percent_1rm for w in alone.weeks if w.resistance) == 74
    assert max(w.resistance.percent_1rm for w in watched.weeks if w.resistance) == 60
    assert "supervised" in " ".join(watched.standings[Modality.RESISTANCE].why)
    assert "own limit" not in " ".join(alone.standings[Modality.RESISTANCE].why)


def test_impact_beside_no_lifting_is_walking_whatever_the_clinic_has_set() -> None:
    """Rows 7 to 10: resistance not included, so impact is no higher than brisk walking."""
    facts = steady(conditions={"implanted_stimulator": "yes"})
    for here in (AS_PUBLISHED, with_limits(impact__peak_bw__A=1.5)):
        made = draft(facts, limits=here)
        assert made.standings[Modality.IMPACT].status is Status.INCLUDED
        assert {week.impact.peak_bw for week in made.weeks if week.impact} == {1.5}


@pytest.mark.parametrize("name", ["impact.peak_bw.A", "impact.peak_bw.A.unsteady"])
def test_an_unsteady_person_keeps_within_both_limits_of_group_a(name: str) -> None:
    """Row 20: group A 4 BW, with a fall risk that is not low 3 BW."""
    here = clinic([setting(name, 2.5)])
    made = draft(PEOPLE["impact.peak_bw.A.unsteady"], limits=here)
    assert max(week.impact.peak_bw for week in made.weeks if week.impact) == 2.5
    usual = draft(PEOPLE["impact.peak_bw.A.unsteady"])
    assert max(week.impact.peak_bw for week in usual.weeks if week.impact) == 2.8


@pytest.mark.parametrize(
    ("name", "value", "held"),
    [
        ("resistance.percent_1rm.A", 45, 55),
        ("resistance.percent_1rm.A", 60, 60),
        ("resistance.percent_1rm.B", 80, 75),
        ("resistance.reps_in_reserve", 1, 2),
    ],
)
def test_a_value_set_under_another_rulebook_is_read_as_the_nearest(
    name: str, value: float, held: float
) -> None:
    """Under 55 %, 30 times, no weight has a percent (row 19a)."""
    assert CLINIC_LIMITS[name].nearest(value) == held


def test_a_limit_of_the_tables_is_given_with_the_value_in_force() -> None:
    table = impact.LIMITS["impacts"]
    assert AS_PUBLISHED.in_force(table) is table
    tighter = with_limits(impact__impacts=30).in_force(table)
    assert tighter.value == 30
    assert "30" in tighter.text
    assert with_limits(impact__impacts=50).in_force(table) is table
    same = with_limits(impact__impacts=30).in_force(resistance.LIMITS["sets"])
    assert same.value == 3


def test_more_impacts_are_taken_up_where_the_clinic_lets_them() -> None:
    here = with_limits(impact__impacts=60, impact__sessions=5)
    weeks = [w.impact for w in draft(steady(), limits=here).weeks if w.impact]
    assert max(week.impacts or 0 for week in weeks) == 60
    assert max(week.sessions for week in weeks) == 5
