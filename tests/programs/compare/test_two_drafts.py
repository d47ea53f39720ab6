"""Two drafts side by side, and the facts with one thing changed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patients.facts.declared import Condition, Facts, Falls, Fracture
from patients.facts.document import read
from programs.compare import changed_facts as changed
from programs.compare.two_drafts import compare
from programs.draft.draft import draft
from programs.week.one_line import NOTHING, short_dose
from programs.week.week import part_of
from safety.findings import Modality
from tests.documents import Document, documents
from tests.people import scan, steady
from tests.programs import sample_plates as plates


@pytest.mark.slow
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_a_draft_beside_itself_does_not_differ(document: Document) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    made = draft(facts)
    found = compare(made, made)
    assert not found.differs
    assert found.changed == ()
    assert all(row.words == () for row in found.rows)
    for week in made.weeks:
        for modality in Modality:
            assert short_dose(part_of(week, modality))


def test_no_plate_differs_in_the_plate_and_says_how() -> None:
    found = compare(draft(steady()), draft(changed.with_plate(steady(), None)))
    plate = found.rows[0]
    assert found.differs
    assert plate.modality is Modality.PLATE
    assert plate.differs
    assert plate.after.first == NOTHING
    assert "excluded, not included" in plate.words


def test_less_time_names_what_is_left_out() -> None:
    short = changed.with_resources(steady(), days=("tue", "fri"), minutes_per_day=20)
    rows = {row.modality: row for row in compare(draft(steady()), draft(short)).rows}
    assert "No room" in rows[Modality.BALANCE].after.left_out
    assert any("No room" in word for word in rows[Modality.BALANCE].words)


def test_a_blocked_draft_has_no_minutes_and_a_group_may_change() -> None:
    red = steady(symptoms={"chest_pain": "yes"})
    assert compare(draft(steady()), draft(red)).minutes[1] == (0.0, 0.0)
    assert compare(draft(steady()), draft(red)).issuable == (True, False)
    low = changed.with_lowest_t(steady(), -3.0)
    assert compare(draft(steady()), draft(low)).group == ("A", "C")


@pytest.mark.parametrize(
    ("days", "day"),
    [(("mon",), "thu"), (("tue", "fri"), "sun"), (("mon", "wed", "fri"), "tue"), ((), "mon")],
)
def test_the_further_day_lies_furthest(days: tuple[str, ...], day: str) -> None:
    found = changed.one_more_day(changed.with_resources(steady(), days=days))
    assert found is not None
    assert found[0] == day
    assert found[1].resources is not None
    assert set(found[1].resources.days or ()) == {*days, day}


def test_assumed_days_and_minutes_are_what_more_is_added_to() -> None:
    unknown = replace(steady(), resources=None)
    day, minutes = changed.one_more_day(unknown), changed.ten_more_minutes(unknown)
    assert day is not None
    assert day[0] == "tue"
    assert minutes is not None
    assert minutes[0] == 40


@pytest.mark.parametrize(("minutes", "more"), [(230, 240), (231, None), (240, None)])
def test_ten_more_minutes_stop_at_four_hours(minutes: int, more: int | None) -> None:
    found = changed.ten_more_minutes(changed.with_resources(steady(), minutes_per_day=minutes))
    assert (found and found[0]) == more


def test_all_seven_days_have_no_further_one() -> None:
    days = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    assert changed.one_more_day(changed.with_resources(steady(), days=days)) is None


@pytest.mark.parametrize(
    ("score", "beside"),
    [
        (-3.6, (-3.4, None)),
        (-3.5, (-3.4, None)),
        (-3.4, (-2.9, -3.5)),
        (-2.5, (-2.4, -3.0)),
        (-2.4, (-1.0, -2.5)),
        (-1.1, (-1.0, -2.5)),
        (-1.0, (None, -1.1)),
    ],
)
def test_scores_beside_the_limits(score: float, beside: tuple[float | None, float | None]) -> None:
    assert changed.t_beside(score) == beside


@given(t=st.integers(-60, 20).map(lambda tenths: tenths / 10))
def test_the_lowest_t_becomes_the_one_asked_for(t: float) -> None:
    for facts in (steady(), steady(scans=None), steady(scans=[scan("total_hip", z=-1.0)])):
        scores = [one.t for one in changed.with_lowest_t(facts, t).scans or () if one.t is not None]
        assert min(scores) == t


def test_falls_pressure_fracture_and_leave_change_only_themselves() -> None:
    facts = steady()
    assert changed.with_falls(replace(facts, falls=None), 2).falls is not None
    hurt = replace(facts, falls=Falls(last_12_months=1, injury=True, unsteady=True))
    assert changed.with_falls(hurt, 2).falls == Falls(last_12_months=2, injury=True, unsteady=True)
    assert changed.with_falls(hurt, 0).falls == Falls(last_12_months=0, unsteady=True)
    assert changed.with_pressure(replace(facts, tests=None), (170, 90)).tests is not None
    more = changed.with_fracture(facts, Fracture(site="wrist"))
    assert len(more.fractures or ()) == 1
    given_ = changed.with_clearance(facts, "low_t", "clinic").clearances or ()
    assert given_[0].covers("plate", facts.as_of)
    asked = changed.with_condition(replace(facts, conditions=None), "epilepsy", Condition())
    assert list(asked.conditions or {}) == ["epilepsy"]


def test_only_unanswered_questions_are_answered_no() -> None:
    facts = steady(conditions={"epilepsy": "yes", "stones": "unknown"})
    after = changed.with_conditions_no(facts)
    assert after.condition("epilepsy").answer is True
    assert after.condition("stones").answer is False


def test_doses_are_told_with_their_units() -> None:
    weeks = draft(steady()).weeks
    assert short_dose(weeks[0].plate) == (
        "3 times a week, 25 Hz, 1 mm peak to peak, 1.26 g, 4 bouts of 30 s"
    )
    assert short_dose(weeks[0].resistance) == (
        "2 times a week, 4 exercises, 1 × 15 of a weight that could be lifted 20 times, "
        "5 in reserve (61 to 67 %)"
    )
    assert "10 impacts of" in short_dose(weeks[0].impact)
    assert short_dose(None) == NOTHING
    gentle = draft(changed.with_plate(steady(), plates.GENTLE)).weeks[0].plate
    assert short_dose(gentle) == "5 times a week, 30 Hz, 0.3 g, 10 min"
    once = draft(changed.with_resources(steady(), days=("mon",), minutes_per_day=200)).weeks[0]
    assert short_dose(once.resistance).startswith("once a week")
    spine = replace(steady(), fractures=(Fracture(site="vertebra", healed=True),))
    spine = replace(
        spine, fractures=(replace(spine.fractures[0], date=spine.as_of.replace(year=2020)),)
    )  # type: ignore[index]
    assert "min of" in short_dose(draft(spine).weeks[0].impact)


def test_a_modality_in_no_week_any_more_says_so() -> None:
    red = steady(symptoms={"chest_pain": "yes"})
    rows = {row.modality: row for row in compare(draft(steady()), draft(red)).rows}
    assert rows[Modality.BALANCE].words == ("in no week",)
