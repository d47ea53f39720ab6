"""Which exercises to draft for a person: what is possible, and what is worth most."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from programs.exercises.catalogue import EXERCISES, LADDER_OF, of
from programs.exercises.exercise import Exercise
from programs.exercises.regions import (
    ORDER_BY_AIM,
    REGIONS,
    SEATED_ORDER_BY_AIM,
    SEATED_REGIONS,
    TOO_HARD_FOR_WEAK_STANDS,
)
from safety.findings import Modality

SITE_OF_AIM: Mapping[str, str] = {
    "hip": "hip",
    "spine": "spine",
    "wrist": "wrist",
    "falls": "balance",
}
_BONES = frozenset({"hip", "spine", "wrist"})
MOST_LIFTS = 6
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
_POSTURE_SEATED = (
    "sit_tall",
    "trunk_lean",
    "sitting_shoulder_squeeze",
    "sitting_chin_tuck",
    "lying_back_press",
    "lying_head_press",
    "heel_slide",
    "lie_flat",
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
    """Return what can be done with this equipment and involves nothing barred.

    Who may not stand has a seat, recorded or not.
    """
    there = equipment | {"chair"} if "standing" in barred else equipment
    return tuple(
        exercise
        for exercise in of(modality)
        if exercise.equipment <= there and not exercise.bars & barred
    )


def choose_lifts(
    equipment: frozenset[str],
    barred: frozenset[str],
    aims: tuple[str, ...],
    count: int,
    tested: frozenset[str] = frozenset(),
    *,
    weak_stands: bool = False,
    changed: frozenset[str] = frozenset(),
) -> tuple[Exercise, ...]:
    """Return count resistance exercises, most valuable first, so that a cut keeps the best.

    One of each region before a second of any, and never two from one ladder. Within a region:
    off the floor first, then what was tested, then those whose load can be stated, then those
    that load the aims' sites, then table order.

    tested       lifts or codes whose one-repetition maximum is known
    weak_stands  fewer than eight chair stands: the version with hands instead of any without
    changed      give place to another movement of their region, where one as good is possible

    Fewer come back only when no more are possible. Raises ValueError for a count outside 1 to 6.
    """
    if not 1 <= count <= MOST_LIFTS:
        raise ValueError(f"count of lifts is {count}, it must be 1 to {MOST_LIFTS}")
    able = {exercise.code for exercise in possible(Modality.RESISTANCE, equipment, barred)}
    able -= TOO_HARD_FOR_WEAK_STANDS if weak_stands else frozenset()
    chosen: list[str] = []
    while len(chosen) < count:
        before = len(chosen)
        for order in _regions(barred, aims):
            free = able - _movements(chosen)
            best = _best(order, free, aims, tested)
            if best in changed:
                others = _as_good(best, free - _movements(changed), aims)
                best = _best(order, others, aims, tested) or best
            chosen.extend([best] if best else [])
        if len(chosen) == before:
            break
    return tuple(EXERCISES[code] for code in chosen[:count])


def _regions(barred: frozenset[str], aims: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Return the exercises of each region, the most valuable region first."""
    aim = aims[0] if aims else "falls"
    if "standing" in barred:
        return [SEATED_REGIONS[region] for region in SEATED_ORDER_BY_AIM[aim]]
    return [REGIONS[region] for region in ORDER_BY_AIM[aim]]


def _best(
    order: tuple[str, ...], able: set[str], aims: tuple[str, ...], tested: frozenset[str]
) -> str | None:
    sites = _sites(aims)

    def worth(code: str) -> tuple[bool, bool, bool, int, int]:
        exercise = EXERCISES[code]
        known = bool({code, exercise.lift} & tested)
        hits = len(exercise.loads & sites)
        return (exercise.on_floor, not known, not exercise.loadable, -hits, order.index(code))

    return min((code for code in order if code in able), key=worth, default=None)


def _as_good(code: str, others: set[str], aims: tuple[str, ...]) -> set[str]:
    """Return those that may take its place: off the floor, with a load, for bone, if it is so.

    They load one of its bones at least, and no fewer of the sites of the aims.
    """
    one, sites = EXERCISES[code], _sites(aims)
    bones = one.loads & _BONES
    return {
        other.code
        for other in map(EXERCISES.__getitem__, others)
        if other.on_floor <= one.on_floor
        and other.loadable >= one.loadable
        and (not bones or bones & other.loads)
        and len(other.loads & sites) >= len(one.loads & sites)
    }


def _sites(aims: tuple[str, ...]) -> frozenset[str]:
    return frozenset(SITE_OF_AIM[aim] for aim in aims if aim in SITE_OF_AIM)


def _movements(chosen: Iterable[str]) -> set[str]:
    """Return the chosen codes and all that are the same movement, easier or harder."""
    return {same for code in chosen for same in LADDER_OF.get(code, (code,))}


def counted_rungs(
    cap_bw: float,
    equipment: frozenset[str] | None = None,
    barred: frozenset[str] = frozenset(),
) -> tuple[Exercise, ...]:
    """Return the drafted exercises that are counted, up to cap_bw (body weights), by rising force.

    Equipment None means that whatever is needed is there.
    """
    able = (one for one in _impacts(equipment, barred) if one.counted)
    rungs = [one for one in able if one.peak_bw is not None and one.peak_bw <= cap_bw]
    return tuple(sorted(rungs, key=lambda one: one.peak_bw or 0.0))


def walking(equipment: frozenset[str] | None = None) -> Exercise | None:
    """Return the drafted impact that is dosed by minutes; None where it cannot be done."""
    able = (one for one in _impacts(equipment, frozenset()) if not one.counted)
    return next(able, None)


def _impacts(equipment: frozenset[str] | None, barred: frozenset[str]) -> list[Exercise]:
    return [
        one
        for one in of(Modality.IMPACT)
        if one.drafted
        and (equipment is None or one.equipment <= equipment)
        and not one.bars & barred
    ]


def balance_rung(
    n: int | None, barred: frozenset[str] = frozenset(), seated: bool = False
) -> tuple[Exercise, ...]:
    """Return the exercises of rung n of the balance ladder that involve nothing barred.

    Where a rung has none, those of the nearest lower rung that has; none has any: the sitting
    ones. seated, or n None: the sitting ones. Raises ValueError for no such rung.
    """
    if seated or n is None:
        return seated_balance(barred)
    if not 1 <= n <= BALANCE_RUNGS:
        raise ValueError(f"balance rung is {n}, it must be 1 to {BALANCE_RUNGS}")
    rungs = (_on_rung(rung, barred) for rung in range(n, 0, -1))
    return next((able for able in rungs if able), seated_balance(barred))


def seated_balance(barred: frozenset[str] = frozenset()) -> tuple[Exercise, ...]:
    """Return the balance exercises done on a seat; where sitting is barred, those done in bed."""
    able = _on_rung(None, barred)
    return tuple(one for one in able if one.position == "seated") or able


def _on_rung(rung: int | None, barred: frozenset[str]) -> tuple[Exercise, ...]:
    return tuple(one for one in of(Modality.BALANCE) if one.rung == rung and not one.bars & barred)


def posture_set(
    spare_spine: bool,
    count: int,
    *,
    barred: frozenset[str] = frozenset(),
    loaded: bool = False,
) -> tuple[Exercise, ...]:
    """Return count posture exercises: back endurance first, the hip hinge second.

    spare_spine  leave out what a fragile spine should not do
    barred       leave out what involves any of it; no standing: on a seat or lying
    loaded       the back extension with a weight first, where nothing spares the spine

    None needs equipment other than a seat, or the floor. More than there are gives all there
    are, two at least for anybody. Raises ValueError for a count below 1.
    """
    if count < 1:
        raise ValueError(f"count of posture exercises is {count}, it must be 1 or more")
    order = _posture_order(spare_spine, barred, loaded)
    able = [EXERCISES[code] for code in order if not EXERCISES[code].bars & barred]
    return tuple(able[:count])


def _posture_order(spare_spine: bool, barred: frozenset[str], loaded: bool) -> tuple[str, ...]:
    if "standing" in barred:
        return _POSTURE_SEATED
    if spare_spine:
        return _POSTURE_SPARED
    return ("loaded_prone_lift", *_POSTURE[1:]) if loaded else _POSTURE
