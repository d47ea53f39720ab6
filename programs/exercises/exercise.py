"""What an exercise is, and how the catalogue's ladders link one to the next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from patients.facts import codes
from safety.findings import Modality

#: What an exercise may load: the three sites where bone breaks most, and balance.
SITES = frozenset({"hip", "spine", "wrist", "balance"})
#: What may be needed: what she is asked for, and a plate. A stable wall, bench or kitchen worktop
#: is always there.
EQUIPMENT = frozenset(codes.EQUIPMENT) | {"plate"}
POSITIONS = frozenset({"standing", "seated", "lying", "kneeling"})
#: What an exercise may involve that can be barred for a person.
BARS = frozenset(
    {
        # For the spine.
        "flexion",
        "twist",
        "overhead",
        "floor_lift",
        "jump",
        # Any end-range extension of the low back: spondylolisthesis.
        "arching",
        # For who cannot get there: down to the floor, on the feet (or down to the floor and up
        # again by them), on a seat.
        "floor",
        "kneeling",
        "standing",
        "sitting",
        # After a fracture: either arm with effort or a weight in a hand; on the toes.
        "arms",
        "toe_stand",
        # With a frame: on the feet (or the floor) with no hand on anything fixed.
        "unsupported",
        # For a faller: a one-leg stand with free hands, walking backward, turning the head alone.
        "free_hands",
        "backward",
        "head_turn",
        # Overseen, or used to it.
        "barbell",
    }
)
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
    peak_bw         greatest ground force on the whole body, body weights (impact only), with
                    peak_bw_source
    leg_bw          the most of it on one leg (impact only)
    contacts_of_10  of ten impacts, those that one leg takes (impact only)
    force_measured  somebody measured the force on people like these; False is shown as "about"
    counted         dosed by number; False means dosed by minutes (impact only)
    rung            rung of the balance ladder, from 1; None: done sitting or in bed (balance only)
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
    leg_bw: float | None = None
    contacts_of_10: int = 10
    force_measured: bool = False
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
