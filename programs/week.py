"""One week of a program, as drafted, edited, signed and handed out.

The fields are those of a draft/1 week; `None` for a modality means it is not in the week.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class PlateWeek:
    """displacement_mm is peak to peak; setting is what the plate's own panel shows."""

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
    posture: str
    supervised: bool
    rail: bool
    a8_m_s2: float
    vdv_m_s175: float


@dataclass(frozen=True, kw_only=True)
class LiftDose:
    """One exercise and its load; None where no one-repetition maximum is known."""

    exercise: str
    load_kg: float | None


@dataclass(frozen=True, kw_only=True)
class ResistanceWeek:
    """Sets and repetitions of each exercise in each session."""

    sessions: int
    group: str
    sets: int
    reps: int
    percent_1rm: float
    reps_in_reserve: int
    exercises: tuple[LiftDose, ...]


@dataclass(frozen=True, kw_only=True)
class ImpactWeek:
    """Impacts of a session, or its minutes of walking; the index is of the whole week."""

    sessions: int
    impacts: int | None
    minutes: int | None
    peak_bw: float
    exercises: tuple[str, ...]
    osteogenic_index: float | None


@dataclass(frozen=True, kw_only=True)
class BalanceWeek:
    """Minutes of the whole week."""

    sessions: int
    minutes: int
    rung: int
    exercises: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PostureWeek:
    """Minutes of the whole week."""

    sessions: int
    minutes: int
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
