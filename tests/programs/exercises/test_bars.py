"""What each exercise involves that may be barred for somebody: by name, and by its own words."""

import pytest

from programs.exercises import (
    EXERCISES,
    SPARE_SPINE_BARS,
    balance_seated,
    of,
    posture_seated,
    resistance_bed,
    resistance_seated,
)
from programs.exercises.exercise import BARS
from safety.findings import Modality
from tests.each import each

ALL = tuple(EXERCISES.values())

#: Read one by one, as a careful physiotherapist would (common practice).
BARRED_BY = {
    "flexion": """
        bench_press deadlift dumbbell_hip_hinge dumbbell_row barbell_squat goblet_squat
    """,
    "twist": "",
    "overhead": "dumbbell_overhead_press barbell_overhead_press lat_pull_down",
    "floor_lift": "deadlift dumbbell_chest_press floor_pick_up",
    "jump": "held_jump small_jump one_leg_hop star_jump",
    "arching": "prone_lift loaded_prone_lift back_leg_raise barbell_overhead_press",
    "floor": "dumbbell_chest_press bird_dog",
    "kneeling": "bird_dog floor_pick_up",
    "standing": """
        plate_knees_bent plate_feet_close plate_feet_wide plate_upright plate_deep_bend
        march brisk_walk soft_heel_raise step_down_low gentle_stamp forward_step stamp held_jump
        small_jump one_leg_hop firm_stamp heel_drop star_jump
        feet_together_held weight_shift semi_tandem side_walk tandem toe_stand one_leg_stand_held
        slow_turn one_leg_stand tandem_walk backward_walk step_over tandem_head_turns
        walk_and_carry
        chin_tuck shoulder_blade_squeeze wall_slide wall_stand_tall hip_hinge chest_opener
        floor_pick_up
        dumbbell_chest_press worktop_push_up wall_push_up barbell_overhead_press band_pull_apart
        biceps_curl towel_wring
        deadlift dumbbell_hip_hinge cable_side_leg band_side_step side_leg_raise back_leg_raise
        dumbbell_row wall_elbow_press bird_dog
        barbell_squat goblet_squat dumbbell_chair_stand vest_chair_stand chair_stand
        chair_stand_with_hands step_up dumbbell_step_up worktop_squat calf_raise
    """,
    "sitting": """
        leg_press leg_extension dumbbell_chair_stand vest_chair_stand chair_stand
        chair_stand_with_hands band_leg_press cable_row band_row bench_press band_chest_press
        dumbbell_overhead_press chair_press_up lat_pull_down log_roll
        sitting_march knee_straightening sitting_toe_heel_raise band_knees_apart
        sitting_elbow_press sitting_palm_press sitting_curl sitting_towel_wring
        sitting_reach sitting_weight_shift sitting_foot_lift
        sit_tall trunk_lean sitting_shoulder_squeeze sitting_chin_tuck
    """,
    "arms": """
        bench_press dumbbell_chest_press band_chest_press worktop_push_up wall_push_up
        dumbbell_overhead_press barbell_overhead_press chair_press_up lat_pull_down
        band_pull_apart biceps_curl towel_wring
        deadlift dumbbell_hip_hinge cable_side_leg cable_row dumbbell_row band_row
        wall_elbow_press bird_dog
        barbell_squat goblet_squat dumbbell_chair_stand vest_chair_stand chair_stand_with_hands
        dumbbell_step_up band_leg_press
        sitting_elbow_press sitting_palm_press sitting_curl sitting_towel_wring
        bed_chest_press propped_arm_raise bed_elbow_press
        held_jump star_jump walk_and_carry sitting_reach propped_reach
        lying_back_press log_roll shoulder_blade_squeeze wall_slide chest_opener prone_lift
        loaded_prone_lift floor_pick_up
    """,
    "toe_stand": """
        soft_heel_raise heel_drop toe_stand backward_walk calf_raise sitting_toe_heel_raise
        worktop_push_up floor_pick_up
    """,
    "unsupported": """
        barbell_squat goblet_squat dumbbell_chair_stand vest_chair_stand chair_stand
        dumbbell_step_up deadlift dumbbell_hip_hinge wall_elbow_press bird_dog
        dumbbell_chest_press barbell_overhead_press band_pull_apart biceps_curl towel_wring
        star_jump small_jump chin_tuck shoulder_blade_squeeze wall_stand_tall hip_hinge
        one_leg_stand walk_and_carry
    """,
    "free_hands": "one_leg_stand one_leg_hop",
    "backward": "backward_walk",
    "head_turn": "tandem_head_turns",
    "barbell": "bench_press barbell_squat deadlift barbell_overhead_press",
}
#: Rulebook row 5a: not for a fragile spine, in lifting and in posture.
NOT_FOR_A_FRAGILE_SPINE = """
    bench_press deadlift dumbbell_hip_hinge dumbbell_row barbell_squat goblet_squat
    dumbbell_overhead_press barbell_overhead_press
    lat_pull_down dumbbell_chest_press floor_pick_up prone_lift loaded_prone_lift
"""


@pytest.mark.parametrize("bar", sorted(BARS))
def test_the_exercises_that_a_bar_takes_away(bar):
    assert {one.code for one in ALL if bar in one.bars} == set(BARRED_BY[bar].split())


def test_what_is_not_for_a_fragile_spine_in_lifting_and_posture():
    trained = (*of(Modality.RESISTANCE), *of(Modality.POSTURE), *of(Modality.BALANCE))
    unfit = {one.code for one in trained if not one.fragile_spine}
    assert unfit == set(NOT_FOR_A_FRAGILE_SPINE.split())


def test_a_fragile_spine_is_never_offered_what_is_barred_for_it():
    assert not [one.code for one in ALL if one.fragile_spine and one.bars & SPARE_SPINE_BARS]


def test_a_lift_unfit_for_a_fragile_spine_is_barred_by_what_it_involves():
    unfit = [one for one in of(Modality.RESISTANCE) if not one.fragile_spine]
    assert unfit
    assert all(one.bars & SPARE_SPINE_BARS for one in unfit)


def words(exercise):
    return " ".join((exercise.name, exercise.start, *exercise.steps)).lower()


#: What the words of an exercise say, and the bar that must go with them.
TOLD = (
    ("stand up", "standing"),
    ("stand tall", "standing"),
    ("walk", "standing"),
    ("kneel", "kneeling"),
    ("on a mat", "standing"),
    ("sit tall", "sitting"),
    ("sit well back", "sitting"),
    ("a weight in each hand", "arms"),
    ("in both hands", "arms"),
    ("over your head", "overhead"),
    ("onto your toes", "toe_stand"),
    ("hands free", "free_hands"),
    ("walking backward", "backward"),
    ("turn your head", "head_turn"),
    ("the bar ", "arms"),
)


@pytest.mark.parametrize(("said", "bar"), TOLD)
def test_the_words_have_their_bar(said, bar):
    found = [one for one in ALL if said in words(one)]
    assert found
    assert [one.code for one in found if bar not in one.bars] == []


@each("exercise", ALL, ids=lambda one: one.code)
def test_position_floor_and_equipment_have_their_bars(exercise):
    held = exercise.equipment & {"dumbbells", "barbell"}
    told = (
        (exercise.position == "standing", "standing"),
        (exercise.start.startswith("Stand "), "standing"),
        (exercise.on_floor, "standing"),
        (exercise.position == "seated", "sitting"),
        (bool(held), "arms"),
        ("standing" in exercise.bars and not exercise.hands_allowed, "unsupported"),
        ("barbell" in exercise.equipment, "barbell"),
    )
    assert [bar for holds, bar in told if holds and bar not in exercise.bars] == []
    assert ("barbell" in exercise.bars) == ("barbell" in exercise.equipment)


@pytest.mark.parametrize(
    "table", [resistance_seated, resistance_bed, balance_seated, posture_seated]
)
def test_nothing_of_the_seated_program_leads_to_an_exercise_on_the_feet(table):
    neighbours = {
        code
        for declared in table.EXERCISES
        for code in (EXERCISES[declared.code].easier, EXERCISES[declared.code].harder)
        if code
    }
    assert not [code for code in neighbours if "standing" in EXERCISES[code].bars]
