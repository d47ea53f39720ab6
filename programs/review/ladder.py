"""The places of a ramp (rulebook row 26): which dose stands at which, where it ends, steps back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from programs.dose.impact import ImpactStep
from programs.dose.plate import PlateStep
from programs.dose.resistance import LiftingStep
from programs.draft.draft import Draft
from programs.draft.ramps import BalanceStep, PostureStep, whole
from programs.draft.resume import Resume
from safety.findings import Modality

#: So many places are worked out; every ramp has ended long before.
PLACES = 104
Placed = PlateStep | LiftingStep | ImpactStep | BalanceStep | PostureStep
Dose = tuple[object, ...]


@dataclass(frozen=True, kw_only=True)
class Ladder:
    """The doses of the places of one ramp, from place 1; none where there is no ramp.

    end       the place of the last rise: the end of a ramp keeps its place
    counted   impact that is counted, at place 1
    """

    doses: tuple[Dose, ...]
    end: int
    counted: bool = False

    @classmethod
    def of(cls, steps: Sequence[Placed], *, loaded: bool = True) -> Ladder:
        """Return the ladder of a ramp; loaded: any of the lifts has a load."""
        whole_steps = [_without_place(step) for step in steps]
        rises = [n for n in range(1, len(steps)) if whole_steps[n] != whole_steps[n - 1]]
        first = steps[0] if steps else None
        return cls(
            doses=tuple(_dose(step, loaded) for step in steps),
            end=rises[-1] + 1 if rises else 1,
            counted=isinstance(first, ImpactStep) and first.impacts is not None,
        )

    def place(self, place: int) -> int:
        """Return a place as it counts: none beyond the end."""
        return min(place, self.end)

    def back(self, place: int, steps: int) -> int:
        """Return the place so many steps back: of the last dose that differed; 1 at the least."""
        doses = self.doses[: self.place(place)]
        for _ in range(steps):
            held = [n for n, dose in enumerate(doses, 1) if dose != doses[-1]]
            if not held:
                return 1
            doses = doses[: held[-1]]
        return max(1, len(doses))

    def same_to(self, other: Ladder, place: int) -> bool:
        """Tell whether the two are one up to a place."""
        return bool(self.doses) and self.doses[:place] == other.doses[:place]


def _without_place(step: Placed) -> Placed:
    same: Any = {"changed": ""} if isinstance(step, PlateStep) else {}
    return replace(step, place=0, **same)


def _dose(step: Placed, loaded: bool) -> Dose:
    """Return what of a step is compared: neither days, nor what an exercise alone has."""
    match step:
        case PlateStep():
            at = step.setting
            return at.frequency_hz, at.displacement_mm, step.bouts, step.bout_s, step.vibration_min
        case LiftingStep():
            own = () if loaded else step.own_reps
            return (step.sets, own) if own else (step.sets, step.reps, step.could_lift)
        case ImpactStep():
            return step.exercise.code, step.impacts, step.minutes
        case BalanceStep():
            return step.minutes, step.rung
        case _:
            return step.minutes, step.hold_s, step.reps, step.loaded


@dataclass(frozen=True, kw_only=True)
class Ladders:
    """The ladder of each modality by a draft; impact without lifting is walking.

    plate   the name of the plate
    """

    of: dict[Modality, Ladder]
    walk: Ladder
    plate: str

    @classmethod
    def by(cls, made: Draft, resume: Resume) -> Ladders:
        """Return the ladders that a draft goes up."""
        fit = made.plate_fit
        ramps = whole(made.screen, fit, resume, made.clinic, PLACES)
        return cls(
            of={
                Modality.PLATE: Ladder.of(ramps.plate),
                Modality.RESISTANCE: Ladder.of(ramps.lifting, loaded=ramps.loaded),
                Modality.IMPACT: Ladder.of(ramps.impact),
                Modality.BALANCE: Ladder.of(ramps.balance),
                Modality.POSTURE: Ladder.of(ramps.posture),
            },
            walk=Ladder.of(ramps.walk),
            plate=fit.plate.name if fit else "",
        )

    def ladder(self, modality: Modality, *, lifting: bool) -> Ladder:
        """Return the ladder of a modality, beside lifting or without it."""
        walks = modality is Modality.IMPACT and not lifting
        return self.walk if walks else self.of[modality]
