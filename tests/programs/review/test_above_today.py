"""What one part of a week tells above today's ceilings: load, force, rung, exercise, plate."""

from typing import Any

import pytest

from programs.draft import person
from programs.draft.draft import Draft, draft
from programs.draft.resume import Resume
from programs.exercises.exercise import BARS
from programs.review.above_today import BARRED_FOR, Today, told_could_lift
from programs.week.week import (
    ImpactWeek,
    LiftDose,
    Part,
    PlateWeek,
    ResistanceWeek,
)
from safety.findings import Modality
from tests.people import fracture, steady
from tests.programs.week_parts import balancing, jumping, lifting, upright, vibrating

FALLER = {"falls": {"last_12_months": 3, "injury": "no"}}
WATCHED = {"resources": {"supervised": "yes"}}
VERTEBRA = {"fractures": [fracture("vertebra", "2024-01-10")]}


def today(**changes: Any) -> Draft:
    return draft(steady(**changes))


def above(part: Part, made: Draft, week: int = 1) -> list[tuple[str, str, str]]:
    """Return what, told and allowed of all that a part is above."""
    return [(one.what, one.told, one.allowed) for one in Today(made).above(week, part)]


def one(found: list[tuple[str, str, str]]) -> tuple[str, str, str]:
    assert len(found) == 1, found
    return found[0]


# --- Lifting --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (lifting(), None),
        (lifting(could_lift=10, percent_1rm=None), "10 times: 82 %"),
        (lifting(could_lift=2, percent_1rm=None), "2 times: "),
        (lifting(could_lift=None, reps=8, reps_in_reserve=2), "10 times: 82 %"),
        (lifting(could_lift=None, reps=8, reps_in_reserve=3), None),
        (lifting(could_lift=None, reps_in_reserve=None), None),
        (lifting(could_lift=None, reps_in_reserve=None, percent_1rm=81), "81 % of the most"),
        (lifting(could_lift=None, reps_in_reserve=None, percent_1rm=None), None),
        # Repetitions of an exercise without a load tell no weight.
        (lifting(could_lift=5, exercises=(LiftDose(exercise="chair_stand", load_kg=None),)), None),
    ],
)
def test_a_load_against_the_floor_of_could_lift(part: ResistanceWeek, told: str | None) -> None:
    found = above(part, today())
    if told is None:
        assert found == []
    else:
        assert told in one(found)[1]


def test_group_c_and_a_precaution_each_have_their_own_floor() -> None:
    assert "17 times or more: at most 70 %" in one(above(lifting(), today(**FALLER)))[2]
    pressed = today(tests={"resting_bp": [165, 90]})
    assert "25 times or more: at most 60 %" in one(above(lifting(), pressed))[2]


def test_what_a_week_told_of_could_lift() -> None:
    assert told_could_lift(lifting()) == 11
    assert told_could_lift(lifting(could_lift=None, reps=15, reps_in_reserve=3)) == 18
    assert told_could_lift(lifting(could_lift=None, reps_in_reserve=None)) is None


@pytest.mark.parametrize(
    ("lifts", "kg", "allowed"),
    [
        ([{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2026-03-02"}], 55, None),
        ([{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2026-03-02"}], 60, "80 % of 69.8 kg"),
        ([{"lift": "leg_press", "kg": 60, "reps": 8, "on": "2024-03-02"}], 30, "no test counts"),
        ([], None, None),
    ],
)
def test_kilograms_against_the_test_that_counts_today(
    lifts: list[Any], kg: float | None, allowed: str | None
) -> None:
    part = lifting(exercises=(LiftDose(exercise="leg_press", load_kg=kg),))
    found = above(part, today(lifts=lifts))
    if allowed is None:
        assert found == []
    else:
        assert allowed in one(found)[2]


def test_an_exercise_that_the_catalogue_has_no_more() -> None:
    part = lifting(exercises=(LiftDose(exercise="once_there", load_kg=20),))
    assert one(above(part, today())) == (
        "exercise",
        "“once_there”",
        "none of it: it is in the catalogue no more",
    )


# --- Impact, balance, posture ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "changes", "allowed"),
    [
        (jumping(4.0, "small_jump"), {}, None),
        (jumping(4.1), {}, "at most 4"),
        # What the paper names is the exercise; its force is what is known of it today.
        (jumping(3.0, "small_jump"), VERTEBRA, "at most 1.5, walking"),
        (jumping(1.5, "brisk_walk"), VERTEBRA, None),
        (jumping(2.5), {"resources": {"supervised": None}, "tests": {"tandem_s": 6}}, None),
        (jumping(3.5), {"tests": {"tandem_s": 6}}, "at most 3"),
        # Lifting on hold: impact above walking goes beside it, never instead.
        (jumping(2.0), {"conditions": {"hernia": "yes"}}, "at most 1.5, walking"),
    ],
)
def test_a_force_against_the_cap(
    part: ImpactWeek, changes: dict[str, Any], allowed: str | None
) -> None:
    found = [each for each in above(part, today(**changes)) if each[0] == "force of an impact"]
    if allowed is None:
        assert found == []
    else:
        assert one(found)[2] == allowed


@pytest.mark.parametrize(
    ("rung", "week", "changes", "allowed"),
    [
        (4, 1, {}, None),
        (5, 1, {}, "level 4 at most"),
        (5, 5, {}, None),
        (5, 26, FALLER, "level 4 at most"),
        (1, 1, {"person": {"mobility": "wheelchair"}}, "exercises done sitting"),
        (None, 1, {"person": {"mobility": "wheelchair"}}, None),
    ],
)
def test_a_rung_against_that_of_her_tests(
    rung: int | None, week: int, changes: dict[str, Any], allowed: str | None
) -> None:
    found = [each for each in above(balancing(rung), today(**changes), week) if each[0] == "level"]
    assert [each[2] for each in found] == ([] if allowed is None else [allowed])


def test_the_rung_counts_on_from_where_the_program_took_up() -> None:
    resumed = Today(today(), Resume(done_weeks={Modality.BALANCE: 4}))
    assert list(resumed.above(1, balancing(5))) == []


@pytest.mark.parametrize(
    ("near", "changes", "said"),
    [
        (True, FALLER, False),
        (None, FALLER, True),
        (False, FALLER, True),
        (None, {}, False),
        (None, {"person": {"mobility": "wheelchair"}, **FALLER}, False),
    ],
)
def test_support_within_reach(near: bool | None, changes: dict[str, Any], said: bool) -> None:
    found = [each[0] for each in above(balancing(None, near=near), today(**changes))]
    assert ("support" in found) is said


@pytest.mark.parametrize(
    ("part", "changes", "why"),
    [
        (balancing(4, of=("backward_walk",)), FALLER, "walks backward"),
        (upright("prone_lift"), {}, None),
        (upright("prone_lift"), VERTEBRA, "the spine is spared"),
        (upright("chin_tuck"), VERTEBRA, None),
    ],
)
def test_an_exercise_that_is_barred_today(
    part: Part, changes: dict[str, Any], why: str | None
) -> None:
    found = [each for each in above(part, today(**changes)) if each[0] == "exercise"]
    if why is None:
        assert found == []
    else:
        assert why in one(found)[2]


def test_each_bar_has_its_words() -> None:
    assert set(BARRED_FOR) == BARS


# --- Plate ----------------------------------------------------------------------------------

TILTING = {
    "name": "tilting",
    "motion": "side_alternating",
    "frequency_hz": {"from": 5, "to": 30, "step": 0.5},
    "displacement_mm": {"settings": [2, 3, 5, 8], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 150,
}
GENTLE = {
    "name": "gentle",
    "motion": "low_magnitude",
    "frequency_hz": {"from": 30, "to": 30, "step": 1},
    "fixed_g": 0.3,
    "g_reads_as": "peak",
    "rail": "yes",
    "load_limit_kg": 120,
}


def with_plates(*plates: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {"resources": {"plates": list(plates), **more}}


@pytest.mark.parametrize(
    ("part", "changes", "found"),
    [
        (vibrating(), {}, {}),
        (vibrating(peak_g=4.2), {}, {"peak of the plate": "at most 4 g"}),
        (vibrating(vibration_min=16.0), {}, {"vibration of a session": "at most 15 min"}),
        (vibrating(frequency_hz=45), {}, {"frequency of the plate": "at most 40 Hz"}),
        (vibrating(displacement_mm=3.0), {}, {"displacement of the plate": "at most 2.5 mm"}),
        (
            vibrating(plate="tilting", frequency_hz=22, displacement_mm=6.0),
            with_plates(TILTING),
            {
                "frequency of the plate": "at most 20 Hz",
                "displacement of the plate": "at most 5 mm",
            },
        ),
        (
            vibrating(plate="gentle", displacement_mm=None, peak_g=0.3, vibration_min=20.0),
            with_plates(GENTLE),
            {},
        ),
        (vibrating(plate="lent"), {}, {"plate": "no plate of this name is on record"}),
        # Held to 1 g, and each session watched.
        (
            vibrating(supervised=False),
            {**FALLER, **WATCHED},
            {
                "peak of the plate": "at most 1 g",
                "watching": "each session watched by someone who has been shown how",
            },
        ),
        # A precaution: place 1 of the ramp in every week.
        (
            vibrating(bouts=6, vibration_min=3.0),
            {"conditions": {"chronic_back_pain": "yes"}},
            {"vibration of a session": "at most 2 min (the start dose)"},
        ),
        (vibrating(), {"conditions": {"chronic_back_pain": "yes"}}, {}),
    ],
)
def test_a_plate_against_its_ceilings(
    part: PlateWeek, changes: dict[str, Any], found: dict[str, str]
) -> None:
    assert {what: allowed for what, _, allowed in above(part, today(**changes))} == found


@pytest.mark.parametrize(
    ("rail", "why"), [("no", "No rail on the plate"), (None, "It is not known")]
)
def test_a_plate_that_is_not_fit_today_while_another_is(rail: str | None, why: str) -> None:
    bare = {**TILTING, "name": "bare", "rail": rail}
    bare = {key: value for key, value in bare.items() if value is not None}
    made = today(**with_plates(TILTING, bare, support_rail="no" if rail else None))
    part = vibrating(plate="bare", frequency_hz=12.5, displacement_mm=2.0, peak_g=0.6)
    what, told, allowed = above(part, made)[0]
    assert (what, told) == ("plate", "“bare”")
    assert why in allowed


def test_a_plate_that_was_measured_since_is_held_by_its_motion() -> None:
    """Her paper tells 40 Hz and 1 mm of the panel; it runs 44 Hz and moves 1.5 mm there."""
    found = {
        "name": "at home",
        "motion": "vertical",
        "frequency_hz": {"from": 22, "to": 55, "step": 1.1},
        "displacement_mm": {"settings": [1.5], "reads_as": "peak_to_peak"},
        "rail": "yes",
        "load_limit_kg": 120,
        "panel": {
            "measured_on": "2026-02-20",
            "frequency_hz": {"from": 20, "to": 50, "step": 1},
            "displacement_mm": [1],
        },
    }
    part = vibrating(frequency_hz=40, displacement_mm=1.0, peak_g=3.22)
    assert above(part, today()) == []
    told = {what: said for what, said, _ in above(part, today(**with_plates(found)))}
    assert told == {"peak of the plate": "5.85 g", "frequency of the plate": "44 Hz"}


def test_the_start_dose_of_a_plate_without_a_start() -> None:
    """Nothing on it may be started with: the plate itself is told, no dose of it."""
    strong = {
        **TILTING,
        "name": "strong",
        "displacement_mm": {"settings": [9], "reads_as": "peak_to_peak"},
    }
    made = today(**with_plates(TILTING, strong), conditions={"chronic_back_pain": "yes"})
    part = vibrating(plate="strong", frequency_hz=12.5, displacement_mm=4.0, peak_g=0.6)
    assert [what for what, *_ in above(part, made)] == ["plate"]


def test_in_a_later_half_year_what_was_lifted_counts_beside_the_set() -> None:
    """Rulebook row 29a: however old the set is, the load may go on from what was lifted since."""
    made = today()
    known = person.one_rms(made.screen)
    more = {lift: kg + 30 for lift, kg in known.items()}
    code, kg = next(iter(known.items()))
    heavy = lifting(
        could_lift=None,
        reps_in_reserve=None,
        percent_1rm=75,
        exercises=(LiftDose(exercise=code, load_kg=round(kg * 0.75 + 10, 1)),),
    )
    assert above(heavy, made)
    later = Today(made, Resume(half_year=2, one_rm_kg=more))
    assert [one.what for one in later.above(1, heavy)] == []
