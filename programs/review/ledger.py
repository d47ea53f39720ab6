"""What was done of a signed program: weeks, the place reached, the dose last done (row 26)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from patients.facts.declared import Facts
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft.draft import Draft, draft
from programs.draft.resume import Resume
from programs.review.adherence import Planned, Seen, Session
from programs.review.drafts import Drafts
from programs.review.ladder import Ladder, Ladders, Placed
from programs.week.week import Part, PlateWeek, part_of
from safety.findings import Modality

#: A week counts as done from this share of its sessions on, percent.
DONE_PERCENT = 50


@dataclass(frozen=True, kw_only=True)
class InForce:
    """A signed program with what it was drafted from, and the same drafted anew.

    facts    what was known on the day of its draft
    resume   where it took up itself
    made     the draft, whose fitted weeks give the places
    """

    planned: Planned
    facts: Facts
    resume: Resume
    signed_on: dt.date
    made: Draft

    @classmethod
    def of(
        cls,
        planned: Planned | None,
        facts: Facts,
        resume: Resume,
        *,
        signed_on: dt.date,
        starts_on: dt.date,
        limits: Clinic = AS_PUBLISHED,
    ) -> InForce:
        """Draft it anew for its places. planned: as signed; None: as drafted."""
        made = draft(facts, resume, limits)
        weeks = Planned(starts_on=starts_on, weeks=made.weeks, timetable=made.timetable)
        return cls(
            planned=planned or weeks, facts=facts, resume=resume, signed_on=signed_on, made=made
        )

    @cached_property
    def ladders(self) -> Ladders:
        """Return the ladders that it went up."""
        return Ladders.by(self.made, self.resume)

    def ladder(self, modality: Modality, week: int) -> Ladder:
        """Return the ladder of a modality in a week: impact without lifting is walking."""
        lifting = self.planned.dose(max(1, week), Modality.RESISTANCE) is not None
        return self.ladders.ladder(modality, lifting=lifting)

    def place(self, modality: Modality, week: int) -> int:
        """Return the place of a modality in a week; after the end the last week goes on."""
        fitted = self.made.fitted
        step = _step(fitted[min(week, len(fitted)) - 1], modality) if fitted else None
        at = step.place if step else max(1, self.resume.done(modality))
        return self.ladder(modality, week).place(at)

    def part_at(self, modality: Modality, place: int) -> Part | None:
        """Return the dose of a place, by the facts it was signed upon."""
        done = {**self.resume.done_weeks, modality: place - 1}
        resume = replace(self.resume, done_weeks=done, stopped=frozenset())
        week = self._drafts.first_week(resume)
        return part_of(week, modality) if week else None

    @cached_property
    def _drafts(self) -> Drafts:
        return Drafts(self.facts, self.made.clinic)


def _step(fitted: object, modality: Modality) -> Placed | None:
    name = "lifting" if modality is Modality.RESISTANCE else str(modality)
    step: Placed | None = getattr(fitted, name)
    return step


class Ledger:
    """What was done of a program up to a day, per modality and plate."""

    def __init__(self, held: InForce, log: Iterable[Session], day: dt.date) -> None:
        self.held, self.day = held, day
        self.entries = sorted((one for one in log if one.on <= day), key=lambda one: one.on)
        self.seen = {m: Seen(held.planned, day, m, self.entries) for m in Modality}

    def weeks_done(self, modality: Modality) -> tuple[int, ...]:
        """Return the weeks of which at least half was done."""
        counted = self.seen[modality].weeks
        return tuple(n.week for n in counted if n.percent is not None and n.percent >= DONE_PERCENT)

    def reached(self, modality: Modality) -> int:
        """Return the place of the last week done; 0 where it was never done."""
        weeks = self.weeks_done(modality)
        if weeks:
            return self.held.place(modality, weeks[-1])
        return self.held.ladder(modality, 1).place(self.held.resume.done(modality))

    def ladder(self, modality: Modality) -> Ladder:
        """Return the ladder on which the last week was done."""
        return self.held.ladder(modality, (self.weeks_done(modality) or (1,))[-1])

    def last_dose(self, modality: Modality) -> Part | None:
        """Return the dose last done, as signed; of an earlier version by its place."""
        weeks = self.weeks_done(modality)
        if weeks:
            return self.held.planned.dose(weeks[-1], modality)
        done = self.held.resume.done(modality)
        return self.held.part_at(modality, done) if done else None

    @property
    def watched(self) -> frozenset[str]:
        """Return the plates on which a watched session was logged (row 12a).

        One logged without a name was on the plate that was signed for its week; what earlier
        programs were told stays known.
        """
        held = (one for one in self.entries if one.trained and one.watched)
        named = {self._plate(one) for one in held if one.modality is Modality.PLATE}
        return self.held.resume.watched | (named - {""})

    def _plate(self, entry: Session) -> str:
        planned = self.held.planned
        dose = planned.dose(planned.week_of(entry.on), Modality.PLATE)
        return entry.plate or (dose.plate if isinstance(dose, PlateWeek) else "")
