"""What rulebook 2027.1 asks that was never asked before, of what is on record of one person."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from patients.facts.codes import DATED_CONDITIONS
from patients.facts.sections import value_at

#: Conditions that were not asked before.
NEW_CONDITIONS = (
    "movement_disorder",
    "amputation_or_prosthesis",
    "recent_birth",
    "low_energy",
    "hormone_blocking_treatment",
)
#: Bones that were recorded together and are told apart now.
INEXACT_SITES = ("finger_toe_face", "other")
BONE_MEDICINE = "bone_medicine"


def is_mobility_open(answers: Mapping[str, Any]) -> bool:
    """Tell whether nobody recorded how she gets about."""
    return value_at(answers, "person.mobility") is None


def open_conditions(answers: Mapping[str, Any], not_asked: Collection[str] = ()) -> tuple[str, ...]:
    """Return the codes of conditions to ask: the new ones, and those whose date may be a year.

    not_asked   what cannot concern her
    An answer to all others ("otherwise") was given before the new ones were asked.
    """
    held: Mapping[str, Any] = answers.get("conditions") or {}
    new = [code for code in NEW_CONDITIONS if code not in held and code not in not_asked]
    undated = [
        code
        for code in DATED_CONDITIONS
        if _answer(held.get(code)) == "yes" and not _detail(held.get(code), "on")
    ]
    return (*new, *undated)


def is_bone_medicine_open(answers: Mapping[str, Any]) -> bool:
    """Tell whether she takes a medicine for bone of no known kind, or denosumab since no day."""
    held = value_at(answers, f"medicines.{BONE_MEDICINE}")
    if _answer(held) != "yes":
        return False
    kind = _detail(held, "kind")
    return kind is None or (kind == "denosumab" and not _detail(held, "last_dose_on"))


def is_fracture_open(site: str, *, dated: bool) -> bool:
    """Tell whether a fracture wants its bone named, or its year where no day is known."""
    return site in INEXACT_SITES or not dated


def _answer(held: Any) -> Any:
    return held.get("answer") if isinstance(held, Mapping) else held


def _detail(held: Any, key: str) -> Any:
    return held.get(key) if isinstance(held, Mapping) else None
