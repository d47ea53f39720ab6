"""The whole catalogue of exercises, by code and by modality."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from programs.exercises import (
    balance,
    balance_seated,
    impact,
    plate,
    posture,
    posture_seated,
    resistance_arms,
    resistance_bed,
    resistance_hips_and_back,
    resistance_legs,
    resistance_seated,
)
from programs.exercises.exercise import Exercise, linked
from safety.findings import Modality

_TABLES = (
    plate,
    resistance_legs,
    resistance_hips_and_back,
    resistance_arms,
    resistance_seated,
    resistance_bed,
    impact,
    balance,
    balance_seated,
    posture,
    posture_seated,
)

EXERCISES: Mapping[str, Exercise] = MappingProxyType(
    dict(
        linked(
            [exercise for table in _TABLES for exercise in table.EXERCISES],
            [ladder for table in _TABLES for ladder in table.LADDERS],
        )
    )
)
#: The position of each exercise's ladder, so that two on one ladder are known as one movement.
LADDER_OF: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {code: ladder for table in _TABLES for ladder in table.LADDERS for code in ladder}
)


@cache
def of(modality: Modality) -> tuple[Exercise, ...]:
    """Return the exercises of a modality in the order of the catalogue."""
    return tuple(exercise for exercise in EXERCISES.values() if exercise.modality == modality)
