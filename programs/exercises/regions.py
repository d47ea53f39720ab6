"""The regions of the body that lifting trains: their exercises, and which region comes first."""

from __future__ import annotations

from collections.abc import Mapping

#: Resistance exercises by region, the one to draft first in front.
#: Project choice, for the clinic to confirm: machines guide the movement and are easy to load.
REGIONS: Mapping[str, tuple[str, ...]] = {
    "legs": (
        "leg_press",
        "dumbbell_chair_stand",
        "vest_chair_stand",
        "goblet_squat",
        "barbell_squat",
        "leg_extension",
        "dumbbell_step_up",
        "band_leg_press",
        "step_up",
        "chair_stand",
        "chair_stand_with_hands",
        "worktop_squat",
        "calf_raise",
    ),
    "hips": (
        "dumbbell_hip_hinge",
        "cable_side_leg",
        "deadlift",
        "bridge",
        "band_side_step",
        "side_leg_raise",
        "back_leg_raise",
    ),
    "back": ("cable_row", "dumbbell_row", "band_row", "wall_elbow_press", "bird_dog"),
    "push": (
        "dumbbell_chest_press",
        "dumbbell_overhead_press",
        "bench_press",
        "barbell_overhead_press",
        "band_chest_press",
        "worktop_push_up",
        "wall_push_up",
        "chair_press_up",
    ),
    "pull": ("lat_pull_down", "biceps_curl", "band_pull_apart", "towel_wring"),
}
#: The same for somebody who does not stand. Project choice, for the clinic to confirm: on a seat
#: before in bed, and nothing on the feet.
SEATED_REGIONS: Mapping[str, tuple[str, ...]] = {
    "legs": (
        "leg_press",
        "leg_extension",
        "band_leg_press",
        "knee_straightening",
        "sitting_toe_heel_raise",
        "bed_knee_straightening",
    ),
    "hips": ("band_knees_apart", "sitting_march", "bridge", "lying_side_slide"),
    "back": ("cable_row", "band_row", "sitting_elbow_press", "bed_elbow_press"),
    "push": (
        "dumbbell_overhead_press",
        "bed_chest_press",
        "bench_press",
        "band_chest_press",
        "sitting_palm_press",
        "chair_press_up",
        "propped_arm_raise",
    ),
    "pull": ("lat_pull_down", "sitting_curl", "sitting_towel_wring"),
}
#: The regions from most to least valuable for the first aim. The legs always lead.
ORDER_BY_AIM: Mapping[str, tuple[str, ...]] = {
    "hip": ("legs", "hips", "back", "push", "pull"),
    "spine": ("legs", "back", "hips", "push", "pull"),
    "wrist": ("legs", "push", "back", "hips", "pull"),
    "falls": ("legs", "hips", "back", "push", "pull"),
    "strength": ("legs", "hips", "back", "push", "pull"),
}
#: The same for somebody who does not stand: arms and back move her about, so they come early.
#: Project choice, for the clinic to confirm.
SEATED_ORDER_BY_AIM: Mapping[str, tuple[str, ...]] = {
    "hip": ("legs", "back", "push", "hips", "pull"),
    "spine": ("back", "push", "legs", "hips", "pull"),
    "wrist": ("push", "back", "legs", "pull", "hips"),
    "falls": ("legs", "back", "push", "hips", "pull"),
    "strength": ("back", "push", "legs", "pull", "hips"),
}
#: Too hard for legs that stand up fewer than eight times in half a minute (rulebook row 19c); the
#: chair stand with hands takes their place.
TOO_HARD_FOR_WEAK_STANDS = frozenset(
    {
        "chair_stand",
        "dumbbell_chair_stand",
        "vest_chair_stand",
        "goblet_squat",
        "barbell_squat",
        "step_up",
        "dumbbell_step_up",
    }
)
