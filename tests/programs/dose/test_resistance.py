"""Lifting: the stages of each group, floors, exercises without a load, limits and minutes."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose.could_lift import percent_of
from programs.dose.resistance import (
    CHAIR_STANDS,
    LIMITS,
    LiftingStep,
    Stage,
    group_of,
    own_reps,
    own_start,
    ramp,
    session_min,
    stages,
    top_percent,
)
from programs.exercises import EXERCISES
from safety.findings import Limits, Modality
from safety.screen import screen
from tests.each import each
from tests.people import steady

#: Sets, repetitions and could-lift, week by week, as rulebook row 19b has them in words.
LEARNING = [(1, 15, 20), (2, 15, 20)]
A_ON = [(3, 12, 17)] * 2 + [(3, 10, 14)] * 2 + [(3, 8, 11)] * 2
B_ON = [(3, 12, 18)] * 2 + [(3, 12, 17)] * 2 + [(3, 10, 14)] * 2
C_ON = (
    [(2, 10, 25)] * 2
    + [(2, 10, 22)] * 2
    + [(2, 10, 20)] * 2
    + [(2, 10, 18)] * 2
    + [(2, 10, 17)] * 2
    + [(3, 10, 17)] * 2
    + [(3, 12, 17)] * 2
)
TOP = [(3, 8, 11)] * 2
WEEKS = {
    "A": [*LEARNING, *[(3, 15, 20)] * 4, *A_ON],
    "A, none": [*LEARNING, *[(3, 15, 20)] * 8, *A_ON],
    "A, some": [*LEARNING, *[(3, 15, 20)] * 4, *A_ON],
    "A, regular": [*[(3, 10, 14)] * 2, *TOP],
    "B": [*LEARNING, *[(3, 15, 20)] * 8, *B_ON],
    "B, none": [*LEARNING, *[(3, 15, 20)] * 8, *B_ON],
    "B, overseen": [*LEARNING, *[(3, 15, 20)] * 8, *B_ON, *TOP],
    "B, regular": [*[(3, 12, 17)] * 2, *[(3, 10, 14)] * 2],
    "B, regular, overseen": [*[(3, 12, 17)] * 2, *[(3, 10, 14)] * 2, *TOP],
    "C": [(1, 8, 30), (1, 10, 30), (2, 10, 30), (2, 10, 30), *C_ON],
    "C, overseen": [(1, 8, 30), (1, 10, 30), (2, 10, 30), (2, 10, 30), *C_ON],
    "C, regular, not steady": [(1, 8, 30), (1, 10, 30), (2, 10, 30), (2, 10, 30), *C_ON],
    "C, regular": C_ON,
}


def stages_of(kind: str) -> tuple[Stage, ...]:
    group, *words = kind.split(", ")
    known = next((word for word in words if word in ("none", "some", "regular")), None)
    return stages(
        group, overseen="overseen" in words, experience=known, steady="not steady" not in words
    )


def weeks_of(kind: str, **more: int) -> list[tuple[int, int, int]]:
    steps = ramp(stages_of(kind), **({"places": 30} | more))  # type: ignore[arg-type]
    assert [step.place for step in steps] == list(range(1, len(steps) + 1))
    return [(step.sets, step.reps, step.could_lift) for step in steps]


@pytest.mark.parametrize("kind", WEEKS)
def test_every_week_of_every_group(kind: str) -> None:
    """Rows 19 and 19b; the last stage stays to the end."""
    expected = WEEKS[kind]
    assert weeks_of(kind) == expected + [expected[-1]] * (30 - len(expected))


@pytest.mark.parametrize("kind", WEEKS)
def test_a_ramp_may_be_shorter_than_its_stages(kind: str) -> None:
    assert weeks_of(kind, places=3) == WEEKS[kind][:3]
    assert weeks_of(kind, places=1) == WEEKS[kind][:1]


@each("floor", [17, 20, 25])
@each("kind", WEEKS)
def test_a_floor_leaves_out_what_is_heavier(kind: str, floor: int) -> None:
    """Row 19b: N 17 by any precaution, N 25 by pressure; 20 by a clinic's own 67 %."""
    within = [week for week in WEEKS[kind] if week[2] >= floor]
    first = WEEKS[kind][0][2]
    expected = within or [(s, r, floor) for s, r, n in WEEKS[kind] if n == first]
    assert weeks_of(kind, floor=floor) == (expected + [expected[-1]] * 30)[:30]


def test_where_no_stage_is_left_the_first_one_s_sets_are_done_at_the_floor() -> None:
    assert weeks_of("A, regular", floor=17, places=4) == [(3, 10, 17)] * 4
    assert weeks_of("A", floor=25, places=4) == [(1, 15, 25), (2, 15, 25), (3, 15, 25), (3, 15, 25)]
    assert weeks_of("B, regular", floor=25, places=2) == [(3, 12, 25)] * 2
    assert weeks_of("C, regular", floor=30, places=2) == [(2, 10, 30)] * 2


def test_more_kept_in_reserve_leaves_out_what_leaves_less() -> None:
    """A clinic's own reserve: 5 fits 15 of 20, 12 of 17, not 10 of 14; 6 fits none of group A."""
    assert set(weeks_of("A", reserve=5)) == {*LEARNING, (3, 15, 20), (3, 12, 17)}
    assert set(weeks_of("A", reserve=6)) == {(1, 15, 21), (2, 15, 21), (3, 15, 21)}
    assert set(weeks_of("A", reserve=6, floor=25)) == {(1, 15, 25), (2, 15, 25), (3, 15, 25)}


def test_fewer_sets_where_the_clinic_has_fewer() -> None:
    assert max(sets for sets, _, _ in weeks_of("A", most_sets=2)) == 2


@given(
    kind=st.sampled_from(sorted(WEEKS)),
    floor=st.sampled_from([0, 11, 14, 17, 20, 25, 30]),
    reserve=st.integers(2, 6),
    most_sets=st.integers(1, 3),
    places=st.integers(1, 60),
)
def test_no_place_passes_a_limit(
    kind: str, floor: int, reserve: int, most_sets: int, places: int
) -> None:
    steps = ramp(stages_of(kind), floor=floor, reserve=reserve, most_sets=most_sets, places=places)
    assert len(steps) == places
    top = top_percent(kind[0], supervised="overseen" in kind).value
    for step in steps:
        assert step.could_lift >= floor
        assert step.effort.reps_in_reserve >= reserve
        assert step.effort.percent_1rm <= top
        assert 1 <= step.sets <= most_sets
    for before, after in itertools.pairwise(steps):
        assert after.could_lift <= before.could_lift
        assert after.effort.percent_1rm <= 1.1 * before.effort.percent_1rm
        assert after.sets >= before.sets


@pytest.mark.parametrize("kind", WEEKS)
def test_five_by_five_is_never_drafted(kind: str) -> None:
    """Row 19b: N 8 is chosen by the clinician, never drafted."""
    assert min(could_lift for _, _, could_lift in weeks_of(kind)) >= 11


# --- Exercises without a load -------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "group", "stands", "reps"),
    [
        ("chair_stand", "A", None, 5),
        ("chair_stand", "A", 14, 7),
        ("chair_stand", "A", 15, 7),
        ("chair_stand", "C", 16, 8),
        ("chair_stand_with_hands", "C", 7, 3),
        ("chair_stand_with_hands", "C", 2, 3),
        ("chair_stand_with_hands", "C", 0, 3),
        ("chair_stand", "A", 30, 12),
        ("bridge", "A", 20, 8),
        ("bridge", "B", None, 8),
        ("bridge", "C", 20, 5),
        ("wall_push_up", "C", None, 5),
    ],
)
def test_where_an_exercise_without_a_load_starts(
    code: str, group: str, stands: int | None, reps: int
) -> None:
    """Row 19c: half of the 30 s count, not measured 5; others 8, C 5; 3 at least."""
    assert own_start(code, group, stands) == reps


def test_chair_stands_are_in_the_catalogue_and_have_no_load() -> None:
    assert {EXERCISES[code].loadable for code in CHAIR_STANDS} == {False}


def test_its_repetitions_rise_every_second_week_to_twelve() -> None:
    """Row 19c: +1 every second week to 12."""
    assert [own_reps(8, more) for more in range(7)] == [8, 9, 10, 11, 12, 12, 12]
    steps = ramp(stages_of("A"), own={"bridge": 8, "chair_stand": 5}, places=10)
    assert [dict(step.own_reps)["bridge"] for step in steps] == [8, 8, 9, 9, 10, 10, 11, 11, 12, 12]
    assert dict(steps[9].own_reps) == {"bridge": 12, "chair_stand": 9}
    assert ramp(stages_of("A"), places=1)[0].own_reps == ()


def test_a_place_knows_its_effort() -> None:
    step = LiftingStep(place=1, sets=3, reps=8, could_lift=11)
    assert (step.effort.percent_1rm, step.effort.reps_in_reserve) == (80, 3)


# --- Groups and limits --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "group"),
    [
        ({}, "A"),
        ({"person": {"born": "1945-01-01"}}, "B"),
        ({"scans": [{"date": "2026-01-20", "site": "femoral_neck", "t": -2.7, "z": -1.0}]}, "B"),
        ({"scans": []}, "B"),
        (
            {"scans": [{"date": "2026-01-20", "site": "femoral_neck", "t": -3.6, "z": -1.0}]},
            "C",
        ),
        ({"falls": {"last_12_months": 2}}, "C"),
        ({"tests": {"up_and_go_s": 16}}, "C"),
    ],
)
def test_group(changes: dict[str, object], group: str) -> None:
    """Row 19: low and moderate A; high, unknown, or 80 and over B; very high, fall risk high or
    low function C."""
    seen = screen(steady(**changes))
    assert group_of(seen.situation, seen.limits(Modality.RESISTANCE)) == group


def test_a_finding_makes_group_c() -> None:
    assert group_of(screen(steady()).situation, Limits(group_c=True)) == "C"


@pytest.mark.parametrize(
    ("group", "supervised", "percent"),
    [("A", False, 80), ("A", True, 80), ("B", False, 75), ("B", True, 80), ("C", True, 70)],
)
def test_top_of_each_group(group: str, supervised: bool, percent: float) -> None:
    assert top_percent(group, supervised=supervised).value == percent


def test_a_clinician_may_go_to_eight_times_and_to_fourteen_in_group_c() -> None:
    """Row 19b: N 8 in five by five; group C N 14 from week 12 on; each with a written reason."""
    assert LIMITS["percent_1rm.A"].judgement == percent_of(8) == 86
    assert LIMITS["percent_1rm.B.supervised"].judgement == 86
    assert LIMITS["percent_1rm.B"].judgement is None
    assert LIMITS["percent_1rm.C"].judgement == percent_of(14) == 74


def test_minutes_of_a_session() -> None:
    """Row 24: two minutes of warm-up, four seconds a repetition, a minute's rest a set."""
    assert session_min(3, [15, 15, 15, 15]) == 26.0
    assert session_min(1, [15, 15]) == 6.0
    assert session_min(3, [8, 8, 5]) == pytest.approx(2 + 3 * (21 * 4 + 180) / 60)
    assert session_min(3, []) == 2.0
