"""What the log of a signed program leads to: a proposal for each modality (rulebook row 26).

Nothing here decides. Each proposal names the rule, its source and the log entries that it
rests on; of several that apply, the most careful is proposed.
"""

from __future__ import annotations

import datetime as dt
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

from patients import codes
from patients.facts import Facts
from patients.overview import day_text
from programs.adherence import (
    RECENT_WEEKS,
    Gap,
    Planned,
    Seen,
    Session,
    WeekCount,
    mean_effort,
    percent,
)
from programs.lifted import ADVANCE_PERCENT, PAIN_EASY, against_lifting
from safety.findings import Modality
from safety.sources import cite

HOLD_PERCENT = 50
#: From here on a program does not go on as it is.
PAIN_STOP = 6
#: A gap of this many days repeats the last week; a shorter one is told by the adherence.
GAP_REPEAT_DAYS = 7
#: Longest gap that costs one step. Between two bands of the rule the longer one counts.
GAP_ONE_STEP_DAYS = 21
GAP_START_AGAIN_DAYS = 56
#: Lifting sessions a week under which density was lost over twelve years.
LIFTING_FLOOR = 2

_ADHERENCE = cite("project", "kelley2013")
_PAIN = cite("pain", "project")
_GAP = cite("project", "detraining")
_EVENT = cite("red_flags", "project")
_FLOOR = cite("gap2013")


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
WORDS: Mapping[Next, str] = {
    Next.ADVANCE: "Go on with the ramp",
    Next.HOLD: "Hold: repeat the last week",
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
class Event:
    """Something that stops a program: a fall, a broken bone, a warning sign."""

    on: dt.date | None
    text: str


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


@dataclass(frozen=True, kw_only=True)
class ModalityReview:
    """What the log says of one modality.

    grounds       all that apply, the most careful first; the first is what is proposed
    weeks         counts of every week so far, the running one included
    recent        percent done in the last two full weeks, None where nothing was planned
    gap           the one that counts; longest_gap is of the whole program
    effort        mean of the last two full weeks and since; effort_before of the two before
    flags         what is worth saying and changes nothing
    simpler       what to leave out first, where it should be simplified
    """

    modality: Modality
    grounds: tuple[Ground, ...]
    weeks: tuple[WeekCount, ...]
    recent: float | None
    gap: Gap | None
    longest_gap: Gap | None
    effort: float | None
    effort_before: float | None
    flags: tuple[str, ...]
    simpler: str

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
    events       falls, broken bones and warning signs since it was signed
    against_lifting   why no precaution may be lifted; empty where that may be offered
    """

    day: dt.date
    week: int
    full_weeks: int
    modalities: tuple[ModalityReview, ...]
    events: tuple[Event, ...]
    against_lifting: tuple[str, ...]

    def of(self, modality: Modality) -> ModalityReview | None:
        """Return what is said of a modality; None where it was not planned yet."""
        return next((one for one in self.modalities if one.modality is modality), None)


def review(
    planned: Planned,
    day: dt.date,
    log: Iterable[Session],
    *,
    events: Iterable[Event] = (),
    rank: Mapping[Modality, int],
) -> Proposal:
    """Propose, for each modality planned so far, how to go on.

    log      entries before the start and after the day are left aside
    events   what the facts say happened since the program was signed
    rank     of each modality for her aims, 1 the most valuable
    """
    entries = sorted(
        (one for one in log if planned.starts_on <= one.on <= day), key=lambda one: one.on
    )
    happened = (*_logged_events(entries), *events)
    seen = [Seen(planned, day, m, entries) for m in _planned_so_far(planned, day)]
    return Proposal(
        day=day,
        week=planned.week_of(day),
        full_weeks=planned.full_weeks(day),
        modalities=tuple(_look(one, happened, rank) for one in seen),
        events=happened,
        against_lifting=tuple(against_lifting(seen, entries, bool(happened))),
    )


def alarming(one: Session) -> bool:
    """Tell whether an entry is to be looked at before anything else."""
    hurt = one.pain is not None and one.pain > PAIN_EASY
    return bool(one.fell) or bool(one.red_flag) or (hurt and _pain_next(one) is not Next.HOLD)


def written(proposal: Proposal) -> dict[str, Any]:
    """Return a proposal as it is kept: plain values, dates as ISO text."""
    document: dict[str, Any] = json.loads(json.dumps(asdict(proposal), default=str))
    return document


def events_of(facts: Facts, since: dt.date) -> tuple[Event, ...]:
    """Return the bones broken since a day, and the warning signs that there are now."""
    broken = [
        Event(on=one.date, text=f"Broken bone: {codes.FRACTURE_SITES[one.site].lower()}.")
        for one in facts.fractures or ()
        if one.date is not None and one.date >= since
    ]
    signs = [
        Event(on=None, text=f"Warning sign: {label.lower()}.")
        for code, label in codes.SYMPTOMS.items()
        if facts.symptom(code).answer
    ]
    return (*broken, *signs)


def _planned_so_far(planned: Planned, day: dt.date) -> tuple[Modality, ...]:
    until = max(1, planned.week_of(day))
    return tuple(m for m in planned.modalities if any(week[m] for week in planned.weeks[:until]))


def _logged_events(entries: Sequence[Session]) -> tuple[Event, ...]:
    found = []
    for one in entries:
        if one.fell:
            words = f"A fall: {one.note}" if one.note else "A fall."
            found.append(Event(on=one.on, text=words))
        if one.red_flag:
            found.append(Event(on=one.on, text=f"Warning sign: {one.red_flag}"))
    # One fall may be ticked in every row of its day.
    return tuple(dict.fromkeys(found))


def _look(seen: Seen, events: Sequence[Event], rank: Mapping[Modality, int]) -> ModalityReview:
    grounds = [_by_adherence(seen), *_by_pain(seen), *_by_gap(seen), *_by_events(events)]
    before = seen.recent_from - dt.timedelta(days=7 * RECENT_WEEKS)
    eve = seen.recent_from - dt.timedelta(days=1)
    return ModalityReview(
        modality=seen.modality,
        grounds=tuple(sorted(grounds, key=lambda one: -CAREFUL.index(one.next))),
        weeks=seen.weeks,
        recent=seen.percent(seen.last),
        gap=seen.gap,
        longest_gap=max(seen.gaps, key=lambda one: one.days, default=None),
        effort=mean_effort(seen.modality, seen.entries, seen.recent_from, seen.day),
        effort_before=mean_effort(seen.modality, seen.entries, before, eve),
        flags=_flags(seen),
        simpler=_simpler(seen.modality, rank, seen.planned.modalities),
    )


# --- The rules ----------------------------------------------------------------------------


def _by_adherence(seen: Seen) -> Ground:
    done = seen.percent(seen.last)
    if len(seen.last) < RECENT_WEEKS:
        words = "Two full weeks are not over yet; nothing advances before."
        return Ground(next=Next.HOLD, text=words, sources=_ADHERENCE)
    if done is None:
        words = "No session of it was planned in the last two full weeks."
        return Ground(next=Next.HOLD, text=words, sources=_ADHERENCE)
    chosen = _adherence_next(done, seen.last)
    held = tuple(one for one in seen.recent if one.on < _end(seen))
    return Ground(
        next=chosen,
        text=f"{done_words(seen.last)}{_ADHERENCE_WORDS[chosen]}",
        sources=_ADHERENCE,
        entries=held,
    )


def _adherence_next(done: float, last: Sequence[WeekCount]) -> Next:
    if done >= ADVANCE_PERCENT:
        return Next.ADVANCE
    each = [one.percent for one in last]
    low = all(one is not None and one < HOLD_PERCENT for one in each)
    return Next.SIMPLIFY if low else Next.HOLD


_ADHERENCE_WORDS: Mapping[Next, str] = {
    Next.ADVANCE: f" {ADVANCE_PERCENT} % or more may advance.",
    Next.HOLD: f" Under {ADVANCE_PERCENT} % holds.",
    Next.SIMPLIFY: f" Under {HOLD_PERCENT} % in both weeks: simplify before adding anything.",
}


def _end(seen: Seen) -> dt.date:
    return seen.planned.first_day(seen.full + 1)


def done_words(weeks: Sequence[WeekCount]) -> str:
    """Return what was done in some weeks, in words; the percent is rounded down."""
    wanted, logged = sum(one.planned for one in weeks), sum(one.logged for one in weeks)
    done = sum(one.done for one in weeks)
    span = " and ".join(str(one.week) for one in weeks)
    missing = f", {wanted - logged} not logged" if logged < wanted else ""
    shown = math.floor(percent(done, wanted))
    return f"{done:g} of {wanted} sessions in weeks {span} ({shown} %{missing})."


def _by_pain(seen: Seen) -> list[Ground]:
    felt = [one for one in seen.recent if one.pain is not None and one.pain > PAIN_EASY]
    unknown = tuple(one for one in seen.recent if one.trained and one.pain is None)
    found = []
    for chosen, words in _PAIN_WORDS.items():
        entries = tuple(one for one in felt if _pain_next(one) is chosen)
        if entries:
            found.append(Ground(next=chosen, text=words, sources=_PAIN, entries=entries))
    if unknown:
        words = (
            f"Pain was not written down for {len(unknown)} of the latest sessions. "
            "Not known is not none: it may not advance."
        )
        found.append(Ground(next=Next.HOLD, text=words, sources=_PAIN, entries=unknown))
    return found


def _pain_next(one: Session) -> Next:
    strong, settled = (one.pain or 0) >= PAIN_STOP, one.pain_settled is True
    if strong:
        return Next.BACK_ONE if settled else Next.STOP
    return Next.HOLD if settled else Next.BACK_ONE


_PAIN_WORDS: Mapping[Next, str] = {
    Next.HOLD: "Pain of 4 or 5 that settled within 24 hours holds.",
    Next.BACK_ONE: "Pain of 4 or 5 that did not settle within 24 hours, or is not known to "
    "have, and pain of 6 or more that did: step back.",
    Next.STOP: "Pain of 6 or more that did not settle within 24 hours, or is not known to "
    "have: stop and look.",
}


def _by_gap(seen: Seen) -> list[Ground]:
    gap = seen.gap
    if gap is None or gap.days < GAP_REPEAT_DAYS:
        return []
    chosen = _gap_next(gap.days)
    end = "still open" if gap.still_open else f"to {day_text(gap.until)}"
    words = f"{gap.days} days without a session, from {day_text(gap.since)}, {end}."
    none = "" if seen.entries else " Nothing is logged; if there was training, log it first."
    return [Ground(next=chosen, text=f"{words} {_GAP_WORDS[chosen]}{none}", sources=_GAP)]


def _gap_next(days: int) -> Next:
    if days <= GAP_REPEAT_DAYS:
        return Next.HOLD
    if days <= GAP_ONE_STEP_DAYS:
        return Next.BACK_ONE
    return Next.BACK_TWO if days < GAP_START_AGAIN_DAYS else Next.START_AGAIN


_GAP_WORDS: Mapping[Next, str] = {
    Next.HOLD: "A gap of a week: repeat the last week.",
    Next.BACK_ONE: "A gap of up to three weeks: one step back.",
    Next.BACK_TWO: "A gap of more than three weeks: two steps back.",
    Next.START_AGAIN: "A gap of eight weeks or more: start again, and sign again.",
}


def _by_events(events: Sequence[Event]) -> list[Ground]:
    """Return one ground for all: what happened is told once, above the modalities."""
    if not events:
        return []
    said = ", ".join(dict.fromkeys(_short(one) for one in events))
    text = f"{said[:1].upper()}{said[1:]}: told at the top. Stop, and look before anything goes on."
    return [Ground(next=Next.STOP, text=text, sources=_EVENT)]


def _short(event: Event) -> str:
    """Return what kind of thing happened, and when: "a fall (2 Mar 2026)"."""
    kind = event.text.partition(":")[0].rstrip(".").lower()
    return f"{kind} ({day_text(event.on)})" if event.on else kind


def _flags(seen: Seen) -> tuple[str, ...]:
    """Say where lifting was done less often than twice a week on average."""
    over = [one for one in seen.over if one.planned]
    if seen.modality is not Modality.RESISTANCE or not over:
        return ()
    average = sum(one.done for one in over) / len(over)
    if average >= LIFTING_FLOOR:
        return ()
    shown = math.floor(average * 10) / 10
    return (f"{shown:g} lifting sessions a week on average; bone needs two. {_FLOOR[0]}",)


def _simpler(modality: Modality, rank: Mapping[Modality, int], planned: Sequence[Modality]) -> str:
    if modality is Modality.RESISTANCE:
        return "Leave out one or two exercises in the plan, two sessions kept."
    least = max(planned, key=lambda m: rank[m])
    name = "it" if least is modality else least
    return f"Leave {name} out in the plan for now: of least value for the aims."
