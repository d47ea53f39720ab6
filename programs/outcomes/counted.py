"""One person as she is counted: the time she was in programs, and what happened in it.

Days run to the one before the day of the count, so that only whole days are counted.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from patients.facts.ages import add_months
from patients.facts.declared import Scan, Tests
from patients.measured import density_history
from patients.measured.density_history import Kept
from patients.measured.function_tests import measures
from patients.measured.page.density import least_of
from patients.scanners.precision import FIRST_LOOK_MONTHS, Change
from programs.review.adherence import Planned, Seen, Session, percent
from programs.review.against_rulebook import IN_FORCE_WEEKS
from programs.review.grounds import PAIN_STOP
from safety.findings import Modality

#: A result before the first day counts so many months, one after it from so many days on.
BEFORE_MONTHS, AFTER_DAYS = 12, 56
#: Nothing done for so many days, in a program that goes on, is dropping out.
SILENT_DAYS = 28


class Now(StrEnum):
    """How it stands with a person on the day of the count."""

    TRAINING = "training"
    DROPPED_OUT = "dropped out"
    STOPPED = "stopped at a review"
    OVER = "program over"
    TOO_EARLY = "begun within four weeks, nothing logged yet"


@dataclass(frozen=True, kw_only=True)
class InProgram:
    """A signed program, and the day from which she was in it no more."""

    planned: Planned
    until: dt.date

    def holds(self, day: dt.date) -> bool:
        """Tell whether she was in it on a day."""
        return self.planned.starts_on <= day < self.until


def in_program(
    planned: Planned, day: dt.date, following: dt.date | None, stopped: dt.date | None
) -> InProgram:
    """Return a program with its end: the next one, a stop, its last week, or today.

    following   the first day of the version after it
    stopped     the day of the review that stopped all of it, itself still counted: what stopped
                her may be of that day
    """
    after = stopped and stopped + dt.timedelta(days=1)
    ends = (planned.starts_on + dt.timedelta(weeks=IN_FORCE_WEEKS), day, following, after)
    return InProgram(planned=planned, until=min(end for end in ends if end is not None))


@dataclass(frozen=True, kw_only=True)
class Person:
    """What is counted of one person; who she is, is not here.

    programs    oldest first, at least one
    stopped     her last program was stopped at a review
    log         what was logged, oldest first
    parts       vertebrae or side of each scan, in turn
    fractures   the days of broken bones, of those whose day is known
    """

    day: dt.date
    programs: tuple[InProgram, ...]
    stopped: bool
    log: tuple[Session, ...] = ()
    tests: tuple[Tests, ...] = ()
    scans: tuple[Scan, ...] = ()
    parts: tuple[str | None, ...] = ()
    fractures: tuple[dt.date, ...] = ()

    # --- Sessions ---------------------------------------------------------------------------

    def sessions(self, modality: Modality) -> tuple[int, float]:
        """Return the sessions planned in full weeks, and those done: as a review counts them."""
        planned, done = 0, 0.0
        for program in self.programs:
            for week in Seen(program.planned, program.until, modality, self.log).over:
                planned, done = planned + week.planned, done + week.done
        return planned, done

    def percent(self, modality: Modality) -> float | None:
        """Return what she did of what was planned; None where nothing was."""
        planned, done = self.sessions(modality)
        return percent(done, planned) if planned else None

    def in_programs(self) -> Iterator[Session]:
        """Yield what was logged of days in a program."""
        return (one for one in self.log if self._was_in(one.on))

    def _was_in(self, day: dt.date) -> bool:
        return any(program.holds(day) for program in self.programs)

    @property
    def done(self) -> int:
        """Return the sessions of which any was done: one kind of loading on one day each."""
        return sum(one.trained for one in self.in_programs())

    # --- Harms ------------------------------------------------------------------------------

    @property
    def falls(self) -> int:
        """Return the days with a fall; it may be ticked in each row of its day."""
        return len({one.on for one in self.in_programs() if one.fell})

    @property
    def flags(self) -> int:
        """Return the days with a warning sign."""
        return len({one.on for one in self.in_programs() if one.red_flag})

    @property
    def pain_stops(self) -> int:
        """Return the days with pain at which a program stops (rulebook row 26a)."""
        pain = (one for one in self.in_programs() if (one.pain or 0) >= PAIN_STOP)
        return len({one.on for one in pain if one.pain_settled is not True})

    @property
    def breaks(self) -> int:
        """Return the days with a broken bone, by the log or on record."""
        logged = {one.on for one in self.in_programs() if one.broke}
        return len(logged | {day for day in self.fractures if self._was_in(day)})

    # --- Before and after -------------------------------------------------------------------

    @property
    def began(self) -> dt.date:
        """Return the first day of her first program."""
        return self.programs[0].planned.starts_on

    def change(self, measure: str) -> float | None:
        """Return the newest result less the one before the first day; None without both."""
        dated = [(one.date, measures(one)[measure]) for one in self.tests if one.date]
        results = sorted((on, value) for on, value in dated if value is not None)
        since = add_months(self.began, -BEFORE_MONTHS)
        first = self.began + dt.timedelta(days=AFTER_DAYS)
        before = [value for on, value in results if since <= on <= self.began]
        after = [value for on, value in results if first <= on < self.day]
        return after[-1] - before[-1] if before and after else None

    def density_change(self, site: str, errors: Mapping[str, Mapping[str, float]]) -> Change | None:
        """Return the newest scan of a site against the last before the first day (row 27).

        None where there is none before, or none a year after it.
        """
        kept = density_history.of_each_day(self.scans, site, self.parts)
        since = add_months(self.began, -BEFORE_MONTHS)
        before = [one for one in kept if since <= one.scan.date <= self.began]
        after = [one for one in kept if before and self._is_a_look(before[-1], one)]
        if not before or not after:
            return None
        return density_history.change(before[-1], after[-1], least_of(after[-1].scan, errors))

    def _is_a_look(self, before: Kept, one: Kept) -> bool:
        return add_months(before.scan.date, FIRST_LOOK_MONTHS) <= one.scan.date < self.day

    # --- Today ------------------------------------------------------------------------------

    @property
    def standing(self) -> Now:
        """Return how it stands with her; each person is one of these."""
        last = self.programs[-1].planned.starts_on
        recent = self.day - dt.timedelta(days=SILENT_DAYS)
        if self.stopped:
            return Now.STOPPED
        if self.day >= last + dt.timedelta(weeks=IN_FORCE_WEEKS):
            return Now.OVER
        if any(one.trained and one.on >= recent for one in self.in_programs()):
            return Now.TRAINING
        return Now.TOO_EARLY if last > recent else Now.DROPPED_OUT
