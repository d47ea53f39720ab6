"""Parts of one week of a program, each the least that it needs; a test changes what it is about."""

from typing import Any

from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    LiftDose,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
)


def lifting(**more: Any) -> ResistanceWeek:
    held: dict[str, Any] = {
        "sessions": 2,
        "group": "A",
        "sets": 3,
        "reps": 8,
        "could_lift": 11,
        "percent_1rm": 80,
        "reps_in_reserve": 3,
        "exercises": (LiftDose(exercise="leg_press", load_kg=None),),
    }
    return ResistanceWeek(**held | more)


def jumping(peak_bw: float, *exercises: str) -> ImpactWeek:
    return ImpactWeek(
        sessions=3,
        impacts=10,
        minutes=None,
        peak_bw=peak_bw,
        leg_bw=None,
        exercises=exercises,
        osteogenic_index=None,
    )


def balancing(rung: int | None, *, near: bool | None = True, of: tuple[str, ...] = ()) -> Part:
    return BalanceWeek(sessions=3, minutes=75, rung=rung, near_support=near, exercises=of)


def upright(*exercises: str) -> PostureWeek:
    return PostureWeek(sessions=3, minutes=15, hold_s=None, reps=None, exercises=exercises)


def vibrating(**more: Any) -> PlateWeek:
    held: dict[str, Any] = {
        "plate": "at home",
        "sessions": 3,
        "frequency_hz": 25,
        "displacement_mm": 1.0,
        "setting": 1.0,
        "peak_g": 1.26,
        "bouts": 4,
        "bout_s": 30,
        "rest_s": 60,
        "vibration_min": 2.0,
        "posture": (),
        "supervised": True,
        "rail": True,
        "a8_m_s2": 0.1,
        "vdv_m_s175": 1.0,
    }
    return PlateWeek(**held | more)
