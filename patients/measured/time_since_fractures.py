"""How long ago each bone broke, and the days on which the usual waits are over."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from patients.facts.ages import add_months, days_between
from patients.facts.codes import FRACTURE_SITES
from patients.facts.declared import Facts, Fracture
from patients.facts.partial_dates import DAY, known_of, told_words

#: Nothing is drafted before this many days (project choice, for the clinic to confirm).
REST_DAYS = 28
#: Loading waits up to and including this day (12 weeks; project choice, for the clinic to
#: confirm).
LOAD_DAYS = 84
#: From here on a fracture of which nobody says otherwise is taken as healed, calendar months.
HEALED_MONTHS = 12


@dataclass(frozen=True)
class Mark:
    """A wait after a fracture: the first day on which it is over, and the days still left."""

    words: str
    on: dt.date
    days_left: int

    @property
    def over(self) -> bool:
        """Tell whether the wait is over."""
        return self.days_left == 0


@dataclass(frozen=True)
class Since:
    """One fracture: days since it broke and its waits; None and () without a date."""

    fracture: Fracture
    days: int | None
    marks: tuple[Mark, ...]

    @property
    def label(self) -> str:
        """Return the bone in plain words."""
        return FRACTURE_SITES[self.fracture.site]

    @property
    def broke(self) -> str:
        """Return when it broke, in words; "" where that is not recorded."""
        return "" if self.fracture.date is None else told_words(self.fracture.date)

    @property
    def at_least(self) -> bool:
        """Tell whether it may be longer ago than the days say."""
        return self.fracture.date is not None and known_of(self.fracture.date) != DAY


def since_fractures(facts: Facts) -> tuple[Since, ...]:
    """Return each fracture with its waits, newest first, those without a date last."""
    fractures = facts.fractures or ()
    dated = sorted(fractures, key=lambda f: (f.date is not None, f.date or dt.date.min))
    return tuple(_since(one, facts.as_of) for one in reversed(dated))


def _since(fracture: Fracture, day: dt.date) -> Since:
    if fracture.date is None:
        return Since(fracture, None, ())
    broke = fracture.date
    ends = (
        ("4 weeks", broke + dt.timedelta(days=REST_DAYS)),
        ("12 weeks", broke + dt.timedelta(days=LOAD_DAYS + 1)),
        ("12 months", add_months(broke, HEALED_MONTHS)),
    )
    marks = tuple(Mark(words, on, max(0, days_between(day, on))) for words, on in ends)
    return Since(fracture, days_between(broke, day), marks)
