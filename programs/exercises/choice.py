"""Which exercises to draft for a person: what is possible, and what is worth most."""

from __future__ import annotations

from collections.abc import Mapping

from programs.exercises.catalogue import EXERCISES, LADDER_OF, of
from programs.exercises.exercise import Exercise
from safety.findings import Modality

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
        "worktop_squat",
        "chair_stand_with_hands",
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
#: The regions from most to least valuable for the first aim. The legs always lead.
ORDER_BY_AIM: Mapping[str, tuple[str, ...]] = {
    "hip": ("legs", "hips", "back", "push", "pull"),
    "spine": ("legs", "back", "hips", "push", "pull"),
    "wrist": ("legs", "push", "back", "hips", "pull"),
    "falls": ("legs", "hips", "back", "push", "pull"),
    "strength": ("legs", "hips", "back", "push", "pull"),
}
SITE_OF_AIM: Mapping[str, str] = {
    "hip": "hip",
    "spine": "spine",
    "wrist": "wrist",
    "falls": "balance",
}
MOST_LIFTS = 6
#: The most an impact may reach and still be walking: rulebook rows 5 and 20, body weights.
WALKING_BW = 1.5
BALANCE_RUNGS = max(exercise.rung or 0 for exercise in of(Modality.BALANCE))

#: Posture exercises in the order they are drafted: back endurance and the hip hinge lead.
_POSTURE_SPARED = (
    "lying_back_press",
    "hip_hinge",
    "chin_tuck",
    "lying_head_press",
    "shoulder_blade_squeeze",
    "wall_stand_tall",
    "heel_slide",
    "log_roll",
    "wall_slide",
    "lie_flat",
    "chest_opener",
)
_POSTURE = (
    "prone_lift",
    "hip_hinge",
    "wall_slide",
    "shoulder_blade_squeeze",
    "chin_tuck",
    "wall_stand_tall",
    "lying_back_press",
    "chest_opener",
    "heel_slide",
    "lying_head_press",
    "log_roll",
    "lie_flat",
)


def possible(
    modality: Modality, equipment: frozenset[str], barred: frozenset[str]
) -> tuple[Exercise, ...]:
    """Return what can be done with this equipment and involves nothing barred."""
    return tuple(
        exercise
        for exercise in of(modality)
        if exercise.equipment <= equipment and not exercise.bars & barred
    )


def choose_lifts(
    equipment: frozenset[str], barred: frozenset[str], aims: tuple[str, ...], count: int
) -> tuple[Exercise, ...]:
    """Return count resistance exercises, most valuable first, so that a cut keeps the best.

    One of each region before a second of any, and never two from one ladder. Within a region:
    off the floor first, then those whose load can be stated, then those that load the aims'
    sites, then table order.
    Fewer come back only when no more are possible. Raises ValueError for a count outside 1 to 6.
    """
    if not 1 <= count <= MOST_LIFTS:
        raise ValueError(f"count of lifts is {count}, it must be 1 to {MOST_LIFTS}")
    able = {exercise.code for exercise in possible(Modality.RESISTANCE, equipment, barred)}
    chosen: list[str] = []
    while len(chosen) < count:
        before = len(chosen)
        for region in ORDER_BY_AIM[aims[0] if aims else "falls"]:
            best = _best(region, able - _movements(chosen), aims)
            chosen.extend([best] if best else [])
        if len(chosen) == before:
            break
    return tuple(EXERCISES[code] for code in chosen[:count])


def _best(region: str, able: set[str], aims: tuple[str, ...]) -> str | None:
    sites = frozenset(SITE_OF_AIM[aim] for aim in aims if aim in SITE_OF_AIM)
    order = REGIONS[region]

    def worth(code: str) -> tuple[bool, bool, int, int]:
        exercise = EXERCISES[code]
        hits = len(exercise.loads & sites)
        return (exercise.on_floor, not exercise.loadable, -hits, order.index(code))

    return min((code for code in order if code in able), key=worth, default=None)


def _movements(chosen: list[str]) -> set[str]:
    """Return the chosen codes and all that are the same movement, easier or harder."""
    return {same for code in chosen for same in LADDER_OF.get(code, (code,))}


def impact_ladder(
    cap_bw: float,
    equipment: frozenset[str] | None = None,
    barred: frozenset[str] = frozenset(),
) -> tuple[Exercise, ...]:
    """Return the drafted impact exercises up to cap_bw (body weights) in rising force.

    Up to 1.5, or where the cap leaves no counted exercise, it is walking alone; above, the
    counted rungs alone. Equipment None means that whatever is needed is there.
    """
    rungs = sorted(
        (
            exercise
            for exercise in of(Modality.IMPACT)
            if exercise.drafted
            and exercise.peak_bw is not None
            and exercise.peak_bw <= cap_bw
            and (equipment is None or exercise.equipment <= equipment)
            and not exercise.bars & barred
        ),
        key=lambda exercise: exercise.peak_bw or 0.0,
    )
    counted = tuple(exercise for exercise in rungs if exercise.counted)
    if cap_bw > WALKING_BW and counted:
        return counted
    return tuple(exercise for exercise in rungs if not exercise.counted)


def balance_rung(n: int) -> tuple[Exercise, ...]:
    """Return the exercises of rung n of the balance ladder. Raises ValueError for no such rung."""
    if not 1 <= n <= BALANCE_RUNGS:
        raise ValueError(f"balance rung is {n}, it must be 1 to {BALANCE_RUNGS}")
    return tuple(exercise for exercise in of(Modality.BALANCE) if exercise.rung == n)


def posture_set(spare_spine: bool, count: int) -> tuple[Exercise, ...]:
    """Return count posture exercises: back endurance first, the hip hinge second.

    spare_spine leaves out what a fragile spine should not do. None needs equipment or the
    floor. Raises ValueError for a count below 1; more than there are gives all there are.
    """
    if count < 1:
        raise ValueError(f"count of posture exercises is {count}, it must be 1 or more")
    order = _POSTURE_SPARED if spare_spine else _POSTURE
    return tuple(EXERCISES[code] for code in order[:count])
