"""Weeks in and out of the draft/1 document: the dataclasses of programs.week and plain data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
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
    return [_plain(asdict(week)) for week in weeks]


def _plain(value: Any) -> Any:
    match value:
        case dict():
            return {key: _plain(held) for key, held in value.items()}
        case list() | tuple():
            return [_plain(item) for item in value]
        case _:
            return value


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
