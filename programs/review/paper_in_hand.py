"""What changed since a paper was handed out, and what that paper says of it: in one sentence.

The words are for a clinician.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Any

from programs.draft.draft import Draft
from programs.draft.resume import Resume
from programs.draft.standings import weeks_named
from programs.review.against_rulebook import (
    Difference,
    differences,
    read,
    still_to_come,
    written,
)
from programs.signed.program import SignedProgram
from programs.week.week import part_of
from safety.compared_screens import Change, Effect
from safety.findings import ALL, Modality
from safety.modalities import about_words


class Rank(IntEnum):
    """How soon somebody looks at a result, the soonest first."""

    STOP = 1
    MORE_THAN_ALLOWED = 2
    CARE = 3
    OTHER = 4


@dataclass(frozen=True, kw_only=True)
class Paper:
    """What a program in her hand still tells.

    tells   the modalities of the weeks still to come
    weeks   the numbers of those weeks
    above   what it tells above what is allowed today
    """

    version: int
    tells: tuple[Modality, ...]
    weeks: tuple[int, ...]
    above: tuple[Difference, ...]

    @property
    def words(self) -> str:
        """Return what it tells, as a clause."""
        told = " and ".join(filter(None, _listed([about_words(m).lower() for m in self.tells])))
        what = f"tells {told}, {weeks_named(self.weeks)}" if told else "tells nothing any more"
        return f"the paper in her hand, version {self.version}, {what}"


def paper_of(program: SignedProgram, made: Draft, week: int, resume: Resume) -> Paper:
    """Return what a program tells from a week on; arguments as of `differences`."""
    ahead = still_to_come(program.weeks, week)
    return Paper(
        version=program.version,
        tells=tuple(m for m in Modality if any(part_of(one, m) for one in ahead)),
        weeks=tuple(one.week for one in ahead),
        above=differences(program, made, week, resume),
    )


def unreadable_paper(version: int, why: Difference) -> Paper:
    """Return a program that could not be held against anything."""
    return Paper(version=version, tells=(), weeks=(), above=(why,))


def paper_as_kept(paper: Paper) -> dict[str, Any]:
    """Return it as a row keeps it."""
    return {
        "version": paper.version,
        "tells": [str(modality) for modality in paper.tells],
        "weeks": list(paper.weeks),
        "above": written(paper.above),
    }


def paper_from_kept(kept: Mapping[str, Any]) -> Paper:
    """Return a kept one."""
    return Paper(
        version=kept["version"],
        tells=tuple(map(Modality, kept["tells"])),
        weeks=tuple(kept["weeks"]),
        above=read(kept["above"]),
    )


def rank_of(changes: Sequence[Change], paper: Paper | None) -> Rank | None:
    """Return how soon somebody looks at a result; None where nobody need.

    Without a paper only what asks for more care is looked at: the next draft reads the rest.
    """
    hardest = max((one.after for one in changes if one.is_harder), default=Effect.NOTHING)
    above = paper.above if paper else ()
    if hardest is Effect.STOPPED or any(one.modality == ALL for one in above):
        return Rank.STOP
    if hardest >= Effect.HELD or above:
        return Rank.MORE_THAN_ALLOWED
    if hardest is Effect.CARE:
        return Rank.CARE
    return Rank.OTHER if changes and paper else None


def in_one_sentence(changes: Sequence[Change], paper: Paper | None) -> str:
    """Return what changed and what the paper says, as one sentence.

    Of several changes the one that asks for most care is told, and how many more there are.
    """
    said = [_first(changes)] if changes else ["Nothing new on the screen"]
    if paper is not None:
        said.append(_of_paper(paper))
    return "; ".join(said) + "."


def _first(changes: Sequence[Change]) -> str:
    more = len(changes) - 1
    return changes[0].words.rstrip(".") + (f" (and {more} more)" if more else "")


def _of_paper(paper: Paper) -> str:
    if not paper.above:
        return f"{paper.words}, and nothing above what is allowed today"
    first, more = paper.above[0], len(paper.above) - 1
    others = f" (and {more} more)" if more else ""
    if not paper.weeks:
        return f"the program in her hand, version {paper.version}, {first.what}{others}"
    about = about_words(first.modality).lower()
    return f"{paper.words}; above what is allowed today: {about}, {first.what}{others}"


def _listed(names: Sequence[str]) -> tuple[str, str]:
    """Return all but the last with commas between, and the last."""
    return ", ".join(names[:-1]), names[-1] if names else ""
