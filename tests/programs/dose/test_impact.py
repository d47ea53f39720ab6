"""Impact: the ladder of each aim, the count, the days, the walk and the indices (row 20)."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose import impact
from programs.dose.impact import (
    LIMITS,
    Asked,
    ImpactStep,
    Index,
    Most,
    aimed_bw,
    cap_bw,
    counted_min,
    ladder,
    osteogenic_index,
    ramp,
    session_min,
    tops_bw,
)
from programs.dose.in_force import Clinic
from programs.exercises import EXERCISES
from safety.findings import Limits
from tests.each import each
from tests.programs.own_limits import setting

STEP = frozenset({"step"})
NONE: frozenset[str] = frozenset()
AIMS = ("hip", "spine", "falls", "wrist", "strength")
#: The rungs as row 20's table has them, by the greatest force on the whole body.
LEG_RAISED = ["soft_heel_raise", "step_down_low", "gentle_stamp", "forward_step", "stamp"]
WHOLE_BODY = [*LEG_RAISED, "held_jump", "small_jump"]


def asked(**changes: object) -> Asked:
    usual = Asked(group="A", aim="spine", cap=4.0, days=6, equipment=STEP)
    return replace(usual, **changes)  # type: ignore[arg-type]


def told(steps: tuple[ImpactStep, ...]) -> list[tuple[str, int | None, int | None, int]]:
    """Return each place's exercise, impacts or minutes, and days."""
    assert [step.place for step in steps] == list(range(1, len(steps) + 1))
    return [(step.exercise.code, step.impacts, step.minutes, step.days) for step in steps]


def counted(code: str, *counts: tuple[int, int]) -> list[tuple[str, int | None, int | None, int]]:
    return [(code, impacts, None, days) for impacts, days in counts]


def walked(*minutes: tuple[int, int]) -> list[tuple[str, int | None, int | None, int]]:
    return [("brisk_walk", None, each, days) for each, days in minutes]


# --- Caps and ladder ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("group", "risk", "own"),
    [
        ("A", "low", 4.0),
        ("A", "intermediate", 3.0),
        ("A", "high", 3.0),
        ("B", "low", 3.0),
        ("B", "intermediate", 3.0),
        ("C", "low", 1.5),
    ],
)
def test_cap_is_the_group_s_or_the_finding_s(group: str, risk: str, own: float) -> None:
    """Row 20: A 4 BW, 3 where fall risk is not low; B 3; C walking; "no jumps" 2."""
    assert cap_bw(group, risk, Limits()) == own
    assert cap_bw(group, risk, Limits(impact_bw=2.0)) == min(own, 2.0)
    assert cap_bw(group, risk, Limits(impact_bw=1.5)) == 1.5


def test_an_unsteady_person_is_held_to_both_limits_of_group_a() -> None:
    assert [limit.name for limit in tops_bw("A", "intermediate")] == [
        "peak_bw.A",
        "peak_bw.A.unsteady",
    ]
    assert [limit.name for limit in tops_bw("A", "low")] == ["peak_bw.A"]
    assert [limit.name for limit in tops_bw("B", "high")] == ["peak_bw.B"]
    tight = Clinic(settings={"impact.peak_bw.A": setting("impact.peak_bw.A", 2.0)})
    assert cap_bw("A", "intermediate", Limits(), tight) == 2.0
    own = Clinic(settings={"impact.peak_bw.A.unsteady": setting("impact.peak_bw.A.unsteady", 2.2)})
    assert cap_bw("A", "intermediate", Limits(), own) == 2.2
    assert cap_bw("A", "low", Limits(), own) == 4.0


@each("aim", AIMS)
@each(("cap", "rungs"), [(4.0, 7), (3.9, 6), (3.08, 5), (3.0, 4), (2.0, 1), (1.99, 0), (1.5, 0)])
def test_the_ladder_of_each_aim(aim: str, cap: float, rungs: int) -> None:
    """The hip reads what a leg has: its ladder ends at the stamp, 3.08 on one leg."""
    most = min(rungs, 5) if aim == "hip" else rungs
    assert [one.code for one in ladder(aim, cap, STEP)] == WHOLE_BODY[:most]


@pytest.mark.parametrize("aim", AIMS)
def test_without_a_step_its_rung_is_left_out(aim: str) -> None:
    most = LEG_RAISED if aim == "hip" else WHOLE_BODY
    without = [code for code in most if code != "step_down_low"]
    assert [one.code for one in ladder(aim, 4.0, NONE)] == without
    assert [one.code for one in ladder(aim, 3.0, NONE)] == without[:3]


@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.parametrize("cap", [4.0, 3.0, 2.0])
def test_each_rung_raises_both_the_peak_and_the_aimed_force(aim: str, cap: float) -> None:
    rungs = ladder(aim, cap, STEP)
    for before, after in itertools.pairwise(rungs):
        assert (after.peak_bw or 0) > (before.peak_bw or 0)
        assert aimed_bw(after, aim) > aimed_bw(before, aim)
    assert all((one.peak_bw or 9) <= cap for one in rungs)


def test_no_jumps_bars_what_leaves_the_ground() -> None:
    codes = [one.code for one in ladder("spine", 4.0, STEP, frozenset({"jump"}))]
    assert codes == WHOLE_BODY[:-2]


# --- The ramp, week by week ---------------------------------------------------------------


def test_group_a_for_the_spine() -> None:
    """Its first rung has 2 BW on the whole body, so that it goes on to 50 and to four days."""
    at = counted
    assert told(ramp(asked(), 36)) == [
        *at("soft_heel_raise", (10, 3), (10, 3), (20, 3), (30, 3), (40, 3), (50, 3), (50, 4)),
        *at("step_down_low", (10, 4), (20, 4), (30, 4), (40, 4), (50, 4), (50, 5)),
        *at("gentle_stamp", (30, 5), (40, 5), (50, 5), (50, 5)),
        *at("forward_step", (30, 5), (40, 5), (50, 5), (50, 5)),
        *at("stamp", (30, 5), (40, 5), (50, 5), (50, 5)),
        *at("held_jump", (30, 5), (40, 5), (50, 5), (50, 5)),
        *at("small_jump", (30, 5), (40, 5), (50, 5), *[(50, 5)] * 4),
    ]


def test_group_a_for_the_hip() -> None:
    """A heel raise has 1 BW on each leg, so it lasts two weeks and the second rung begins."""
    at = counted
    assert told(ramp(asked(aim="hip"), 22)) == [
        *at("soft_heel_raise", (10, 3), (10, 3)),
        *at("step_down_low", (10, 3), (20, 3), (30, 3), (40, 3), (50, 3), (50, 4)),
        *at("gentle_stamp", (30, 4), (40, 4), (50, 4), (50, 5)),
        *at("forward_step", (30, 5), (40, 5), (50, 5), (50, 5)),
        *at("stamp", (30, 5), (40, 5), (50, 5), (50, 5), (50, 5), (50, 5)),
    ]


def test_group_b_rises_every_second_week_and_has_four_days_at_most() -> None:
    at = counted
    tens = [(n, 4) for n in (10, 20, 30, 40) for _ in range(2)]
    assert told(ramp(asked(group="B", cap=3.0), 34)) == [
        *at("soft_heel_raise", *((n, 3) for n, _ in tens), (50, 3), (50, 4)),
        *at("step_down_low", *tens, (50, 4)),
        *at("gentle_stamp", (30, 4), (30, 4), (40, 4), (40, 4), (50, 4)),
        *at("forward_step", (30, 4), (30, 4), (40, 4), (40, 4), *[(50, 4)] * 6),
    ]


def test_group_b_for_the_hip() -> None:
    at = counted
    tens = [(n, 3) for n in (10, 20, 30, 40) for _ in range(2)]
    assert told(ramp(asked(group="B", aim="hip", cap=3.0), 13)) == [
        *at("soft_heel_raise", (10, 3), (10, 3)),
        *at("step_down_low", *tens, (50, 3), (50, 4)),
        *at("gentle_stamp", (30, 4)),
    ]


@pytest.mark.parametrize("aim", AIMS)
@pytest.mark.parametrize("group", ["A", "B"])
def test_a_regular_jumper_begins_on_the_second_rung_with_thirty(group: str, aim: str) -> None:
    steps = ramp(asked(group=group, aim=aim, cap=3.0, experience="regular"), 8)
    pace = 2 if group == "B" else 1
    up = [n for n in (30, 40) for _ in range(pace)]
    assert told(steps)[: len(up) + 2] == counted(
        "step_down_low", *((n, 3) for n in up), (50, 3), (50, 4)
    )
    after = told(steps)[len(up) + 2]
    assert after[:2] == ("gentle_stamp", 30)


@pytest.mark.parametrize("experience", ["regular", "some", "none", None])
def test_where_there_is_no_second_rung_everyone_begins_on_the_first(
    experience: str | None,
) -> None:
    steps = ramp(asked(cap=2.0, experience=experience), 9)
    assert told(steps) == counted(
        "soft_heel_raise",
        *((10, 3), (10, 3), (20, 3), (30, 3), (40, 3), (50, 3), (50, 4), (50, 4), (50, 4)),
    )


def test_for_the_hip_without_jumps_walking_follows_the_heel_raise() -> None:
    """Row 20: the ladder ends on a rung under 1.5 BW of aimed force, so brisk walking follows."""
    assert told(ramp(asked(aim="hip", cap=2.0), 11)) == [
        *counted("soft_heel_raise", (10, 3), (10, 3)),
        *walked((5, 4), (10, 4), (15, 4), (20, 4), (20, 5), (20, 6), (20, 6), (20, 6), (20, 6)),
    ]


@pytest.mark.parametrize(
    ("experience", "minutes"),
    [
        (None, [5, 10, 15, 20, 20, 20, 20, 20]),
        ("none", [5, 10, 15, 20, 20, 20, 20, 20]),
        ("some", [20] * 8),
        ("regular", [20] * 8),
    ],
)
def test_group_c_walks(experience: str | None, minutes: list[int]) -> None:
    """Twenty minutes of brisk walking with vertebral fractures: Brooke-Wavell 2022. Row 20: from
    5 min (used to it: 20), +5 a week, on 4 days; then a day more each week to every day."""
    steps = ramp(asked(group="C", cap=1.5, days=7, experience=experience), 8)
    start = minutes.count(20)
    days = [4] * (9 - start) + [5, 6, 7] + [7] * 8
    assert told(steps) == walked(*zip(minutes, days[:8], strict=True))
    assert session_min(steps[-1]) == 20.0


@pytest.mark.parametrize("days", [1, 2, 3, 4, 5])
def test_never_on_more_days_than_she_has(days: int) -> None:
    for one in (asked(days=days), asked(days=days, aim="hip", cap=2.0), asked(days=days, cap=1.5)):
        steps = ramp(one, 30)
        assert max(step.days for step in steps) == days
    first = ramp(asked(days=days), 30)[0]
    assert first.days == min(days, 3)


def test_with_three_days_the_next_rung_comes_the_week_after_fifty() -> None:
    """None to add: the week after 50, but not before four weeks on the rung."""
    at = counted
    assert told(ramp(asked(days=3), 15)) == [
        *at("soft_heel_raise", (10, 3), (10, 3), (20, 3), (30, 3), (40, 3), (50, 3)),
        *at("step_down_low", (10, 3), (20, 3), (30, 3), (40, 3), (50, 3)),
        *at("gentle_stamp", (30, 3), (40, 3), (50, 3), (50, 3)),
    ]


def test_a_clinic_s_own_most() -> None:
    for most, counts in ((10, {10}), (20, {10, 20}), (35, {10, 20, 30, 35})):
        steps = told(ramp(asked(most=Most(impacts=most)), 30))
        assert {impacts for _, impacts, _, _ in steps} == counts
    sixty = told(ramp(asked(most=Most(impacts=60, days=5)), 30))
    assert max(n or 0 for _, n, _, _ in sixty) == 60
    assert [days for _, _, _, days in sixty[:17]] == [3] * 7 + [4] * 7 + [5] * 3
    assert {days for *_, days in told(ramp(asked(most=Most(days=2)), 30))} == {2}
    short = told(ramp(asked(cap=1.5, most=Most(walk_min=12, days=3)), 6))
    assert short == walked((5, 3), (10, 3), (12, 3), (12, 3), (12, 3), (12, 3))
    assert told(ramp(asked(cap=1.5, experience="some", most=Most(walk_min=12)), 1))[0][2] == 12


def test_where_neither_a_rung_nor_a_walk_can_be_done_there_is_no_ramp(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(impact, "walking", lambda equipment: None)
    assert ramp(asked(cap=1.5), 26) == ()


@given(
    group=st.sampled_from("AB"),
    aim=st.sampled_from(AIMS),
    cap=st.sampled_from([1.5, 2.0, 2.5, 3.0, 4.0]),
    days=st.integers(1, 7),
    places=st.integers(1, 60),
    experience=st.sampled_from([None, "none", "some", "regular"]),
    equipment=st.sampled_from([NONE, STEP]),
)
def test_one_thing_rises_at_a_time_and_no_limit_is_passed(
    group: str,
    aim: str,
    cap: float,
    days: int,
    places: int,
    experience: str | None,
    equipment: frozenset[str],
) -> None:
    one = Asked(
        group=group, aim=aim, cap=cap, days=days, experience=experience, equipment=equipment
    )
    steps = ramp(one, places)
    assert len(steps) == places
    rungs = [*ladder(aim, cap, equipment), EXERCISES["brisk_walk"]]
    most_days = 5 if group == "A" else 4
    for step in steps:
        assert (step.exercise.peak_bw or 9) <= cap
        assert (step.impacts is None) != (step.minutes is None)
        assert (step.impacts or 0) <= LIMITS["impacts"].value
        assert (step.minutes or 0) <= LIMITS["minutes"].value
        assert step.days <= (days if step.impacts is None else min(days, most_days))
    for before, after in itertools.pairwise(steps):
        rung_up = rungs.index(after.exercise) - rungs.index(before.exercise)
        more = (after.impacts or 0) - (before.impacts or 0)
        assert rung_up in (0, 1)
        assert more <= 10
        longer = (after.minutes or 0) > (before.minutes or 0) and rung_up == 0
        if after.impacts is not None or before.minutes is not None:
            assert sum((rung_up > 0, more > 0, longer, after.days > before.days)) <= 1


# --- Minutes and indices ------------------------------------------------------------------


def test_minutes_of_counted_impacts() -> None:
    """Three seconds an impact, a minute's rest after each set of ten: UK consensus 2022."""
    step = ImpactStep(
        place=1, exercise=EXERCISES["soft_heel_raise"], days=3, impacts=50, minutes=None
    )
    assert session_min(step) == counted_min(50) == 7.5
    assert counted_min(41) == pytest.approx(41 * 3 / 60 + 5)
    assert session_min(replace(step, impacts=None)) == 0.0


@pytest.mark.parametrize(
    ("code", "impacts", "sessions", "hip", "spine", "measured"),
    [
        ("soft_heel_raise", 10, 3, 7.2, 14.4, False),
        ("small_jump", 50, 1, 7.86, 15.73, True),
        ("small_jump", 100, 1, 9.23, 18.46, True),
        ("stamp", 50, 1, 10.03, 12.11, True),
        ("gentle_stamp", 50, 4, 32.58, 39.32, False),
    ],
)
def test_indices_of_hip_and_spine(
    code: str, impacts: int, sessions: int, hip: float, spine: float, measured: bool
) -> None:
    """Turner and Robling 2003: force x ln(contacts + 1). Row 20: the hip reads what a leg has, so
    that of fifty stamps twenty-five count; worked by hand from the formula."""
    found = osteogenic_index(EXERCISES[code], impacts, sessions)
    assert found.hip == pytest.approx(hip, abs=0.05)
    assert found.spine == pytest.approx(spine, abs=0.05)
    assert found.measured is measured


@pytest.mark.parametrize(
    ("peak_bw", "impacts", "sessions", "expected", "within"),
    [
        (3.0, 50, 1, 11.80, 0.01),
        (4.0, 50, 1, 15.73, 0.01),
        (4.387, 10, 5, 52.6, 0.1),
        (1.40, 4194, 1, 12.0, 0.8),
    ],
)
def test_the_index_of_printed_doses(
    peak_bw: float, impacts: int, sessions: int, expected: float, within: float
) -> None:
    """Turner and Robling 2003; the weekly row as printed in PMC3737855; a step class of 1.40 body
    weights and 4,194 cycles, whose mean is 12.0 (PMC2465063)."""
    one = replace(EXERCISES["small_jump"], peak_bw=peak_bw)
    assert osteogenic_index(one, impacts, sessions).spine == pytest.approx(expected, abs=within)


def test_a_force_that_nobody_measured_is_a_range_of_a_fifth() -> None:
    guessed = Index(hip=7.2, spine=14.4, measured=False)
    assert guessed.between(guessed.spine) == pytest.approx((11.52, 17.28))
    assert guessed.between(guessed.hip) == pytest.approx((5.76, 8.64))
    assert replace(guessed, measured=True).between(14.4) == (14.4, 14.4)


@pytest.mark.parametrize("peak", [None, 2.0])
def test_an_exercise_without_a_force_has_an_index_of_nothing(peak: float | None) -> None:
    bare = replace(EXERCISES["soft_heel_raise"], leg_bw=None, peak_bw=peak)
    found = osteogenic_index(bare, 10, 1)
    assert (found.hip, found.spine > 0) == (0.0, peak is not None)
    assert aimed_bw(bare, "hip") == 0.0


# --- Exercises that give place (row 29a) ------------------------------------------------------


@pytest.mark.parametrize(
    ("aim", "changed", "gone"),
    [
        ("hip", "stamp", True),
        ("hip", "step_down_low", False),
        ("spine", "forward_step", True),
        ("spine", "small_jump", True),
        ("spine", "held_jump", False),
        ("spine", "soft_heel_raise", False),
        ("hip", "firm_stamp", False),
    ],
)
def test_a_rung_gives_place_to_one_of_no_more_force_and_little_less(
    aim: str, changed: str, gone: bool
) -> None:
    whole = ladder(aim, 4.0, STEP)
    left = ladder(aim, 4.0, STEP, changed=frozenset({changed}))
    assert (left != whole) is gone
    assert [one for one in whole if one.code != changed or not gone] == list(left)
