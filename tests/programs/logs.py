"""Signed programs and logs for the tests of reviews: plain weeks, every session the same."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from programs.review.adherence import Planned, Seen, Session
from programs.review.grounds import Since, by_log
from programs.review.next_steps import Ground, Next, most_careful_first
from programs.week.week import BalanceWeek, PostureWeek, Week
from safety.findings import Modality

#: A Monday.
START = dt.date(2026, 3, 2)
THREE_DAYS = ("mon", "wed", "fri")


def week(number: int, **modalities: Any) -> Week:
    """Return a week of a program that holds only these modalities."""
    none: dict[str, Any] = dict.fromkeys(map(str, Modality))
    return Week(week=number, minutes=60, **none | modalities)


def balance(minutes: int = 75, sessions: int = 3) -> BalanceWeek:
    return BalanceWeek(
        sessions=sessions, minutes=minutes, rung=1, near_support=False, exercises=("tandem",)
    )


def posture() -> PostureWeek:
    return PostureWeek(sessions=3, minutes=75, hold_s=5, reps=5, exercises=("chin_tuck",))


def planned(count: int = 26, sessions: int = 3, **more: Any) -> Planned:
    """Return a program of balance on Monday, Wednesday and Friday, all weeks alike."""
    held = {
        "starts_on": START,
        "weeks": [week(n, balance=balance(sessions=sessions)) for n in range(1, count + 1)],
        "timetable": {day: ["balance"] for day in THREE_DAYS},
    }
    return Planned(**held | more)


def day(week: int, weekday: int = 0) -> dt.date:
    """Return a day of a week of the program; weekday 0 is Monday."""
    return START + dt.timedelta(days=7 * (week - 1) + weekday)


def session(on: dt.date = START, **more: Any) -> Session:
    """Return a session done in full without trouble."""
    held = {"modality": Modality.BALANCE, "done": "all", "effort": 4, "pain": 1, "fell": False}
    return Session(on=on, **held | more)


def steady(weeks: Iterable[int], **more: Any) -> list[Session]:
    """Return every session of some weeks, done in full without trouble."""
    return [session(day(w, d), **more) for w in weeks for d in (0, 2, 4)]


def changed(log: list[Session], at: int, **to: Any) -> list[Session]:
    """Return a log with one entry changed."""
    return [replace(one, **to) if n == at else one for n, one in enumerate(log)]


@dataclass(frozen=True, kw_only=True)
class Looked:
    """What the log of balance leads to, the most careful first."""

    grounds: tuple[Ground, ...]

    @property
    def next(self) -> Next:
        return self.grounds[0].next


def looked(
    log: list[Session],
    on: dt.date | None = None,
    signed: Planned | None = None,
    *,
    since: dt.date | None = None,
    reached: int = 4,
) -> Looked:
    """Return what is said of balance, after four full weeks unless told otherwise."""
    seen = Seen(signed or planned(), on or day(5), Modality.BALANCE, log)
    return Looked(grounds=most_careful_first(by_log(seen, reached, Since(review=since, asked={}))))


def hundreds(first: int, second: int) -> tuple[Planned, list[Session]]:
    """Return two weeks of 50 planned sessions each, and so many done in each."""
    signed = planned(2, sessions=50)
    log = [session(day(1)) for _ in range(first)] + [session(day(2)) for _ in range(second)]
    return signed, log
