"""Whole years, calendar months and days between dates."""

from __future__ import annotations

import calendar
import datetime as dt

#: From this age pregnancy and a recent birth that nobody answered count as no.
NOT_PREGNANT_AGE = 56


def age_on(born: dt.date, day: dt.date) -> int:
    """Return the age in whole years on a day.

    Written policy: a person born on 29 February has her birthday on 1 March in common
    years. Raises ValueError where the day lies before the birth.
    """
    if day < born:
        raise ValueError(f"{day} lies before the date of birth {born}")
    had_birthday = (day.month, day.day) >= (born.month, born.day)
    return day.year - born.year - (0 if had_birthday else 1)


#: Days of a month that every month has.
_IN_EVERY_MONTH = 28


def add_months(day: dt.date, months: int) -> dt.date:
    """Return the day that many calendar months on (back, where negative).

    A day that the month lacks becomes the month's last: 31 January and a month is the
    last of February.
    """
    year, month_index = divmod(day.year * 12 + day.month - 1 + months, 12)
    if day.day <= _IN_EVERY_MONTH:
        return dt.date(year, month_index + 1, day.day)
    last = calendar.monthrange(year, month_index + 1)[1]
    return dt.date(year, month_index + 1, min(day.day, last))


def within_months(event: dt.date, day: dt.date, months: int) -> bool:
    """Tell whether the day lies in the months from the event on; the last day is inside.

    Counted forward from the event. A day before the event is outside.
    """
    return event <= day <= add_months(event, months)


def days_between(first: dt.date, last: dt.date) -> int:
    """Return the days from the first date to the last; negative where it lies before."""
    return (last - first).days
