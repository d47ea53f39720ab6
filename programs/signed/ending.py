"""What a discharge leaves her with: what she keeps doing, as the review kept it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Kept:
    """What she may keep doing of a modality after a discharge.

    until    the last day of the clearance that carries it
    easier   less than was last done: a step back was decided
    """

    until: dt.date | None
    easier: bool


@dataclass(frozen=True, kw_only=True)
class Ending:
    """What a discharge leaves her with; a modality that is not named is left out.

    near_support   balance within a hand's reach of support
    """

    keeps: Mapping[Modality, Kept]
    near_support: bool

    def written(self) -> dict[str, object]:
        """Return it as the review keeps it."""
        keeps = {
            str(m): {"until": one.until and one.until.isoformat(), "easier": one.easier}
            for m, one in self.keeps.items()
        }
        return {"keeps": keeps, "near_support": self.near_support}

    @classmethod
    def read(cls, kept: Mapping[str, object]) -> Ending:
        """Return it from what a review kept."""
        keeps = kept["keeps"]
        assert isinstance(keeps, Mapping)
        return cls(
            keeps={Modality(name): _read(one) for name, one in keeps.items()},
            near_support=bool(kept["near_support"]),
        )


def _read(one: Mapping[str, str | bool | None]) -> Kept:
    until = one["until"]
    day = dt.date.fromisoformat(until) if isinstance(until, str) else None
    return Kept(until=day, easier=bool(one["easier"]))
