"""What the screen comes to for one person's draft: group, floors, caps, exercises, 1RMs."""

from __future__ import annotations

from typing import Any

import pytest

from programs.dose.in_force import AS_PUBLISHED
from programs.draft import person
from programs.draft.resume import FRAGILE_CAP, FROM_THE_START, Resume
from programs.exercises import SPARE_SPINE_BARS
from safety.screen import Screen, screen
from tests.people import fracture, scan, steady

BED, CHAIR = {"mobility": "bed"}, {"mobility": "wheelchair"}
FALLER = {"falls": {"last_12_months": 2}}
VERTEBRA = {"fractures": [fracture("vertebra", "2021-04-01")]}
OSTEOPOROSIS = {"scans": [scan(t=-2.6, z=-1.0)]}
WEAK = {"tests": {"chair_stands_30s": 7}}
BACK_PAIN = {"conditions": {"chronic_back_pain": "yes"}}
KNEES = {"conditions": {"osteoarthritis": {"answer": "yes", "degree": "severe"}}}
WATCHED = {"supervised": "yes"}


def seen(**changes: Any) -> Screen:
    return screen(steady(**changes))


@pytest.mark.parametrize(
    ("changes", "group"),
    [
        ({}, "A"),
        (OSTEOPOROSIS, "B"),
        ({"person": {"born": "1945-08-14"}}, "B"),
        (FALLER, "C"),
        (VERTEBRA, "C"),
        ({"scans": [scan(t=-3.2, z=-1.0)]}, "C"),
        # Row 19: only by T from -3.0 to -3.4, the spine imaged and sound.
        (
            {
                "scans": [scan(t=-3.2, z=-1.0)],
                "spine_image": {"answer": "yes", "on": "2025-11-03"},
            },
            "B",
        ),
        ({"fractures": [fracture("wrist", "2024-06-01")]}, "B"),
        ({"fractures": [fracture("wrist", "2025-06-01")]}, "C"),
    ],
)
def test_group_follows_risk_age_and_function(changes: dict[str, Any], group: str) -> None:
    assert person.group(seen(**changes)) == group


def test_steady_is_low_fall_risk_and_normal_function() -> None:
    assert person.is_steady(seen())
    assert not person.is_steady(seen(**FALLER))
    assert not person.is_steady(seen(tests={"up_and_go_s": 16}))


def test_experience_is_read_for_lifting_and_for_impact() -> None:
    both = seen(experience={"resistance": "regular", "impact": "none"})
    assert (person.experience(both, "resistance"), person.experience(both, "impact")) == (
        "regular",
        "none",
    )
    assert person.experience(seen(experience=None), "impact") is None


@pytest.mark.parametrize(
    ("changes", "group", "least"),
    [
        ({}, "A", 11),
        ({}, "B", 14),
        ({"resources": WATCHED}, "B", 11),
        ({}, "C", 17),
        (BACK_PAIN, "A", 17),  # a precaution
        ({"tests": {"resting_bp": [164, 90]}}, "A", 25),  # pressure
    ],
)
def test_the_floor_is_the_group_s_or_the_finding_s(
    changes: dict[str, Any], group: str, least: int
) -> None:
    """Rows 7 to 10 and 19a."""
    assert person.least_could_lift(seen(**changes), group) == least


def test_lifting_stages_follow_who_watches_and_what_was_done_before() -> None:
    assert person.lifting_stages(seen(), "B")[-1][2] == 14
    assert person.lifting_stages(seen(resources=WATCHED), "B")[-1][2] == 11
    regular = seen(experience={"resistance": "regular"})
    assert person.lifting_stages(regular, "A")[0][2] == 14


def test_no_jumps_and_the_caps_of_impact() -> None:
    """Row 20: A 4 BW, 3 where fall risk is not low; "no jumps" 2 BW."""
    assert (person.no_jumps(seen()), person.impact_cap_bw(seen(), "A")) == (False, 4.0)
    assert (person.no_jumps(seen(**KNEES)), person.impact_cap_bw(seen(**KNEES), "A")) == (True, 2.0)
    unsteady = seen(falls={"unsteady": "yes"})
    assert person.impact_cap_bw(unsteady, "A") == 3.0
    assert person.impact_cap_bw(seen(), "C") == 1.5


def test_what_impact_depends_on_and_the_same_for_walking() -> None:
    asked = person.impact_asked(seen(**KNEES, aims=["spine", "hip"]), "A", 5, AS_PUBLISHED)
    assert (asked.aim, asked.cap, asked.days, asked.barred) == ("spine", 2.0, 5, {"jump"})
    assert asked.experience == "none"
    assert asked.most.days is None
    assert person.walking_only(asked).cap == 1.5
    assert person.impact_asked(seen(aims=[]), "A", 5, AS_PUBLISHED).aim == "falls"


def test_equipment_that_was_not_recorded_is_none() -> None:
    assert "leg_press" in person.equipment(seen())
    assert person.equipment(seen(resources=None)) == frozenset()


def test_the_plate_is_held_to_one_g_until_a_review_lifts_it() -> None:
    assert person.plate_cap_g(seen(), FROM_THE_START) is None
    assert person.plate_cap_g(seen(**FALLER), FROM_THE_START) == 1.0
    assert person.plate_cap_g(seen(**FALLER), Resume(lifted=frozenset({FRAGILE_CAP}))) is None


@pytest.mark.parametrize(
    ("changes", "half"),
    [
        ({}, False),
        (FALLER, True),
        ({"tests": {"up_and_go_s": 16}}, True),
        ({"aims": ["falls", "hip"]}, True),
        ({"aims": ["hip", "falls"]}, False),
        ({"aims": []}, True),
    ],
)
def test_who_has_half_of_her_minutes_for_balance(changes: dict[str, Any], half: bool) -> None:
    """Row 24."""
    assert person.balance_has_half(seen(**changes)) is half


def test_near_support_for_a_faller_and_under_a_precaution() -> None:
    """Row 21."""
    assert not person.near_support(seen())
    assert person.near_support(seen(**FALLER))
    assert person.near_support(seen(conditions={"vertigo": "yes"}))


def test_rungs_rise_where_fall_risk_is_low_and_stay_elsewhere() -> None:
    """Row 21: all stances held opens rung 4; one higher every 4 weeks."""
    assert person.balance_rungs(seen(), 9) == (4, 4, 4, 4, 5, 5, 5, 5, 6)
    assert set(person.balance_rungs(seen(falls={"unsteady": "yes"}), 9)) == {4}
    low = seen(tests={"tandem_s": 4}, falls={"unsteady": "yes"})
    assert set(person.balance_rungs(low, 3)) == {3}


@pytest.mark.parametrize("beside", [{}, {"supervised": "yes"}, {"watcher": "yes"}])
def test_a_faller_stays_on_rung_4_unless_watched(beside: dict[str, str]) -> None:
    assert set(person.balance_rungs(seen(**FALLER, resources=beside), 9)) == {4}
    assert person.balance_rungs(seen(**FALLER, resources=None), 2) == (4, 4)


def test_who_sits_has_no_rung() -> None:
    assert person.balance_rungs(seen(person=CHAIR), 2) == (None, None)


def test_a_faller_has_no_free_hands_backward_or_head_turns() -> None:
    """Row 21."""
    usual, faller = seen(), seen(**FALLER)
    involved = {bar for rung in range(1, 5) for one in person.balance_exercises(faller, rung)
                for bar in one.bars}  # fmt: skip
    assert not involved & {"free_hands", "backward", "head_turn"}
    harder = {bar for rung in range(4, 7) for one in person.balance_exercises(usual, rung)
              for bar in one.bars}  # fmt: skip
    assert harder & {"free_hands", "backward", "head_turn"}


def test_balance_keeps_off_the_toes_while_a_toe_mends() -> None:
    """Row 4."""
    toe = seen(fractures=[fracture("toe", "2026-02-10", healed="no")])
    for rung in range(1, 7):
        assert not any("toe_stand" in one.bars for one in person.balance_exercises(toe, rung))


@pytest.mark.parametrize(
    ("changes", "barred"),
    [
        ({}, {"floor_lift", "barbell"}),
        ({"resources": WATCHED}, set()),
        ({"experience": {"resistance": "regular"}}, {"floor_lift"}),
        (
            {"experience": {"resistance": "regular"}, **FALLER},
            {*SPARE_SPINE_BARS, *person.FALLER_BARS, "barbell"},
        ),
        ({**VERTEBRA, "resources": WATCHED}, SPARE_SPINE_BARS),
        ({**KNEES, "resources": WATCHED}, {"jump"}),
        ({"person": CHAIR, "resources": WATCHED}, {"standing"}),
        ({"person": BED, "resources": WATCHED}, {"standing", "sitting"}),
        (
            {"conditions": {"spondylolisthesis": "yes"}, "resources": WATCHED},
            {"arching", *SPARE_SPINE_BARS},
        ),
        (
            {"fractures": [fracture("humerus", "2026-01-10", healed="no")]},
            {"arms", "barbell", "floor_lift"},
        ),
        ({"fractures": [fracture("toe", "2026-02-10", healed="no")]}, {"toe_stand"}),
    ],
)
def test_what_is_barred_for_whom(changes: dict[str, Any], barred: set[str]) -> None:
    found = person.barred(seen(**changes))
    assert found >= barred
    if not {"person", "conditions", "fractures"} & changes.keys():
        assert found == barred


def test_weak_stands_get_the_version_with_hands() -> None:
    """Row 19c: under 8 chair stands, or attempted, not possible."""
    own = {"resources": {"equipment": ["chair"]}, "lifts": []}
    strong = {one.code for one in person.lifts(seen(**own), 4)}
    assert "chair_stand_with_hands" not in strong
    for tests in (
        {"chair_stands_30s": 7},
        {"chair_stands_30s": None, "unable": ["chair_stands_30s"]},
    ):
        weak = {one.code for one in person.lifts(seen(**own, tests=tests), 4)}
        assert "chair_stand_with_hands" in weak
        assert "chair_stand" not in weak


def test_a_lift_that_was_tested_comes_before_one_that_was_not() -> None:
    """Row 19d."""
    press = [{"lift": "leg_extension", "kg": 20, "reps": 10, "on": "2026-03-02"}]
    codes = [one.code for one in person.lifts(seen(lifts=press), 4)]
    assert "leg_extension" in codes
    assert "leg_press" not in codes


def test_the_back_is_loaded_only_where_nothing_spares_it() -> None:
    """Row 22."""
    assert person.may_load_the_back(seen(), "A")
    assert not person.may_load_the_back(seen(), "C")
    assert not person.may_load_the_back(seen(**VERTEBRA), "B")
    loaded = person.posture_exercises(seen(), loaded=True)
    assert loaded[0].code == "loaded_prone_lift"
    assert all(
        one.fragile_spine for one in person.posture_exercises(seen(**VERTEBRA), loaded=False)
    )


def one_rm(on: str | None, **changes: Any) -> float | None:
    lift = {"lift": "leg_press", "kg": 60, "reps": 8, **({"on": on} if on else {})}
    return person.one_rms(seen(lifts=[lift], **changes)).get("leg_press")


@pytest.mark.parametrize(
    ("on", "share"),
    [
        ("2026-03-02", 1.0),
        ("2025-09-02", 1.0),  # six months: the day named is inside
        ("2025-09-01", 0.8),
        ("2025-03-02", 0.8),
        ("2025-03-01", None),
        (None, None),
    ],
)
def test_a_set_to_fatigue_counts_six_months_and_four_fifths_to_twelve(
    on: str | None, share: float | None
) -> None:
    """Row 19d; 60 kg eight times is 69.8 kg by Kemmler 2006."""
    found = one_rm(on)
    assert found == (None if share is None else pytest.approx(69.8 * share, abs=0.05))


@pytest.mark.parametrize(
    "laid_up",
    [
        {"fractures": [fracture("wrist", "2025-12-01")]},
        {"conditions": {"joint_replacement": {"answer": "yes", "on": "2025-12-01"}}},
        {"conditions": {"recent_surgery": {"answer": "yes", "on": "2025-12-01"}}},
    ],
)
def test_a_set_before_a_fracture_or_an_operation_does_not_count(laid_up: dict[str, Any]) -> None:
    assert one_rm("2025-11-30", **laid_up) is None
    assert one_rm("2025-12-02", **laid_up) is not None


def test_the_newest_set_counts_and_one_outside_the_equation_leaves_none() -> None:
    older = {"lift": "leg_press", "kg": 60, "reps": 8, "on": "2026-02-01"}
    newer = {"lift": "leg_press", "kg": 40, "reps": 8, "on": "2026-03-01"}
    best = person.one_rms(seen(lifts=[newer, older]))
    assert best["leg_press"] == pytest.approx(46.5, abs=0.05)
    assert person.one_rms(seen(lifts=[older, {**newer, "reps": 21}])) == {}
    assert person.one_rms(seen(lifts=None)) == {}
