"""Drafts of a later half year and of maintenance: their weeks, exercises, reviews and words."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from programs.dose.limit import is_steady_later
from programs.draft import document, person
from programs.draft.draft import Draft, draft
from programs.draft.fit_into_days import Fitted
from programs.draft.later_half_years import NEW_SET
from programs.draft.resume import Resume
from programs.draft.rises import dose_of
from programs.exercises.catalogue import of
from programs.week.week import exercise_codes
from safety.findings import Modality
from safety.screen import screen
from tests.people import AS_OF, steady

M = Modality
HERNIA = {
    "answer": "yes",
    "cleared": [
        {
            "modalities": ["plate", "resistance"],
            "by": "the surgeon",
            "on": AS_OF,
            "until": "2026-05-03",
        }
    ],
}
FIRST_LIFTS = frozenset(
    {"leg_press", "dumbbell_hip_hinge", "dumbbell_row", "dumbbell_overhead_press"}
)
LATER = Resume(half_year=2, changed=FIRST_LIFTS)


def doses(week: Fitted) -> list[Any]:
    steps = [step for step in (week.plate, week.lifting, week.impact) if step is not None]
    balance = week.balance and (week.balance.minutes, week.balance.rung)
    return [*map(dose_of, steps), balance, week.posture and replace(week.posture, place=0)]


def steady_weeks(made: Draft) -> list[int]:
    """Return the weeks whose doses are those of the week before."""
    pairs = zip(made.fitted, made.fitted[1:], strict=False)
    return [n for n, (was, now) in enumerate(pairs, 2) if doses(was) == doses(now)]


def about(made: Draft, modality: M) -> str:
    return " ".join(made.standings[modality].why)


def lifts_of(made: Draft) -> tuple[str, ...]:
    return exercise_codes(made.weeks[0].resistance)


# --- Weeks ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("week", "expected"), [(1, False), (8, False), (9, True), (12, True), (13, False), (21, True)]
)
def test_eight_weeks_rise_and_four_hold(week: int, expected: bool) -> None:
    assert is_steady_later(week) is expected
    assert LATER.is_steady(week) is expected


def test_nothing_rises_in_weeks_9_to_12_and_it_does_in_week_4() -> None:
    later, first = draft(steady(), LATER), draft(steady())
    assert {9, 10, 11, 12, 21, 22, 23, 24} <= set(steady_weeks(later))
    assert 8 not in steady_weeks(later)
    assert 4 in steady_weeks(first)
    assert 4 not in steady_weeks(later)


def test_a_draft_within_the_half_year_keeps_its_rhythm() -> None:
    within = replace(LATER, half_weeks=6)
    assert [n for n in range(1, 27) if within.is_steady(n)] == [3, 4, 5, 6, 15, 16, 17, 18]
    assert {3, 4, 5, 6} <= set(steady_weeks(draft(steady(), within)))


def test_maintenance_holds_one_dose_to_the_end() -> None:
    places = dict.fromkeys(M, 3)
    made = draft(steady(), Resume(maintains=True, done_weeks=places))
    assert steady_weeks(made) == list(range(2, 27))
    assert {replace(week, week=1) for week in made.weeks[1:]} == {
        replace(made.weeks[1], week=1),
    }
    rising = draft(steady(), Resume(done_weeks=places))
    assert doses(made.fitted[0]) == doses(rising.fitted[0])


def test_what_ends_in_maintenance_gives_nothing_its_minutes() -> None:
    """A clearance that ends leaves minutes free; nothing rises into them."""
    facts = steady(
        conditions={"hernia": HERNIA},
        resources={"minutes_per_day": 25, "days": ["mon", "thu"]},
    )
    made = draft(facts, Resume(maintains=True, done_weeks=dict.fromkeys(M, 9)))
    held = [week.resistance is not None for week in made.weeks]
    assert held[0]
    assert not held[-1]
    minutes = [week.balance.minutes if week.balance else 0 for week in made.weeks]
    assert max(minutes) == minutes[0]


# --- Exercises ------------------------------------------------------------------------------


def test_a_lift_gives_place_to_another_as_good() -> None:
    first, later = draft(steady()), draft(steady(), LATER)
    assert set(lifts_of(first)) == FIRST_LIFTS
    assert set(lifts_of(later)) - FIRST_LIFTS == {"dumbbell_chair_stand"}
    words = about(later, M.RESISTANCE)
    assert "Changed, and begun one step back: Chair stand with weights." in words
    assert "Not changed: Hip hinge with weights" in words


def test_nothing_barred_or_out_of_reach_comes_in() -> None:
    """Spared spine, a faller, a frame: what may not be done is no change."""
    for changes in (
        {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -3.6}]},
        {"person": {"mobility": "frame"}},
        {"resources": {"equipment": []}},
        {"person": {"mobility": "wheelchair"}},
    ):
        facts = steady(**changes)
        before = frozenset(lifts_of(draft(facts)))
        made = draft(facts, Resume(half_year=2, changed=before))
        screened, owned = screen(facts), person.equipment(screen(facts))
        for one in person.lifts(screened, 4, before):
            assert not one.bars & person.barred(screened), one.code
            assert one.equipment <= owned | {"chair"}, one.code
        assert len(lifts_of(made)) == len(before), changes


def test_impact_changes_to_no_more_force() -> None:
    places = dict.fromkeys(M, 24)
    first = draft(steady(), Resume(done_weeks=places)).weeks[0].impact
    changed = frozenset({"stamp"})
    made = draft(steady(), Resume(half_year=2, changed=changed, done_weeks=places))
    later = made.weeks[0].impact
    assert first is not None
    assert later is not None
    assert (first.exercises, later.exercises) == (("stamp",), ("forward_step",))
    assert later.peak_bw < first.peak_bw
    assert "takes the place of Stamp" in about(made, M.IMPACT)


def test_impact_stays_where_no_other_fits_and_says_why() -> None:
    walks = {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -3.6}]}
    made = draft(steady(**walks), Resume(half_year=2, changed=frozenset({"brisk_walk"})))
    assert made.weeks[0].impact is not None
    assert made.weeks[0].impact.exercises == ("brisk_walk",)
    assert "Not changed: Brisk walking" in about(made, M.IMPACT)


def test_what_starts_again_is_not_changed() -> None:
    made = draft(steady(), Resume(half_year=2))
    assert set(lifts_of(made)) == FIRST_LIFTS
    assert "lifting starts again" in about(made, M.RESISTANCE)
    assert "impact starts again" in about(made, M.IMPACT)


def test_nothing_is_said_where_nothing_is_drafted() -> None:
    made = draft(steady(symptoms={"chest_pain": "yes"}), LATER)
    assert made.weeks == ()
    assert "Half year" not in about(made, M.RESISTANCE)


# --- A new set to fatigue -------------------------------------------------------------------


def asked(made: Draft) -> list[str]:
    return [one.text for one in made.findings if one.rule == NEW_SET]


def set_on(day: dt.date) -> Any:
    return steady(lifts=[{"lift": "leg_press", "kg": 60, "reps": 8, "on": day.isoformat()}])


TODAY = dt.date.fromisoformat(AS_OF)


@pytest.mark.parametrize(("weeks", "wanted"), [(0, 0), (4, 0), (5, 1), (30, 1)])
def test_a_new_set_is_asked_for(weeks: int, wanted: int) -> None:
    facts = set_on(TODAY - dt.timedelta(weeks=weeks))
    assert len(asked(draft(facts, LATER))) == wanted
    assert asked(draft(facts)) == []


def test_within_the_half_year_its_set_still_counts() -> None:
    facts = set_on(TODAY - dt.timedelta(weeks=10))
    assert asked(draft(facts, replace(LATER, half_weeks=6))) == []
    assert asked(draft(facts, replace(LATER, half_weeks=5))) != []


def test_it_says_what_the_loads_are_made_from() -> None:
    old = set_on(TODAY - dt.timedelta(weeks=30))
    lifted = Resume(half_year=2, one_rm_kg={"leg_press": 50})
    assert "go on from what was lifted" in asked(draft(old, lifted))[0]
    assert "how often it could be lifted" in asked(draft(old, LATER))[0]
    fragile = {"date": "2026-01-20", "site": "total_hip", "t": -3.6}
    at_clinic = draft(steady(scans=[fragile], lifts=[]), LATER)
    assert "only at the clinic" in asked(at_clinic)[0]
    assert asked(draft(steady(resources={"equipment": []}), LATER)) == []
    assert asked(draft(old, Resume(maintains=True, half_year=2))) == []


@pytest.mark.parametrize(
    ("resume", "counts"), [(LATER, True), (Resume(maintains=True), True), (Resume(), False)]
)
def test_an_old_set_loads_on_from_what_was_lifted(resume: Resume, counts: bool) -> None:
    """Past a year a set sets no load by itself (row 19d); what she lifts since then does."""
    old = set_on(TODAY - dt.timedelta(days=400))
    made = draft(old, replace(resume, changed=frozenset(), one_rm_kg={"leg_press": 50}))
    assert made.weeks[0].resistance is not None
    loads = {one.exercise: one.load_kg for one in made.weeks[0].resistance.exercises}
    assert (loads["leg_press"] is not None) is counts


def test_a_fracture_since_the_set_leaves_no_load() -> None:
    broken = steady(
        lifts=[{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2025-06-01"}],
        fractures=[{"site": "rib", "date": "2025-08-01", "low_trauma": "no", "healed": "yes"}],
    )
    made = draft(broken, Resume(half_year=2, one_rm_kg={"leg_press": 50}))
    assert made.weeks[0].resistance is not None
    assert all(one.load_kg is None for one in made.weeks[0].resistance.exercises)


# --- Reviews and document -------------------------------------------------------------------


def test_its_reviews_and_what_the_document_says_more() -> None:
    first, later = draft(steady()), draft(steady(), LATER)
    held = draft(steady(), Resume(maintains=True))
    assert [week for week, _ in first.reviews] == [4, 12, 26, 52]
    assert [week for week, _ in later.reviews] == [12, 26]
    assert [week for week, _ in held.reviews] == [26]
    assert not {"half_year", "maintenance"} & document.write(first).keys()
    assert document.write(later)["half_year"] == 2
    assert document.write(held)["maintenance"] is True
    assert "one dose that holds" in about(held, M.PLATE)
    assert any("Dalsky" in one for one in held.standings[M.PLATE].sources)


def test_where_nothing_else_fits_every_lift_stays_and_it_says_so() -> None:
    every = frozenset(one.code for one in of(M.RESISTANCE))
    made = draft(steady(), Resume(half_year=2, changed=every, done_weeks={M.RESISTANCE: 20}))
    told = about(made, M.RESISTANCE)
    assert "Not changed: " in told
    assert "Changed, and begun" not in told
