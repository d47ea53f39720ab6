"""What an exercise is, and how the catalogue's ladders link one to the next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from safety.findings import Modality

#: What an exercise may load: the three sites where bone breaks most, and balance.
SITES = frozenset({"hip", "spine", "wrist", "balance"})
#: What may be needed. A stable wall, bench or kitchen worktop is always there.
EQUIPMENT = frozenset(
    {
        "chair",
        "step",
        "dumbbells",
        "bands",
        "barbell",
        "leg_press",
        "leg_extension",
        "cable",
        "weighted_vest",
        "plate",
    }
)
POSITIONS = frozenset({"standing", "seated", "lying", "kneeling"})
#: What an exercise may involve that can be barred for a person.
BARS = frozenset({"flexion", "twist", "floor", "floor_lift", "jump", "overhead", "kneeling"})
#: What is barred for a fragile spine. Source: Giangregorio et al. 2014 (loaded, rapid, repeated or
#: end-range flexion and twisting; lifting from the floor); jumps and overhead loads are a
#: project choice, for the clinic to confirm.
SPARE_SPINE_BARS = frozenset({"flexion", "twist", "floor_lift", "jump", "overhead"})


@dataclass(frozen=True, kw_only=True)
class Exercise:
    """One exercise: what it needs, what it loads, and the words for the person who does it.

    equipment       all of it is needed; empty means a stable surface is enough
    steps           three to five instructions, each begins with a verb
    feel, avoid     one sentence each: what should be felt, the commonest mistake
    easier, harder  codes of the neighbours on the same ladder, or None at its end
    peak_bw         greatest ground force, body weights (impact only), with peak_bw_source
    counted         dosed by number; False means dosed by minutes (impact only)
    rung            rung of the balance ladder, from 1 (balance only)
    hold_s          seconds to hold, where it is a hold
    hands_allowed   the person may hold on to something fixed
    bars            what it involves that may be barred for a person
    lift            the lift whose one-repetition maximum sets its load, or None
    loadable        its load can be stated in kg
    fragile_spine   fit for a person with a vertebral fracture or a very fragile spine
    drafted         False: in the catalogue for the clinician's own choice, never drafted
    """

    code: str
    name: str
    modality: Modality
    loads: frozenset[str]
    equipment: frozenset[str] = frozenset()
    position: str
    start: str
    steps: tuple[str, ...]
    feel: str
    avoid: str
    muscles: tuple[str, ...]
    hands_allowed: bool
    on_floor: bool = False
    bars: frozenset[str] = frozenset()
    easier: str | None = None
    harder: str | None = None
    peak_bw: float | None = None
    peak_bw_source: str | None = None
    counted: bool = True
    rung: int | None = None
    hold_s: int | None = None
    lift: str | None = None
    loadable: bool = False
    fragile_spine: bool = True
    drafted: bool = True


def linked(
    exercises: Iterable[Exercise], ladders: Iterable[tuple[str, ...]]
) -> Mapping[str, Exercise]:
    """Return the exercises by code, each told its neighbours on its ladder.

    ladders holds codes from easiest to hardest; a code stands on one ladder at most.
    Raises KeyError for a ladder that names an exercise not given.
    """
    by_code = {exercise.code: exercise for exercise in exercises}
    for ladder in ladders:
        for easy, hard in pairwise(ladder):
            by_code[easy] = replace(by_code[easy], harder=hard)
            by_code[hard] = replace(by_code[hard], easier=easy)
    return by_code
