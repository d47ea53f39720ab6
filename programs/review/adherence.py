"""How much of a signed program was done: sessions planned and logged, gaps, effort."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from programs.draft.days import held_on
from programs.signed.program import SignedProgram
from programs.week.week import WEEK, Part, PlateWeek, Week, part_of
from safety.findings import Modality

#: What a session counts; one that was done in part counts half (project choice, for the
#: clinic to confirm). Halves are exact, so no threshold is missed by rounding.
COUNTS = {"all": 1.0, "part": 0.5, "none": 0.0}
#: Full weeks that a proposal looks at.
RECENT_WEEKS = 2


@dataclass(frozen=True, kw_only=True)
class LiftedSet:
    """One set as it was logged: kilograms, repetitions, and how many more would have gone."""

    lift: str
    kg: float | None = None
    reps: int | None = None
    left: int | None = None


@dataclass(frozen=True, kw_only=True)
class Session:
    """What was logged of one modality on one day; None, or no words, is not written down.

    done           "all", "part" or "none"
    effort, pain   0 to 10
    pain_settled   the pain had settled within 24 hours
    red_flag       a warning sign, in words
    broke          a broken bone, in words
    plate          the name of the plate
    watched        somebody who has been shown how was beside her
    broken_off     it had to stop before the end
    pain_with      kinds with which it hurt, of an entry of a whole day; none: not said
    whole_day      it tells of the day, not of a session of its modality
    entered_on     the day it was entered; None: the day itself
    """

    on: dt.date
    modality: Modality
    done: str
    effort: int | None = None
    pain: int | None = None
    pain_settled: bool | None = None
    fell: bool | None = None
    red_flag: str = ""
    note: str = ""
    broke: str = ""
    plate: str = ""
    watched: bool | None = None
    ill: bool | None = None
    near_fall: bool | None = None
    sets: tuple[LiftedSet, ...] = ()
    broken_off: bool | None = None
    pain_where: str = ""
    pain_with: tuple[Modality, ...] = ()
    whole_day: bool = False
    entered_on: dt.date | None = None

    @property
    def known_on(self) -> dt.date:
        """Return the day from which it was known: its own, or that of a later entry."""
        return max(self.on, self.entered_on or self.on)

    @property
    def trained(self) -> bool:
        """Tell whether any of it was done."""
        return COUNTS[self.done] > 0


@dataclass(frozen=True, kw_only=True)
class Planned:
    """A signed program as a review sees it.

    starts_on   first day of week 1; each of its weeks begins on that weekday
    weeks       the changes applied
    timetable   weekday to the modalities it may hold
    """

    starts_on: dt.date
    weeks: Sequence[Week]
    timetable: Mapping[str, Sequence[str]]

    @classmethod
    def of(cls, program: SignedProgram) -> Planned:
        """Return what a review sees of a signed program."""
        return cls(starts_on=program.starts_on, weeks=program.weeks, timetable=program.timetable)

    def week_of(self, day: dt.date) -> int:
        """Return the number of the week that holds a day; before the start it is below 1."""
        return (day - self.starts_on).days // 7 + 1

    def full_weeks(self, day: dt.date) -> int:
        """Return how many weeks of the program are over before this day."""
        return max(0, min(self.week_of(day) - 1, len(self.weeks)))

    def first_day(self, week: int) -> dt.date:
        """Return the first day of a week."""
        return self.starts_on + dt.timedelta(days=7 * (week - 1))

    def dose(self, week: int, modality: Modality) -> Part | None:
        """Return a modality's part of a week, or None; after the end the last week goes on."""
        if not self.weeks or week < 1:
            return None
        return part_of(self.weeks[min(week, len(self.weeks)) - 1], modality)

    def sessions(self, week: int, modality: Modality) -> int:
        """Return the sessions planned in a week."""
        dose = self.dose(week, modality)
        return dose.sessions if dose else 0

    def days(self, week: int, modality: Modality) -> tuple[dt.date, ...]:
        """Return the days of a week that may hold a session; all where none is named."""
        sessions = self.sessions(week, modality)
        if not sessions:
            return ()
        named = held_on(self.timetable, modality, sessions)
        all_days = [self.first_day(week) + dt.timedelta(days=n) for n in range(7)]
        return tuple(day for day in all_days if not named or WEEK[day.weekday()] in named)

    @property
    def modalities(self) -> tuple[Modality, ...]:
        """Return the modalities that any week holds."""
        return tuple(m for m in Modality if any(part_of(week, m) for week in self.weeks))


@dataclass(frozen=True, kw_only=True)
class WeekCount:
    """The sessions of one modality in one week.

    done   all 1, part a half; never more than was planned, so that an extra session does
           not make up for another week
    """

    week: int
    planned: int
    logged: int
    done: float

    @property
    def percent(self) -> float | None:
        """Return what was done of what was planned; None where nothing was."""
        return percent(self.done, self.planned) if self.planned else None


def percent(done: float, planned: int) -> float:
    """Return sessions done of sessions planned, in percent."""
    return 100 * done / planned


def count_weeks(
    planned: Planned, modality: Modality, sessions: Iterable[Session], weeks: Iterable[int]
) -> tuple[WeekCount, ...]:
    """Count the sessions of a modality week by week."""
    mine = [one for one in sessions if one.modality is modality]
    return tuple(_count(planned, modality, mine, week) for week in weeks)


def _count(
    planned: Planned, modality: Modality, sessions: Sequence[Session], week: int
) -> WeekCount:
    held = [one for one in sessions if planned.week_of(one.on) == week]
    wanted = planned.sessions(week, modality)
    done = sum(COUNTS[one.done] for one in held)
    logged = sum(not one.whole_day for one in held)
    return WeekCount(week=week, planned=wanted, logged=logged, done=min(done, float(wanted)))


@dataclass(frozen=True, kw_only=True)
class Gap:
    """A stretch without a session, from the first one missed.

    until   the day of the session that ended it, or the day of the review
    """

    since: dt.date
    until: dt.date
    still_open: bool

    @property
    def days(self) -> int:
        """Return how long it was, in days."""
        return (self.until - self.since).days


def gaps(
    planned: Planned, modality: Modality, sessions: Iterable[Session], day: dt.date
) -> tuple[Gap, ...]:
    """Return the stretches in which sessions of a modality were missed, oldest first."""
    trained = sorted({one.on for one in sessions if one.modality is modality and one.trained})
    ends = [planned.starts_on - dt.timedelta(days=1), *trained, day]
    found = []
    for index, (before, after) in enumerate(pairwise(ends)):
        missed = _first_missed(planned, modality, before, after)
        if missed is not None:
            still_open = index == len(trained)
            found.append(Gap(since=missed, until=after, still_open=still_open))
    return tuple(found)


def _first_missed(
    planned: Planned, modality: Modality, before: dt.date, after: dt.date
) -> dt.date | None:
    """Return the first day between two that a session was missed on.

    A week may name more days than it has sessions: in the week of the session before, that
    many may pass without one.
    """
    began = max(1, planned.week_of(before))
    for week in range(began, planned.week_of(after) + 1):
        days = planned.days(week, modality)
        more = len(days) - planned.sessions(week, modality)
        spare = max(0, more) if week == began else 0
        between = [day for day in days if before < day < after]
        if len(between) > spare:
            return between[spare]
    return None


def mean_effort(
    modality: Modality, sessions: Iterable[Session], first: dt.date, last: dt.date
) -> float | None:
    """Return the mean effort of the sessions of some days; None where none was written down."""
    efforts = [
        one.effort
        for one in sessions
        if one.modality is modality and first <= one.on <= last and one.effort is not None
    ]
    return sum(efforts) / len(efforts) if efforts else None


class Seen:
    """The log of one modality up to a day.

    entries      of the signed plate, where it is the plate
    weeks        every week so far, the running one and those after the end included
    over         the full weeks; last is the last of these, RECENT_WEEKS where there are as many
    recent       entries from the first of the last weeks to the day
    """

    def __init__(
        self, planned: Planned, day: dt.date, modality: Modality, entries: Sequence[Session]
    ) -> None:
        self.planned, self.day, self.modality = planned, day, modality
        self.entries = [one for one in entries if _is_of(one, modality, planned)]
        self.full = max(0, planned.week_of(day) - 1)
        self.weeks = count_weeks(
            planned, modality, self.entries, range(1, max(1, self.full + 1) + 1)
        )
        self.over = self.weeks[: self.full]
        self.last = tuple(one for one in self.over[-RECENT_WEEKS:] if one.planned)
        self.recent_from = planned.first_day(max(1, self.full + 1 - RECENT_WEEKS))
        self.recent = [one for one in self.entries if one.on >= self.recent_from]
        self.gaps = gaps(planned, modality, self.entries, day)

    def percent(self, weeks: Sequence[WeekCount]) -> float | None:
        """Return what was done of what was planned in some weeks."""
        wanted = sum(one.planned for one in weeks)
        return percent(sum(one.done for one in weeks), wanted) if wanted else None

    @property
    def last_done(self) -> dt.date | None:
        """Return the last day on which any of it was done."""
        return max((one.on for one in self.entries if one.trained), default=None)

    @property
    def gap_days(self) -> int | None:
        """Return the days since it was last done (row 26b); None where none was missed since."""
        last = self.last_done or self.planned.starts_on - dt.timedelta(days=1)
        missed = _first_missed(self.planned, self.modality, last, self.day)
        return None if missed is None else (self.day - last).days

    def in_week(self, week: int) -> list[Session]:
        """Return the entries of one week."""
        return [one for one in self.entries if self.planned.week_of(one.on) == week]


def _is_of(entry: Session, modality: Modality, planned: Planned) -> bool:
    """Tell whether an entry is of a modality; what was done on another plate is not of it."""
    if entry.modality is not modality:
        return False
    dose = planned.dose(max(1, planned.week_of(entry.on)), modality)
    other = isinstance(dose, PlateWeek) and entry.plate not in ("", dose.plate)
    return not other
