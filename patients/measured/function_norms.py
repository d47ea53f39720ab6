"""What people of an age do in a function test, shown beside a result and never judging it."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

_MEMORY = "from memory, to be confirmed"
_SUMMARY = "public summary of functional assessments"
_POOLED = "Bohannon 2006, 22 studies pooled"
_CHAIR = "STEADI, CDC; middle half"


@dataclass(frozen=True)
class Norm:
    """What people of the age do: a mean (low and high the same) or a usual range."""

    low: float
    high: float
    unit: str
    source: str


#: Means and ranges: (from age, to age, norm) by measure.
_NORMS = MappingProxyType(
    {
        "up_and_go_s": (
            (60, 69, Norm(8.1, 8.1, "s", f"Bohannon 2006, {_MEMORY}")),
            (70, 79, Norm(9.2, 9.2, "s", f"Bohannon 2006, {_MEMORY}")),
            (80, 99, Norm(11.3, 11.3, "s", f"Bohannon 2006, {_MEMORY}")),
        ),
        "five_stands_s": (
            (60, 69, Norm(11.4, 11.4, "s", _SUMMARY)),
            (70, 79, Norm(12.6, 12.6, "s", _SUMMARY)),
            (80, 89, Norm(14.8, 14.8, "s", _SUMMARY)),
        ),
        "one_leg_s": (
            (18, 39, Norm(43.3, 43.3, "s", f"Springer 2007, {_MEMORY}")),
            (40, 49, Norm(40.3, 40.3, "s", f"Springer 2007, {_MEMORY}")),
            (50, 59, Norm(37.0, 37.0, "s", f"Springer 2007, {_MEMORY}")),
            (60, 69, Norm(27.0, 27.0, "s", _POOLED)),
            (70, 79, Norm(17.2, 17.2, "s", _POOLED)),
            (80, 99, Norm(8.5, 8.5, "s", _POOLED)),
        ),
    }
)
_CHAIR_RANGES = MappingProxyType(
    {
        "male": ((60, 64, 14, 19), (65, 69, 12, 18)),
        "female": ((60, 64, 12, 17), (65, 69, 11, 16)),
    }
)


def norm(measure: str, age: int, sex: str) -> Norm | None:
    """Return what people of the age do in a test; None where no norm is known.

    None too for chair stands where it is not settled which sex's table is hers.
    """
    if measure == "chair_stands_30s":
        for first, last, low, high in _CHAIR_RANGES.get(sex, ()):
            if first <= age <= last:
                return Norm(low, high, "", _CHAIR)
        return None
    bands = _NORMS.get(measure, ())
    return next((found for first, last, found in bands if first <= age <= last), None)
