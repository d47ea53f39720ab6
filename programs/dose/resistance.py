"""Lifting: groups, the ramp by places, and exercises without a load (rulebook rows 19 to 19c)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from programs.dose.could_lift import MOST, Effort, percent_of
from programs.dose.limit import Limit, Range
from safety.findings import Limits, Modality
from safety.situation import Situation

WARM_UP_MIN = 2.0
SECONDS_A_REPETITION = 4
REST_S = 60
SESSIONS_A_WEEK = 2
EXERCISES = 4
FEWEST_EXERCISES = 2
LEAST_RESERVE = 2
MOST_SETS = 3
TECHNIQUE_WEEKS = 8
#: At least group B from this age on.
B_AGE = 80
#: P(8): five by five, chosen by a clinician; P(14): group C from this week of the ramp on.
FIVE_BY_FIVE_PERCENT = float(percent_of(8))
HEAVIER_C_PERCENT, HEAVIER_C_WEEK = float(percent_of(14)), 12
#: P(30): nothing lighter has a percent, so no clinic's ceiling lies under it (row 19a).
LIGHTEST_PERCENT = float(percent_of(MOST))
#: An exercise without a load: its repetitions (rulebook row 19c).
CHAIR_STANDS = frozenset({"chair_stand", "chair_stand_with_hands"})
UNTESTED_STANDS = 5
OWN_START_REPS = 8
FEWEST_REPS = 3
MOST_OWN_REPS = 12

_RAMP_SOURCES = ("uk2022", "toofit2014", "project")
LIMITS = {
    limit.name: limit
    for limit in (
        Limit(
            name="percent_1rm.A",
            modality=Modality.RESISTANCE,
            value=80,
            unit="% of 1RM",
            text="Group A: at most 80 % (11 times); 86 % (8 times) only in five-by-five after 8 "
            "weeks of technique, overseen or by a regular lifter, with a written reason",
            sources=_RAMP_SOURCES,
            judgement=FIVE_BY_FIVE_PERCENT,
            clinic=Range(text="Load of group A", tightest=LIGHTEST_PERCENT),
            beside="could_lift",
            group="A",
        ),
        Limit(
            name="percent_1rm.B",
            modality=Modality.RESISTANCE,
            value=75,
            unit="% of 1RM",
            text="Group B: at most 75 % (14 times)",
            sources=_RAMP_SOURCES,
            clinic=Range(text="Load of group B", tightest=LIGHTEST_PERCENT),
            beside="could_lift",
            group="B",
            supervised=False,
        ),
        Limit(
            name="percent_1rm.B.supervised",
            modality=Modality.RESISTANCE,
            value=80,
            unit="% of 1RM",
            text="Group B supervised: at most 80 % (11 times); 86 % (8 times) only in "
            "five-by-five after 8 weeks of technique, with a written reason",
            sources=_RAMP_SOURCES,
            judgement=FIVE_BY_FIVE_PERCENT,
            clinic=Range(text="Load of group B, supervised", tightest=LIGHTEST_PERCENT),
            beside="could_lift",
            group="B",
            supervised=True,
        ),
        Limit(
            name="percent_1rm.C",
            modality=Modality.RESISTANCE,
            value=70,
            unit="% of 1RM",
            text="Group C: at most 70 % (17 times); from week 12 on 74 % (14 times), after a "
            "review without fall, break, flag or pain over 3, with a written reason",
            sources=_RAMP_SOURCES,
            judgement=HEAVIER_C_PERCENT,
            clinic=Range(text="Load of group C", tightest=LIGHTEST_PERCENT),
            beside="could_lift",
            group="C",
        ),
        Limit(
            name="reps_in_reserve",
            modality=Modality.RESISTANCE,
            value=LEAST_RESERVE,
            unit="repetitions",
            text="At least 2 repetitions in reserve",
            sources=("uk2022", "project"),
            clinic=Range(text="Repetitions in reserve", tightest=6),
            floor=True,
            beside="reps",
        ),
        Limit(
            name="sessions",
            modality=Modality.RESISTANCE,
            value=SESSIONS_A_WEEK,
            unit="a week",
            text="Two lifting sessions a week, 48 hours apart",
            sources=("gap2013", "uk2022"),
            judgement=3,
            beside="sessions",
        ),
        Limit(
            name="sets",
            modality=Modality.RESISTANCE,
            value=MOST_SETS,
            unit="sets",
            text="At most 3 sets; five only in supervised five-by-five, with a written reason",
            sources=_RAMP_SOURCES,
            judgement=5,
            clinic=Range(text="Sets of an exercise", tightest=1),
            beside="sets",
        ),
    )
}


@dataclass(frozen=True, kw_only=True)
class LiftingStep:
    """One place of the ramp, before exercises and loads are chosen.

    own_reps   of each exercise without a load, by code (row 19c)
    """

    place: int
    sets: int
    reps: int
    could_lift: int
    own_reps: tuple[tuple[str, int], ...] = ()

    @property
    def effort(self) -> Effort:
        """Return the set of an exercise with a load."""
        return Effort(reps=self.reps, could_lift=self.could_lift)


def group_of(s: Situation, limits: Limits) -> str:
    """Return the group A, B or C that lifting and impact are drafted by (rulebook row 19)."""
    very_high = s.fracture_risk.drafted_as == "very_high" and not s.very_high_is_guarded
    if limits.group_c or very_high:
        return "C"
    # Risk that is not known is drafted as high.
    at_least_b = s.seated or s.age >= B_AGE or s.fracture_risk.drafted_as in ("high", "very_high")
    return "B" if at_least_b else "A"


def top_percent(group: str, *, supervised: bool) -> Limit:
    """Return the greatest load of the group."""
    tops = (one for one in LIMITS.values() if one.beside == "could_lift")
    return next(one for one in tops if one.touches(group, supervised=supervised))


#: Sets, repetitions and could-lift of each stage, and its weeks; the last one stays.
Stage = tuple[int, int, int, int]
_LEARNING: tuple[Stage, ...] = ((1, 15, 20, 1), (2, 15, 20, 1))
_TOP: Stage = (3, 8, 11, 2)
_STAGES: Mapping[str, tuple[Stage, ...]] = {
    "A": (*_LEARNING, (3, 15, 20, 4), (3, 12, 17, 2), (3, 10, 14, 2), _TOP),
    "A, new to lifting": (*_LEARNING, (3, 15, 20, 8), (3, 12, 17, 2), (3, 10, 14, 2), _TOP),
    "A, regular": ((3, 10, 14, 2), _TOP),
    "B": (*_LEARNING, (3, 15, 20, 8), (3, 12, 18, 2), (3, 12, 17, 2), (3, 10, 14, 2)),
    "B, regular": ((3, 12, 17, 2), (3, 10, 14, 2)),
    "C": ((1, 8, 30, 1), (1, 10, 30, 1), (2, 10, 30, 2), (2, 10, 25, 2), (2, 10, 22, 2),
          (2, 10, 20, 2), (2, 10, 18, 2), (2, 10, 17, 2), (3, 10, 17, 2), (3, 12, 17, 2)),
    "C, regular": ((2, 10, 25, 2), (2, 10, 22, 2), (2, 10, 20, 2), (2, 10, 18, 2),
                   (2, 10, 17, 2), (3, 10, 17, 2), (3, 12, 17, 2)),
}  # fmt: skip


def stages(
    group: str, *, overseen: bool, experience: str | None, steady: bool
) -> tuple[Stage, ...]:
    """Return the stages of a group (rulebook row 19b).

    overseen     sessions watched by trained staff: group B goes on to N 11
    experience   none, some or regular; None where it was not recorded
    steady       fall risk low and function normal, as a regular lifter of group C must be
    """
    kind = group
    if experience == "regular" and (group != "C" or steady):
        kind = f"{group}, regular"
    if experience == "none" and group == "A":
        kind = "A, new to lifting"
    return (*_STAGES[kind], _TOP) if group == "B" and overseen else _STAGES[kind]


def ramp(
    chosen: Sequence[Stage],
    *,
    floor: int = 0,
    reserve: int = LEAST_RESERVE,
    most_sets: int = MOST_SETS,
    own: Mapping[str, int] = MappingProxyType({}),
    places: int,
) -> tuple[LiftingStep, ...]:
    """Return the places of the ramp, the last stage held to the end.

    floor     the smallest could-lift allowed: stages below it are left out; where none is
              left, the first stage's sets are done at the floor
    reserve   the fewest repetitions left in a set
    own       the first repetitions of each exercise without a load, by code
    """
    within = [one for one in chosen if one[2] >= max(floor, one[1] + reserve)]
    if not within:
        first = chosen[0][2]
        within = [
            (sets, reps, max(floor, reps + reserve), weeks)
            for sets, reps, could_lift, weeks in chosen
            if could_lift == first
        ]
    held = [one for one in within for _ in range(one[3])]
    held += [within[-1]] * (places - len(held))
    return tuple(
        LiftingStep(
            place=place,
            sets=min(sets, most_sets),
            reps=reps,
            could_lift=could_lift,
            own_reps=tuple(
                (code, own_reps(start, (place - 1) // 2)) for code, start in own.items()
            ),
        )
        for place, (sets, reps, could_lift, _) in enumerate(held[:places], 1)
    )


def own_start(code: str, group: str, chair_stands: int | None) -> int:
    """Return the repetitions that an exercise without a load starts with (rulebook row 19c).

    chair_stands   those of the 30 s test; None where it was not done
    """
    if code in CHAIR_STANDS:
        half = UNTESTED_STANDS if chair_stands is None else chair_stands // 2
        return min(max(half, FEWEST_REPS), MOST_OWN_REPS)
    return UNTESTED_STANDS if group == "C" else OWN_START_REPS


def own_reps(start: int, more: int) -> int:
    """Return the repetitions of an exercise without a load: one more every second week, to 12."""
    return min(start + more, MOST_OWN_REPS)


def session_min(sets: int, reps: Sequence[int]) -> float:
    """Return the minutes of a session: warm-up, then each exercise's repetitions and rests."""
    seconds = sum(SECONDS_A_REPETITION * each + REST_S for each in reps)
    return WARM_UP_MIN + sets * seconds / 60
