"""What may come next of a modality, from the boldest to the most careful, with its grounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from programs.review.adherence import Session


class Next(StrEnum):
    """What may come next, from the boldest to the most careful."""

    ADVANCE = "advance"
    HOLD = "hold"
    SIMPLIFY = "simplify"
    BACK_ONE = "back_one"
    BACK_TWO = "back_two"
    START_AGAIN = "start_again"
    STOP = "stop"


CAREFUL = tuple(Next)
#: Steps back along the ramp.
STEPS_BACK: Mapping[Next, int] = {Next.BACK_ONE: 1, Next.BACK_TWO: 2}
WORDS: Mapping[Next, str] = {
    Next.ADVANCE: "Go on with the ramp",
    Next.HOLD: "Hold: repeat the last week done",
    Next.SIMPLIFY: "Hold and simplify",
    Next.BACK_ONE: "One step back",
    Next.BACK_TWO: "Two steps back",
    Next.START_AGAIN: "Start again and sign again",
    Next.STOP: "Stop until reviewed",
}


def bolder(chosen: Next, proposed: Next) -> bool:
    """Tell whether a choice asks more of her than was proposed."""
    return CAREFUL.index(chosen) < CAREFUL.index(proposed)


@dataclass(frozen=True, kw_only=True)
class Ground:
    """One rule that applies, the log entries it rests on, and where it comes from."""

    next: Next
    text: str
    sources: tuple[str, ...]
    entries: tuple[Session, ...] = ()

    @property
    def words(self) -> str:
        """Return what it leads to, in words."""
        return WORDS[self.next]


def most_careful_first(grounds: list[Ground]) -> tuple[Ground, ...]:
    """Return grounds in the order in which they are read; equals keep the order they came in."""
    return tuple(sorted(grounds, key=lambda one: -CAREFUL.index(one.next)))
