"""How the papers stand by a file of the watch: all of them, and those with a notice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from programs.watch.file import Look, Status, WatchFile
from programs.watch.identifiers import shown
from programs.watch.resting import Paper, papers

#: Beyond so many, a list of what rests on one paper is cut short on a page that is not of it.
_WITHIN_SIGHT = 6


@dataclass(frozen=True, kw_only=True)
class Watched:
    """One paper that the product rests on, and how it stands."""

    paper: Paper
    look: Look

    @property
    def name(self) -> str:
        """Return its name for good, as a page shows it."""
        return shown(self.paper.name)

    @property
    def has_notice(self) -> bool:
        """Tell whether it was corrected, put under concern or retracted."""
        return self.look.status.weight > 0

    @property
    def tone(self) -> str:
        """Return the tone in which a page says it."""
        grave = (Status.RETRACTED, Status.CONCERN)
        if self.look.status in grave:
            return "contraindicated"
        return "precaution" if self.has_notice else ""

    @property
    def in_sight(self) -> tuple[str, ...]:
        """Return what rests on it, the first of it."""
        return self._told[:_WITHIN_SIGHT]

    @property
    def further(self) -> tuple[str, ...]:
        """Return the rest of what rests on it."""
        return self._told[_WITHIN_SIGHT:]

    @property
    def _told(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(f"{one.kind}, {one.what}" for one in self.paper.rests))


def watched(held: WatchFile) -> tuple[Watched, ...]:
    """Return every paper that the product rests on, the gravest first."""
    found = (Watched(paper=paper, look=held.of(paper.name)) for paper in papers())
    return tuple(sorted(found, key=lambda one: -one.look.status.weight))


def noticed(held: WatchFile) -> tuple[Watched, ...]:
    """Return those with a notice."""
    return tuple(one for one in watched(held) if one.has_notice)


def by_status(all_of_them: Iterable[Watched]) -> tuple[tuple[str, int], ...]:
    """Return how many papers stand how, in words, the gravest first; without those of none."""
    counted = dict.fromkeys(reversed(Status), 0)
    for one in all_of_them:
        counted[one.look.status] += 1
    return tuple((status.words, count) for status, count in counted.items() if count)
