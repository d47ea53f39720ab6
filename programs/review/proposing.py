"""Holding a signed program against its log and today's screen: the more careful of both.

Rulebook rows 26 to 26h. Nothing here decides. Each proposal names the rule, its source and the log
entries that it rests on; of several that apply, the most careful is proposed.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from programs.dose.limit import DRAFT_WEEKS
from programs.draft.draft import Draft
from programs.draft.resume import CAP_STEPS, Resume
from programs.review.adherence import RECENT_WEEKS, Seen, Session, mean_effort
from programs.review.dates import Dates, last_week_of, next_dates
from programs.review.drafts import Drafts
from programs.review.events import (
    CONDITION,
    FRACTURE,
    Event,
    event_words,
    logged_events,
    new_facts,
)
from programs.review.facts_from_log import FALLS, with_log
from programs.review.grounds import Since, by_log, by_untold_falls, weeks_without_falls_told
from programs.review.half_year import Onward, is_over
from programs.review.ledger import InForce, Ledger
from programs.review.next_steps import Ground, Next, most_careful_first
from programs.review.plate_cap import Cap, cap_after, stances_no_worse
from programs.review.precautions_to_lift import against_lifting, against_walking
from programs.review.proposal import (
    ENDED,
    IN_FORCE,
    STOPPED,
    ModalityReview,
    Proposal,
    Reading,
)
from programs.review.restart import Restart, Today
from programs.review.staying import above_today
from programs.signed.term import WEEKS_AFTER, Term, term_on
from programs.week.week import part_of
from safety.findings import Level, Modality
from safety.screen import Status
from safety.sources import cite

#: Lifting sessions a week under which density was lost over twelve years.
LIFTING_FLOOR = 2
#: Programs of which the later began within the time of the earlier, and 26 weeks more, are one
#: episode (row 26g). Days.
EPISODE_DAYS = 7 * (DRAFT_WEEKS + WEEKS_AFTER + 26)

_EVENT = cite("red_flags", "project")
_FLOOR = cite("gap2013")
_PROJECT = cite("project")


class Review:
    """A signed program on the day of its review."""

    def __init__(self, held: InForce, log: Iterable[Session], reading: Reading) -> None:
        self.held, self.reading = held, reading
        self._restarts: dict[object, Restart] = {}
        self.ledger = Ledger(held, log, reading.day)
        self.since = Since(review=reading.last_review, asked=reading.asked)
        entries, day = self.ledger.entries, reading.day
        self.facts = with_log(reading.facts, entries, reading.asked, day)
        self.drafts = Drafts(self.facts, reading.limits)
        logged = logged_events(self.since.read(entries))
        found = new_facts(held.facts, reading.facts, logged)
        self.events: tuple[Event, ...] = (*logged, *found)
        self.untold = weeks_without_falls_told(held.planned, entries, self.since)

    def asking_for_a_step(self) -> Review:
        """Return the same with the cap on the plate asked to be lifted by a step."""
        asking = replace(self.reading, wanted_caps=(CAP_STEPS[-1],))
        return Review(self.held, self.ledger.entries, asking)

    # --- What is lifted and capped --------------------------------------------------------

    @cached_property
    def stays_lifted(self) -> frozenset[str]:
        """Return what an earlier review lifted and no fall, break or sign takes back."""
        trouble = any(one.what != CONDITION for one in self.events)
        return frozenset() if trouble else self.held.resume.lifted

    @cached_property
    def cap(self) -> Cap:
        """Return the cap on the plate that the next draft has."""
        today = self.drafts.screen(self.stays_lifted)
        return cap_after(self.ledger, today, self.events, self.reading.wanted_caps)

    @property
    def next_start(self) -> dt.date:
        """Return the next day on which a week of the program would begin, today included."""
        days = (self.held.planned.starts_on - self.reading.day).days % 7
        return self.reading.day + dt.timedelta(days=days)

    @property
    def half_year_over(self) -> bool:
        """Tell whether half a year of the ramp lies behind her when the next draft starts."""
        return is_over(self.held, self.next_start)

    def drafted_from(
        self, lifted: Iterable[str] = (), onward: Onward | None = Onward.NEXT_DRAFT
    ) -> Today:
        """Return what the next draft is made from.

        lifted   precautions that this review lifts
        onward   what follows; None: the program in force, gone on with
        """
        return Today(
            facts=self.facts,
            lifted=self.stays_lifted | frozenset(lifted),
            cap_g=self.cap.g,
            limits=self.reading.limits,
            starts_on=self.next_start,
            onward=onward,
        )

    def restart(
        self,
        decided: Mapping[Modality, Next],
        lifted: Iterable[str] = (),
        onward: Onward | None = Onward.NEXT_DRAFT,
    ) -> Restart:
        """Return where the next program takes up, as decided: worked out once for each.

        onward   what follows; None: the program in force, gone on with
        """
        if onward is Onward.NEXT_DRAFT and not (self.half_year_over or self.held.resume.maintains):
            onward = None
        key = (frozenset(decided.items()), frozenset(lifted), onward)
        if key not in self._restarts:
            given = self.drafted_from(lifted, onward)
            self._restarts[key] = Restart(self.ledger, given, decided, self.drafts)
        return self._restarts[key]

    # --- Grounds --------------------------------------------------------------------------

    @cached_property
    def by_log(self) -> Mapping[Modality, tuple[Ground, ...]]:
        """Return what log and events lead to, the most careful first."""
        return {m: most_careful_first(list(self._of_log(m))) for m in Modality}

    def _of_log(self, modality: Modality) -> Iterator[Ground]:
        yield from by_log(self.ledger.seen[modality], self.ledger.reached(modality), self.since)
        yield from by_untold_falls(modality, self.untold)
        yield from self._of_events()

    def _of_events(self) -> Iterator[Ground]:
        """Yield one ground for all: what happened is told once, above the modalities."""
        if not self.events:
            return
        said = ", ".join(dict.fromkeys(event_words(one) for one in self.events))
        said = f"{said[:1].upper()}{said[1:]}"
        if any(one.open(self.reading.asked) for one in self.events):
            text = f"{said}: see the top. Stop until it has been asked about."
            yield Ground(next=Next.STOP, text=text, sources=_EVENT)
        elif any(one.what == FRACTURE for one in self.events):
            text = f"{said}: see the top. After a fracture it starts again."
            yield Ground(next=Next.START_AGAIN, text=text, sources=_EVENT)
        else:
            text = f"{said}: see the top; it was asked about. Nothing advances."
            yield Ground(next=Next.HOLD, text=text, sources=_EVENT)

    @cached_property
    def grounds(self) -> Mapping[Modality, tuple[Ground, ...]]:
        """Return all that applies to each modality, log and screen, the most careful first."""
        # What a later half year changes by its own rule is no ramp of another kind.
        told = self.restart({m: held[0].next for m, held in self.by_log.items()}, onward=None)
        return {
            m: most_careful_first([*self.by_log[m], *self._of_screen(m, told)]) for m in Modality
        }

    def _of_screen(self, modality: Modality, told: Restart) -> Iterator[Ground]:
        if not self._includes(modality):
            text, sources = self._why_not(modality)
            yield Ground(next=Next.STOP, text=f"Not included today. {text}", sources=sources)
        elif modality in told.going and self.ledger.reached(modality):
            yield from self._of_another_ramp(modality, told)

    def _why_not(self, modality: Modality) -> tuple[str, tuple[str, ...]]:
        """Return what keeps a modality out today, and its source."""
        found, standing = self.included.screen, self.included.standings[modality]
        stops = [f for f in found.about(modality) if f.holds or f.level is Level.CONTRAINDICATED]
        first = next(iter((*found.blocked, *stops)), None)
        if first:
            return first.text, first.sources
        # The first of its words is only its number in value.
        return " ".join(standing.why[1:] or standing.why), standing.sources

    def _of_another_ramp(self, modality: Modality, told: Restart) -> Iterator[Ground]:
        if told.another(modality) and told.lower(modality):
            text = "Today's ramp is another, and lower than what was done."
            yield Ground(next=Next.BACK_ONE, text=text, sources=_PROJECT)
        elif modality in told.without_place and not self._is_uncapped(modality):
            text = "No place of today's ramp is within what was done: from place 1 of it."
            yield Ground(next=Next.HOLD, text=text, sources=_PROJECT)
        elif told.another(modality) and not self._is_uncapped(modality):
            text = "Today's ramp is different: no higher than what was done, and nothing advances."
            yield Ground(next=Next.HOLD, text=text, sources=_PROJECT)

    def _is_uncapped(self, modality: Modality) -> bool:
        """Tell whether it is the plate, whose cap this review lifts."""
        return self.cap.granted and modality is Modality.PLATE

    @cached_property
    def included(self) -> Draft:
        """Return the draft of today with nothing stopped."""
        resume = Resume(lifted=self.stays_lifted, plate_cap_g=self.cap.g)
        return self.drafts.draft(resume)

    def _includes(self, modality: Modality) -> bool:
        status = self.included.standings[modality].status
        return status is Status.INCLUDED and not self.included.screen.blocked

    # --- The proposal ---------------------------------------------------------------------

    @cached_property
    def proposed(self) -> Mapping[Modality, Next]:
        """Return what is proposed of each modality."""
        return {m: held[0].next for m, held in self.grounds.items()}

    @cached_property
    def taken(self) -> Restart:
        """Return where the next program takes up if the proposals are taken as they are."""
        return self.restart(self.proposed)

    def next_draft(self) -> Draft | None:
        """Return the next draft, if the proposals are taken; None where everything stops."""
        if all(one is Next.STOP for one in self.proposed.values()):
            return None
        return self.drafts.draft(self.resume)

    @cached_property
    def resume(self) -> Resume:
        """Return where the next draft takes up, if the proposals are taken as they are."""
        return self.taken.resume(raising=self.may_raise)

    @property
    def may_raise(self) -> bool:
        """Tell whether lifts may go up by the log: nothing but the adherence holds lifting."""
        return sum(one.next is not Next.ADVANCE for one in self.grounds[Modality.RESISTANCE]) == (
            self.grounds[Modality.RESISTANCE][-1].next is not Next.ADVANCE
        )

    def proposal(self, rank: Mapping[Modality, int]) -> Proposal:
        """Return the proposal.

        rank   of each modality for her aims, 1 the most valuable
        """
        planned, day = self.held.planned, self.reading.day
        shown = [m for m in Modality if m in planned.modalities or self._includes(m)]
        return Proposal(
            day=day,
            week=planned.week_of(day),
            full_weeks=planned.full_weeks(day),
            modalities=tuple(self._modality(m, rank) for m in shown),
            events=self.events,
            ask=self.ask,
            state=self.state,
            plate_cap_g=self.cap.g if self.included.screen.situation.fragile else None,
            against_cap=self.cap.against,
            against_staying=self.against_staying,
            against_lifting=self.against_lifting,
            against_walking=self.against_walking,
            dates=self.dates,
        )

    def _modality(self, modality: Modality, rank: Mapping[Modality, int]) -> ModalityReview:
        seen = self.ledger.seen[modality]
        before = seen.recent_from - dt.timedelta(days=7 * RECENT_WEEKS)
        eve = seen.recent_from - dt.timedelta(days=1)
        return ModalityReview(
            modality=modality,
            grounds=self.grounds[modality],
            weeks=seen.weeks,
            recent=seen.percent(seen.last),
            longest_gap=max(seen.gaps, key=lambda one: one.days, default=None),
            effort=mean_effort(modality, seen.entries, seen.recent_from, seen.day),
            effort_before=mean_effort(modality, seen.entries, before, eve),
            flags=_flags(seen),
            simpler=_simpler(modality, rank, self.held.planned.modalities),
            reached=self.ledger.reached(modality),
            restart=self.taken.places.get(modality),
        )

    @cached_property
    def ask(self) -> tuple[str, ...]:
        """Return the sections that are asked anew before anything is signed (row 26d)."""
        held = (one.open(self.reading.asked) for one in self.events)
        sections = dict.fromkeys(section for section in held if section)
        return tuple(sections | ({FALLS: None} if self.untold else {}))

    @cached_property
    def signed(self) -> tuple[Modality, ...]:
        """Return the modalities that were planned up to now."""
        planned = self.held.planned
        weeks = planned.weeks[: max(1, planned.week_of(self.reading.day))]
        return tuple(m for m in Modality if any(part_of(week, m) for week in weeks))

    @property
    def state(self) -> str:
        """Return the state of the signed program (rows 26f, 29a)."""
        if all(self.proposed[m] is Next.STOP for m in self.held.planned.modalities):
            return STOPPED
        term = term_on(self.held.planned.starts_on, self.reading.day)
        return ENDED if term is Term.ENDED else IN_FORCE

    @cached_property
    def against_staying(self) -> tuple[str, ...]:
        """Say why the signed program may not go on as it is (row 26e)."""
        named = [str(m) for m in self.signed if self.proposed[m] is not Next.ADVANCE]
        rules = (
            (self.state == ENDED, "It has ended."),
            (bool(named), f"Not everything advances: {', '.join(named)}."),
            (bool(self.ask), f"To be asked again: {', '.join(self.ask)}."),
            (self.cap.granted, "The plate's cap is lifted, which needs a new draft."),
        )
        found = tuple(words for holds, words in rules if holds)
        same = self.restart(self.proposed, onward=None)
        return found or above_today(self.ledger, same.base, same.start)

    @cached_property
    def against_lifting(self) -> tuple[str, ...]:
        """Say why no precaution may be lifted now."""
        seen = [self.ledger.seen[m] for m in self.signed]
        entries = [one for one in self.ledger.entries if one.known_on >= self.held.signed_on]
        return against_lifting(seen, entries, bool(self.events))

    @property
    def against_walking(self) -> tuple[str, ...]:
        """Say what more speaks against lifting a faller's bar on impact."""
        before, now = self.held.made.screen.situation.tests, self.included.screen.situation.tests
        done = max(len(self.ledger.weeks_done(m)) for m in Modality)
        return against_walking(
            done, stances_hold=stances_no_worse(before, now, self.held.facts.as_of)
        )

    @property
    def dates(self) -> Dates:
        """Return the dates of what comes next."""
        stays = not self.against_staying
        starts_on = self.held.planned.starts_on if stays else self.reading.day
        going = [m for m in Modality if self.proposed[m] is not Next.STOP]
        ends = (self.included.screen.until(m) for m in going)
        return next_dates(
            self.reading.episode or self.held.planned.starts_on,
            self.reading.day,
            last_week=last_week_of(starts_on),
            ends=[end for end in ends if end is not None],
            stopped=any(self.proposed[m] is Next.STOP for m in self.held.planned.modalities),
        )


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
