"""One week of a program, as drafted, edited, signed and handed out.

The fields are those of a draft/1 week; `None` for a modality means it is not in the week.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patients.facts.codes import DAYS
from safety.findings import Modality

WEEK = tuple(DAYS)


class Stance(StrEnum):
    """One part of how to stand on a plate."""

    KNEES_BENT = "knees_bent"
    KNEES_SOFT = "knees_soft"
    FOREFOOT = "forefoot"
    UPRIGHT = "upright"
    TWO_HANDS = "two_hands"
    STILL = "still"


@dataclass(frozen=True, kw_only=True)
class PlateWeek:
    """displacement_mm is peak to peak; setting is what the plate's own panel shows.

    panel_hz  the frequency that the panel shows, where it is not the one that was measured
    posture   each a Stance; one that is none of these stands in the words it was written in
    """

    plate: str
    sessions: int
    frequency_hz: float
    displacement_mm: float | None
    setting: float | None
    peak_g: float
    bouts: int | None
    bout_s: int | None
    rest_s: int | None
    vibration_min: float
    posture: tuple[str, ...]
    supervised: bool
    rail: bool
    a8_m_s2: float
    vdv_m_s175: float
    panel_hz: float | None = None

    @property
    def shown_hz(self) -> float:
        """Return the frequency that the plate is set to."""
        return self.frequency_hz if self.panel_hz is None else self.panel_hz


@dataclass(frozen=True, kw_only=True)
class LiftDose:
    """One exercise and its load; None where no one-repetition maximum is known.

    reps   its own repetitions, of an exercise that has no load (rulebook row 19c); else None
    """

    exercise: str
    load_kg: float | None
    reps: int | None = None


@dataclass(frozen=True, kw_only=True)
class ResistanceWeek:
    """Sets and repetitions of each exercise in each session.

    could_lift   how often the weight could be lifted at most; percent_1rm and reps_in_reserve
                 follow from it; all three None where no exercise has a load
    """

    sessions: int
    group: str
    sets: int
    reps: int
    could_lift: int | None
    percent_1rm: float | None
    reps_in_reserve: int | None
    exercises: tuple[LiftDose, ...]


@dataclass(frozen=True, kw_only=True)
class ImpactIndex:
    """The osteogenic index of a week for the hip and for the spine, each the middle of a range."""

    hip: float | None
    spine: float


@dataclass(frozen=True, kw_only=True)
class ImpactWeek:
    """Impacts of a session, or its minutes of walking; the index is of the whole week.

    peak_bw, leg_bw   force on the whole body, and the most of it on one leg, in body weights
    """

    sessions: int
    impacts: int | None
    minutes: int | None
    peak_bw: float
    leg_bw: float | None
    exercises: tuple[str, ...]
    osteogenic_index: ImpactIndex | None


@dataclass(frozen=True, kw_only=True)
class BalanceWeek:
    """Minutes of the whole week; rung None in a seated program."""

    sessions: int
    minutes: int
    rung: int | None
    near_support: bool | None
    exercises: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PostureWeek:
    """Minutes of the whole week; seconds of each hold, and repetitions of each exercise."""

    sessions: int
    minutes: int
    hold_s: int | None
    reps: int | None
    exercises: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Week:
    """One week; minutes are those of all its sessions, rests included."""

    week: int
    minutes: float
    plate: PlateWeek | None
    resistance: ResistanceWeek | None
    impact: ImpactWeek | None
    balance: BalanceWeek | None
    posture: PostureWeek | None


Part = PlateWeek | ResistanceWeek | ImpactWeek | BalanceWeek | PostureWeek


def part_of(week: Week, modality: Modality) -> Part | None:
    """Return what the week holds of a modality."""
    part: Part | None = getattr(week, modality)
    return part


def exercise_codes(part: Part | None) -> tuple[str, ...]:
    """Return the exercises of a part of a week, in its order; a plate has none."""
    match part:
        case None | PlateWeek():
            return ()
        case ResistanceWeek():
            return tuple(one.exercise for one in part.exercises)
        case _:
            return part.exercises
