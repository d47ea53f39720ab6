"""Weeks in and out of the draft/1 document: the dataclasses of programs.week and plain data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from programs.week import (
    BalanceWeek,
    ImpactWeek,
    LiftDose,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    Week,
)


def read_weeks(documents: Iterable[Mapping[str, Any]]) -> tuple[Week, ...]:
    """Return the weeks of a draft/1 document's list. Raises TypeError for other keys."""
    return tuple(_week(document) for document in documents)


def write_weeks(weeks: Iterable[Week]) -> list[dict[str, Any]]:
    """Return the weeks as a draft/1 document holds them, its sequences as lists."""
    return [_plain(week) for week in weeks]


def _plain(value: Any) -> Any:
    """Return the fields of a part as plain data; its fields hold parts, tuples and numbers."""
    # By hand, for dataclasses.asdict copies deeply and is a fifth of a draft's time.
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, _PARTS):
        return {name: _plain(held) for name, held in vars(value).items()}
    return value


_PARTS = (Week, LiftDose, PlateWeek, ResistanceWeek, ImpactWeek, BalanceWeek, PostureWeek)


def _week(document: Mapping[str, Any]) -> Week:
    parts = {name: make(document[name]) if document[name] else None for name, make in _MADE.items()}
    return Week(**{**document, **parts})


def _lifting(document: Mapping[str, Any]) -> ResistanceWeek:
    exercises = tuple(LiftDose(**one) for one in document["exercises"])
    return ResistanceWeek(**{**document, "exercises": exercises})


def _with_exercises(of: type[Any]) -> Any:
    return lambda document: of(**{**document, "exercises": tuple(document["exercises"])})


_MADE = {
    "plate": lambda document: PlateWeek(**document),
    "resistance": _lifting,
    "impact": _with_exercises(ImpactWeek),
    "balance": _with_exercises(BalanceWeek),
    "posture": _with_exercises(PostureWeek),
}
