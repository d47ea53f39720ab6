"""What a review reads, and what it proposes: the parts of a proposal (rulebook rows 26 to 26h)."""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from patients.facts.declared import Facts
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.review.adherence import Gap, WeekCount
from programs.review.dates import Dates
from programs.review.events import Event
from programs.review.next_steps import Ground, Next
from safety.findings import Modality

IN_FORCE, STOPPED, ENDED = "in_force", "stopped", "ended"


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What a review reads.

    day            of the review: entries of that day and before are read
    facts          what is known; asked: when each section was last asked
    last_review    None: there was none
    episode        first day of the episode; None: that of the program
    wanted_caps    what the plate is asked to be lifted to; nothing where that is not asked
    """

    day: dt.date
    facts: Facts
    asked: Mapping[str, dt.date]
    last_review: dt.date | None = None
    episode: dt.date | None = None
    wanted_caps: tuple[float | None, ...] = ()
    limits: Clinic = AS_PUBLISHED


@dataclass(frozen=True, kw_only=True)
class ModalityReview:
    """What log and screen say of one modality.

    grounds       all that apply, the most careful first; the first is what is proposed
    weeks         counts of every week so far, the running one included
    recent        percent done in the last two full weeks, None where nothing was planned
    longest_gap   in which sessions were missed, of the whole program
    effort        mean of the last two full weeks and since; effort_before of the two before
    flags         what is worth saying and changes nothing
    simpler       what to leave out first, where it should be simplified
    reached       the place of the last week done; 0 where it was never done
    restart       the place that week 1 of the next draft takes; None where it stops
    """

    modality: Modality
    grounds: tuple[Ground, ...]
    weeks: tuple[WeekCount, ...]
    recent: float | None
    longest_gap: Gap | None
    effort: float | None
    effort_before: float | None
    flags: tuple[str, ...]
    simpler: str
    reached: int
    restart: int | None

    @property
    def next(self) -> Next:
        """Return what is proposed."""
        return self.grounds[0].next

    @property
    def percent_shown(self) -> int | None:
        """Return the whole percent, rounded down so that it never seems to reach a threshold."""
        return None if self.recent is None else math.floor(self.recent)


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """What a review proposes.

    week         of the program on the day of the review
    full_weeks   weeks of the program that are over
    modalities   those signed or included today
    events       falls, broken bones, warning signs and illnesses, new since the last review
    ask          sections that are asked anew before anything is signed
    state        of the signed program, if the proposals are taken
    plate_cap_g  of the next draft; None where nothing holds the plate
    against_cap  why the cap may not be lifted further; empty where it may
    against_staying   why the signed program may not simply go on; empty where it may
    against_lifting   why no precaution may be lifted; empty where that may be offered
    against_walking   what more speaks against walking for a faller
    """

    day: dt.date
    week: int
    full_weeks: int
    modalities: tuple[ModalityReview, ...]
    events: tuple[Event, ...]
    ask: tuple[str, ...]
    state: str
    plate_cap_g: float | None
    against_cap: tuple[str, ...]
    against_staying: tuple[str, ...]
    against_lifting: tuple[str, ...]
    against_walking: tuple[str, ...]
    dates: Dates

    def of(self, modality: Modality) -> ModalityReview | None:
        """Return what is said of a modality; None where it is neither signed nor included."""
        return next((one for one in self.modalities if one.modality is modality), None)


def written(proposal: Proposal) -> dict[str, Any]:
    """Return a proposal as it is kept: plain values, dates as ISO text."""
    document: dict[str, Any] = json.loads(json.dumps(asdict(proposal), default=str))
    return document
