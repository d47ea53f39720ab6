"""What was done: weeks, the place reached, steps back along a ramp, the dose last done (row 26)."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from programs.draft.resume import Resume
from programs.review.ladder import Ladder, Ladders
from programs.review.ledger import InForce, Ledger
from programs.week.week import ImpactWeek, PlateWeek, ResistanceWeek
from safety.findings import Modality
from tests.people import steady
from tests.programs.followups import after, done, in_force
from tests.programs.logs import START, session

M = Modality
STEADY = in_force()
#: A woman whose clearance carries lifting for five weeks only.
CLEARED = {
    "conditions": {
        "hernia": {
            "answer": "yes",
            "cleared": {
                "modalities": ["plate", "resistance"],
                "by": "surgeon",
                "on": "2026-02-01",
                "until": "2026-04-05",
                "limits": "none",
            },
        }
    }
}


def reached(held: InForce, log: list[object], weeks: int, m: M = M.RESISTANCE) -> int:
    return Ledger(held, log, after(weeks)).reached(m)  # type: ignore[arg-type]


def test_reached_is_the_place_of_the_last_week_done() -> None:
    """A week whose rise waited, and a steady one, keeps its place (rows 22a, 25)."""
    log = done(STEADY, range(1, 5))
    assert {m: reached(STEADY, log, 4, m) for m in Modality} == {
        M.PLATE: 2,
        M.RESISTANCE: 4,
        M.IMPACT: 3,
        M.BALANCE: 4,
        M.POSTURE: 3,
    }


@pytest.mark.parametrize(
    ("kinds", "expected"), [(("all",), 1), (("part",), 0), (("part", "part"), 1)]
)
def test_a_week_counts_from_half_of_its_sessions_on(kinds: tuple[str, ...], expected: int) -> None:
    """Of two sessions one is half; part is half of a session."""
    days = STEADY.planned.days(1, M.RESISTANCE)
    log = [session(on, modality=M.RESISTANCE, done=k) for on, k in zip(days, kinds, strict=False)]
    assert reached(STEADY, log, 1) == expected


def test_never_done_is_0_and_places_count_on_over_versions() -> None:
    assert reached(STEADY, [], 7) == 0
    later = in_force(resume=Resume(done_weeks={M.RESISTANCE: 6}))
    assert reached(later, [], 7) == 6
    assert reached(later, done(later, (1,)), 7) == 7


def test_the_end_of_a_ramp_keeps_its_place() -> None:
    """3 x 8 of N 11 comes at place 11 of group A and stays (row 19b)."""
    assert reached(STEADY, done(STEADY, range(1, 27)), 26) == 11
    assert reached(STEADY, done(STEADY, range(1, 29)), 28) == 11
    sore = in_force(steady(conditions={"chronic_back_pain": "yes"}))
    assert reached(sore, done(sore, range(1, 9)), 8, M.PLATE) == 1


def test_what_was_done_on_another_plate_is_not_done_on_hers() -> None:
    other = done(STEADY, range(1, 5), M.PLATE, plate="at the club")
    assert reached(STEADY, other, 4, M.PLATE) == 0
    assert reached(STEADY, done(STEADY, range(1, 5), M.PLATE, plate=""), 4, M.PLATE) == 2


def test_plates_on_which_a_watched_session_was_logged() -> None:
    log = [
        session(START, modality=M.PLATE, plate="one", watched=True),
        session(START, modality=M.PLATE, plate="two", watched=None),
        session(START, modality=M.PLATE, plate="three", watched=True, done="none"),
        session(START, modality=M.PLATE, watched=True),
        session(after(2), modality=M.PLATE, plate="four", watched=True),
    ]
    # Where no plate is named it was the one that is signed for that week.
    assert Ledger(STEADY, log, after(1)).watched == {"one", "at home"}


def test_before_the_program_no_plate_is_guessed_and_what_was_told_stays() -> None:
    log = [session(START - dt.timedelta(days=7), modality=M.PLATE, watched=True)]
    assert Ledger(STEADY, log, after(1)).watched == set()
    told = replace(STEADY, resume=Resume(watched=frozenset({"one"})))
    assert Ledger(told, log, after(1)).watched == {"one"}


def test_the_dose_last_done_is_that_of_the_signed_week() -> None:
    ledger = Ledger(STEADY, done(STEADY, (1, 2)), after(7))
    dose = ledger.last_dose(M.RESISTANCE)
    assert isinstance(dose, ResistanceWeek)
    assert (dose.sets, dose.reps) == (2, 15)
    assert Ledger(STEADY, [], after(7)).last_dose(M.RESISTANCE) is None


def test_of_an_earlier_version_it_is_the_dose_of_the_place() -> None:
    later = in_force(resume=Resume(done_weeks={M.PLATE: 6}, stopped=frozenset({M.PLATE})))
    dose = Ledger(later, [], after(1)).last_dose(M.PLATE)
    assert isinstance(dose, PlateWeek)
    assert (dose.bouts, dose.bout_s) == (4, 60)


def test_what_is_barred_has_no_dose_of_a_place() -> None:
    later = in_force(steady(tests={"resting_bp": [190, 112]}), Resume(done_weeks={M.PLATE: 6}))
    assert Ledger(later, [], after(1)).last_dose(M.PLATE) is None
    flagged = in_force(steady(symptoms={"fever": "yes"}), Resume(done_weeks={M.PLATE: 6}))
    assert flagged.part_at(M.PLATE, 6) is None


def test_a_week_that_the_draft_anew_has_not_keeps_to_what_was_behind_her() -> None:
    """Signed by an older rulebook: today's gives no place for it."""
    barred = in_force(
        steady(tests={"resting_bp": [190, 112]}), Resume(done_weeks={M.RESISTANCE: 2})
    )
    assert replace(barred, planned=STEADY.planned).place(M.RESISTANCE, 4) == 2
    flagged = in_force(steady(symptoms={"fever": "yes"}))
    assert replace(flagged, planned=STEADY.planned).place(M.PLATE, 4) == 1


def test_without_lifting_impact_is_on_the_ladder_of_walking() -> None:
    held = in_force(steady(**CLEARED))
    ledger = Ledger(held, done(held, range(1, 9)), after(8))
    assert ledger.last_dose(M.RESISTANCE) == held.planned.dose(5, M.RESISTANCE)
    walked = ledger.last_dose(M.IMPACT)
    assert isinstance(walked, ImpactWeek)
    assert walked.impacts is None
    assert ledger.ladder(M.IMPACT) == held.ladders.walk


# --- Ladders ----------------------------------------------------------------------------------

LADDERS = Ladders.by(STEADY.made, STEADY.resume)


@pytest.mark.parametrize(
    ("modality", "place", "steps", "expected"),
    [
        (M.RESISTANCE, 4, 1, 2),  # from 3 x 15 to 2 x 15
        (M.RESISTANCE, 6, 2, 1),  # and to 1 x 15
        (M.RESISTANCE, 8, 1, 6),
        (M.RESISTANCE, 1, 1, 1),
        (M.RESISTANCE, 4, 0, 4),
        (M.RESISTANCE, 99, 1, 10),
        (M.PLATE, 4, 1, 2),
        (M.PLATE, 4, 2, 1),  # the start
        (M.IMPACT, 5, 2, 3),
        (M.BALANCE, 6, 1, 4),
        (M.POSTURE, 3, 1, 2),
    ],
)
def test_a_step_back_is_the_last_dose_that_differed(
    modality: M, place: int, steps: int, expected: int
) -> None:
    assert LADDERS.ladder(modality, lifting=True).back(place, steps) == expected


def test_a_day_more_is_no_other_dose() -> None:
    """Places 7 and 8 of her impact are 50 a session, the second on a day more."""
    ladder = LADDERS.ladder(M.IMPACT, lifting=True)
    assert ladder.doses[6] == ladder.doses[7]
    assert ladder.back(8, 1) == 6


def test_without_any_load_the_exercises_own_repetitions_are_the_dose() -> None:
    bare = in_force(steady(resources={"equipment": ["chair"]}))
    ladder = Ladders.by(bare.made, bare.resume).ladder(M.RESISTANCE, lifting=True)
    assert ladder.doses[2] != ladder.doses[4]
    assert LADDERS.ladder(M.RESISTANCE, lifting=True).doses[2] == (3, 15, 20)


def test_one_ladder_up_to_a_place() -> None:
    """Groups A and B are one until A lifts more, in place 7 (row 19b)."""
    high = in_force(steady(scans=[{"date": "2026-01-20", "site": "total_hip", "t": -2.6}]))
    b = Ladders.by(high.made, high.resume).ladder(M.RESISTANCE, lifting=True)
    a = LADDERS.ladder(M.RESISTANCE, lifting=True)
    assert a.same_to(b, 6)
    assert not a.same_to(b, 7)


def test_no_plate_no_ladder() -> None:
    bare = in_force(steady(resources={"plates": []}))
    found = Ladders.by(bare.made, bare.resume)
    assert found.plate == ""
    assert found.ladder(M.PLATE, lifting=True) == Ladder(doses=(), end=1)
