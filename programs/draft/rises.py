"""When each ramp rises: steady weeks, two rises a week at most, and only into free time.

A ramp is a list of places, one a week (rulebook row 26). A week whose rise has to wait keeps its
place (rows 22a, 24, 25), and what follows keeps its own spacing from then on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from programs.dose.impact import ImpactStep
from programs.dose.limit import DRAFT_WEEKS, is_deload
from programs.dose.plate import PlateStep
from programs.dose.resistance import LiftingStep
from safety.findings import Modality

Step = PlateStep | LiftingStep | ImpactStep
#: Of plate, resistance and impact so many may rise in one week (project choice, row 22a).
MOST_RISES = 2


def dose_of(step: Step) -> tuple[object, ...]:
    """Return all of a step that is its dose."""
    if isinstance(step, PlateStep):
        return step.setting, step.bouts, step.bout_s, step.vibration_min
    if isinstance(step, LiftingStep):
        return step.sets, step.reps, step.could_lift, step.own_reps
    return step.exercise.code, step.impacts, step.minutes, step.days


def is_rise(before: Step, after: Step) -> bool:
    """Tell whether a step counts as a rise: a day more, or minutes of walking, does not."""
    if isinstance(before, ImpactStep) and isinstance(after, ImpactStep):
        return (before.exercise.code, before.impacts) != (after.exercise.code, after.impacts)
    return dose_of(before) != dose_of(after)


@dataclass
class _Lane:
    """One ramp on its way through the weeks; `due` is the week in which its next rise was due."""

    steps: Sequence[Step]
    at: int = 0
    due: int | None = None

    @property
    def here(self) -> Step:
        return self.steps[self.at]

    @property
    def next(self) -> Step:
        return self.steps[min(self.at + 1, len(self.steps) - 1)]

    def go_on(self) -> None:
        self.at = min(self.at + 1, len(self.steps) - 1)
        self.due = None

    def wait(self, week: int) -> None:
        self.due = week if self.due is None else self.due


#: Whether nothing rises in a week.
Steady = Callable[[int], bool]
#: Whether a step of a modality has room in a week, with lifting where it stands then.
Room = Callable[[int, Modality, Step, LiftingStep | None], bool]


def ascend(
    ramps_of: Callable[[int], Mapping[Modality, Sequence[Step]]],
    rank: Mapping[Modality, int],
    has_room: Room,
    is_steady: Steady = is_deload,
) -> Iterator[dict[Modality, Step]]:
    """Yield each week's step of plate, resistance and impact; the first week takes place one.

    ramps_of   the ramps that are there in a week; another ramp than before begins at its start
    """
    lanes: dict[Modality, _Lane] = {}
    for week in range(1, DRAFT_WEEKS + 1):
        there = {m: steps for m, steps in ramps_of(week).items() if steps}
        new = {m for m, steps in there.items() if m not in lanes or lanes[m].steps is not steps}
        lanes = {m: _Lane(there[m]) if m in new else lanes[m] for m in there}
        rising = {m: lane for m, lane in lanes.items() if m not in new}
        _rise(week, rising, rank, has_room, is_steady(week))
        yield {m: lane.here for m, lane in lanes.items()}


def _rise(
    week: int,
    lanes: Mapping[Modality, _Lane],
    rank: Mapping[Modality, int],
    has_room: Room,
    steady: bool,
) -> None:
    """Let the ramps go on: who has waited longest goes first, then who is worth more."""
    rising = 0
    for modality in sorted(lanes, key=lambda m: (lanes[m].due or week, rank[m])):
        lane = lanes[modality]
        counted = is_rise(lane.here, lane.next)
        lifting = lanes[Modality.RESISTANCE].here if Modality.RESISTANCE in lanes else None
        assert lifting is None or isinstance(lifting, LiftingStep)
        if dose_of(lane.here) == dose_of(lane.next):
            lane.go_on()
        elif (
            steady
            or (counted and rising == MOST_RISES)
            or not has_room(week, modality, lane.next, lifting)
        ):
            lane.wait(week)
        else:
            rising += counted
            lane.go_on()


Placed = TypeVar("Placed")


def by_calendar(
    steps: Sequence[Placed], dose: Callable[[Placed], object], is_steady: Steady = is_deload
) -> Iterator[Placed | None]:
    """Yield the step of each week of a ramp that only steady weeks hold up; None without one."""
    at = 0
    for week in range(1, DRAFT_WEEKS + 1):
        if not steps:
            yield None
            continue
        after = min(at + 1, len(steps) - 1)
        if week > 1 and (dose(steps[after]) == dose(steps[at]) or not is_steady(week)):
            at = after
        yield steps[at]
