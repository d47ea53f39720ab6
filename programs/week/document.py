"""Weeks in and out of the draft/1 document: dataclasses and plain data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from programs.week.week import (
    BalanceWeek,
    ImpactIndex,
    ImpactWeek,
    LiftDose,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Stance,
    Week,
)

#: How a document says each part of a plate's posture.
STANCE_WORDS: Mapping[str, str] = {
    Stance.KNEES_BENT: "knees bent 20 to 30 degrees, never locked",
    Stance.KNEES_SOFT: "knees soft, never locked",
    Stance.FOREFOOT: "weight on the forefoot",
    Stance.UPRIGHT: "upright",
    Stance.TWO_HANDS: "two hands on the rail",
    Stance.STILL: "stand still, no exercises",
}
_STANCES = {words: stance for stance, words in STANCE_WORDS.items()}


def read_weeks(documents: Iterable[Mapping[str, Any]]) -> tuple[Week, ...]:
    """Return the weeks of a draft/1 document's list. Raises TypeError for other keys.

    What a document of an older rulebook did not tell is None: could-lift, the force on a leg,
    the index of the hip, near support, holds.
    """
    return tuple(_week(document) for document in documents)


def write_weeks(weeks: Iterable[Week]) -> list[dict[str, Any]]:
    """Return the weeks as a draft/1 document holds them, its sequences as lists."""
    return [_plain(week) for week in weeks]


def posture_words(posture: Iterable[str]) -> str:
    """Return a plate's posture in words, as a document says it."""
    return "; ".join(STANCE_WORDS.get(one, one) for one in posture)


def _posture(words: str) -> tuple[str, ...]:
    told = (piece.strip() for piece in words.split(";"))
    return tuple(_STANCES.get(piece, piece) for piece in told if piece)


def _plain(value: Any) -> Any:
    """Return the fields of a part as plain data; its fields hold parts, tuples and numbers."""
    # By hand, for dataclasses.asdict copies deeply and is a fifth of a draft's time.
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, LiftDose):
        return _lift_out(value)
    if isinstance(value, PlateWeek):
        return _plate_out(value)
    if isinstance(value, _PARTS):
        return {name: _plain(held) for name, held in vars(value).items()}
    return value


def _plate_out(plate: PlateWeek) -> dict[str, Any]:
    told = {**vars(plate), "posture": posture_words(plate.posture)}
    if plate.panel_hz is None:
        del told["panel_hz"]
    return told


def _lift_out(lift: LiftDose) -> dict[str, Any]:
    """Return a lift; one without a load carries its own repetitions, and no percent."""
    told: dict[str, Any] = {"exercise": lift.exercise, "load_kg": lift.load_kg}
    return told if lift.reps is None else {**told, "reps": lift.reps, "percent_1rm": None}


_PARTS = (Week, ResistanceWeek, ImpactWeek, ImpactIndex, BalanceWeek, PostureWeek)


def _week(document: Mapping[str, Any]) -> Week:
    parts = {name: make(document[name]) if document[name] else None for name, make in _MADE.items()}
    return Week(**{**document, **parts})


def _plate(document: Mapping[str, Any]) -> PlateWeek:
    return PlateWeek(**{**document, "posture": _posture(document["posture"])})


def _lifting(document: Mapping[str, Any]) -> ResistanceWeek:
    exercises = tuple(
        LiftDose(exercise=one["exercise"], load_kg=one["load_kg"], reps=one.get("reps"))
        for one in document["exercises"]
    )
    return ResistanceWeek(**{"could_lift": None, **document, "exercises": exercises})


def _jumping(document: Mapping[str, Any]) -> ImpactWeek:
    exercises, index = tuple(document["exercises"]), _index(document["osteogenic_index"])
    return ImpactWeek(
        **{"leg_bw": None, **document, "exercises": exercises, "osteogenic_index": index}
    )


def _index(told: Mapping[str, Any] | float | None) -> ImpactIndex | None:
    """Return the indices; rulebooks before 2027.1 told one, made from the force on the body."""
    if told is None:
        return None
    return ImpactIndex(**told) if isinstance(told, Mapping) else ImpactIndex(hip=None, spine=told)


def _with_exercises(of: type[Any], **untold: None) -> Any:
    return lambda document: of(**{**untold, **document, "exercises": tuple(document["exercises"])})


_MADE = {
    "plate": _plate,
    "resistance": _lifting,
    "impact": _jumping,
    "balance": _with_exercises(BalanceWeek, near_support=None),
    "posture": _with_exercises(PostureWeek, hold_s=None, reps=None),
}
