"""Ways to fit the week: the draft as it is beside those of more, fewer, longer or two sessions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patients.facts.declared import Facts
from programs.compare import changed_facts as changed
from programs.compare.two_sessions_a_day import Sessions, days_in_two
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft.draft import Draft, draft
from programs.draft.resume import FROM_THE_START, Resume
from safety.screen import Status

NOW = "now"
TWO_SESSIONS = "two"


@dataclass(frozen=True, kw_only=True)
class Fit:
    """One way to fit the week.

    days, minutes_a_day   the time that it takes from the patient; never passed
    in_two                each day in two short sessions, its impact in two bouts
    query                 what asks the What-if page for it; nothing where that has no such change
    """

    code: str
    label: str
    days: tuple[str, ...]
    minutes_a_day: int
    made: Draft
    in_two: bool = False
    query: str = ""

    @property
    def minutes_a_week(self) -> int:
        """Return the minutes there are in a week."""
        return len(self.days) * self.minutes_a_day

    def sessions(self, number: int) -> tuple[Sessions, ...]:
        """Return the days of a week, each in two sessions."""
        return days_in_two(self.made.weeks[number - 1], self.made.fitted[number - 1])

    def longest_min(self, number: int) -> float:
        """Return the minutes of the longest session of a week."""
        if self.in_two:
            return max((max(day.minutes) for day in self.sessions(number)), default=0.0)
        return max(self.made.fitted[number - 1].minutes_on.values(), default=0.0)


def find_fits(
    facts: Facts, resume: Resume = FROM_THE_START, limits: Clinic = AS_PUBLISHED
) -> tuple[Fit, ...]:
    """Return the ways to fit the week, the present one first.

    Empty where no time would help: the screen stops everything, or nothing is included.
    """
    now = _fit(NOW, "As it is now", facts, draft(facts, resume, limits))
    included = any(one.status is Status.INCLUDED for one in now.made.standings.values())
    if not now.made.weeks or not included:
        return ()
    others = (
        _fit(code, label, other, draft(other, resume, limits), query=query)
        for code, label, other, query in _other_times(facts)
    )
    return (now, *_two_sessions(facts, now.made), *others)


def _fit(code: str, label: str, facts: Facts, made: Draft, **more: object) -> Fit:
    days, minutes = changed.time_of(facts)
    return Fit(code=code, label=label, days=days, minutes_a_day=minutes, made=made, **more)  # type: ignore[arg-type]


def _two_sessions(facts: Facts, made: Draft) -> Iterator[Fit]:
    """Yield the same days in two short sessions, where there is a day at all."""
    if changed.time_of(facts)[0]:
        yield _fit(TWO_SESSIONS, "Two short sessions a day", facts, made, in_two=True)


def _other_times(facts: Facts) -> Iterator[tuple[str, str, Facts, str]]:
    if (day := changed.one_more_day(facts)) is not None:
        yield "day", "One more day", day[1], "more_day=on"
    if changed.time_of(facts)[0] and (more := changed.ten_more_minutes(facts)) is not None:
        yield "minutes", "Ten more minutes a day", more[1], "more_minutes=on"
    if (fewer := changed.fewer_longer_days(facts)) is not None:
        yield "fewer", "Same minutes a week, one day fewer", fewer, ""
    if (shorter := changed.more_shorter_days(facts)) is not None:
        yield "shorter", "Same minutes a week, one day more", shorter, ""
