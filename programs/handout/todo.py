"""One week at a glance: what to do on which days, and when to stop."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from programs.exercises import EXERCISES
from programs.handout import advice, doses
from programs.handout.dosed import title
from programs.handout.numbers import number_words
from programs.handout.plate_page import rounds_words, setting_words
from programs.handout.said import Todo, WeekPage, Words, gettext_noop
from programs.handout.weeks import Week, days_words, full_date_words, training_days
from safety.findings import Modality

Part = Mapping[str, Any]

_WATCHED = gettext_noop("Have your helper beside you.")


def week_page(week: Week, snapshot: Mapping[str, Any], words: Words) -> WeekPage:
    """Return what one week holds, and when to stop."""
    starts_on = dt.date.fromisoformat(snapshot["starts_on"])
    begins = starts_on + dt.timedelta(weeks=week["week"] - 1)
    told = words.gettext("Week {week}: from {date}")
    return WeekPage(
        title=told.format(week=week["week"], date=full_date_words(begins, words)),
        todos=tuple(
            _todo(modality, week, snapshot["timetable"], words)
            for modality in Modality
            if week[modality]
        ),
        stop=tuple(words.gettext(text) for text in advice.STOP),
        then=_then(snapshot["clinic"]["phone"], words),
    )


def _then(phone: str, words: Words) -> str:
    if phone:
        return words.gettext("Then rest, and call us on {phone}.").format(phone=phone)
    return words.gettext("Then rest, and call us.")


def _todo(
    modality: Modality, week: Week, timetable: Mapping[str, Sequence[str]], words: Words
) -> Todo:
    part = week[modality]
    days = training_days(week, timetable, modality)
    return Todo(
        title=title(modality, [week], words),
        days=days_words(days, part["sessions"], words),
        dose=_DOSES[modality](part, words),
        items=_items(part, words),
    )


def _plate(part: Part, words: Words) -> str:
    told = rounds_words(part, words)
    watched = f" {words.gettext(_WATCHED)}" if part["supervised"] else ""
    return f"{setting_words(part, words)}: {told}.{watched}"


def _resistance(part: Part, words: Words) -> str:
    return words.gettext("{dose} of each").format(
        dose=doses.sets_words(part["sets"], part["reps"], words)
    )


def _impact(part: Part, words: Words) -> str:
    return doses.count_words(part["impacts"], part["minutes"], words)


def _minutes(part: Part, words: Words) -> str:
    each = doses.each_time_words(part["minutes"], part["sessions"], words)
    return words.gettext("{minutes} each time").format(minutes=each)


_DOSES = {
    Modality.PLATE: _plate,
    Modality.RESISTANCE: _resistance,
    Modality.IMPACT: _impact,
    Modality.BALANCE: _minutes,
    Modality.POSTURE: _minutes,
}


def _items(part: Part, words: Words) -> tuple[str, ...]:
    return tuple(_item(one, words) for one in part.get("exercises", ()))


def _item(one: str | Part, words: Words) -> str:
    if isinstance(one, str):
        return words.gettext(EXERCISES[one].name)
    name = words.gettext(EXERCISES[one["exercise"]].name)
    if one["load_kg"] is None:
        return name
    return f"{name} ({number_words(one['load_kg'], words)} kg)"
