"""The dose of each kind of exercise in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from programs.handout.numbers import number_words
from programs.handout.said import Dose, Words
from programs.handout.weeks import Phase, Week, merged, phases, weeks_words

Part = Mapping[str, Any]


def doses(
    weeks: Sequence[Week], of: Callable[[Week], Any], say: Callable[[Any], str], words: Words
) -> tuple[Dose, ...]:
    """Return a dose for each value that `of` finds, the weeks that share it together."""
    return tuple(
        Dose(weeks=weeks_words(runs, words), text=say(value))
        for runs, value in merged(phases(weeks, of))
    )


def in_turn(
    weeks: Sequence[Week], of: Callable[[Week], Any], say: Callable[[Any], str], words: Words
) -> tuple[Dose, ...]:
    """Return a dose for each phase, week after week."""
    found: tuple[Phase, ...] = phases(weeks, of)
    return tuple(Dose(weeks=weeks_words((run,), words), text=say(run.value)) for run in found)


def load_of(code: str) -> Callable[[Week], tuple[float | None] | None]:
    """Return what finds the kg of one lift in a week; they may be None where it is held."""

    def of(week: Week) -> tuple[float | None] | None:
        part = week["resistance"]
        found = [one for one in part["exercises"] if one["exercise"] == code] if part else []
        return (found[0]["load_kg"],) if found else None

    return of


def load_words(load: tuple[float | None], words: Words) -> str:
    """Return "34 kg", or that the table of the lifts says it all."""
    (kg,) = load
    return (
        words.gettext("as in the table")
        if kg is None
        else f"{number_words(kg, words)}\N{NO-BREAK SPACE}kg"
    )


def sets_words(sets: int, reps: int, words: Words) -> str:
    """Return "2 sets of 15 repeats"."""
    repeats = words.ngettext("{count} repeat", "{count} repeats", reps).format(count=reps)
    told = words.ngettext("{count} set of {repeats}", "{count} sets of {repeats}", sets)
    return told.format(count=sets, repeats=repeats)


def often_words(sessions: int, words: Words) -> str:
    """Return "2 times a week"."""
    told = words.ngettext("{count} time a week", "{count} times a week", sessions)
    return told.format(count=sessions)


def impact_of(code: str) -> Callable[[Week], tuple[int | None, int | None] | None]:
    """Return what finds impacts, or minutes, of one exercise in a week."""

    def of(week: Week) -> tuple[int | None, int | None] | None:
        part = week["impact"]
        if not part or code not in part["exercises"]:
            return None
        return (part["impacts"], part["minutes"])

    return of


def impact_words(dose: tuple[int | None, int | None], words: Words) -> str:
    """Return "10 times", or minutes where it is walking."""
    impacts, minutes = dose
    return count_words(impacts, minutes, words)


def count_words(impacts: int | None, minutes: int | None, words: Words) -> str:
    """Return "10 times" or "5 minutes"."""
    if impacts is not None:
        told = words.ngettext("{count} time", "{count} times", impacts)
        return told.format(count=impacts)
    return minutes_words(minutes or 0, words)


def minutes_words(minutes: int, words: Words) -> str:
    """Return "5 minutes"."""
    told = words.ngettext("{count} minute", "{count} minutes", minutes)
    return told.format(count=minutes)


def each_time_words(minutes: float, sessions: int, words: Words) -> str:
    """Return the minutes of one session, with "about" where they do not divide evenly."""
    each = round(minutes / sessions) if sessions else 0
    told = minutes_words(each, words)
    if each * sessions == minutes:
        return told
    return words.gettext("about {minutes}").format(minutes=told)


def shared_of(modality: str) -> Callable[[Week], tuple[int, int] | None]:
    """Return what finds the minutes and sessions of balance or posture in a week."""

    def of(week: Week) -> tuple[int, int] | None:
        part = week[modality]
        return (part["minutes"], part["sessions"]) if part else None

    return of


def shared_words(dose: tuple[int, int], words: Words) -> str:
    """Return "69 minutes a week: 23 minutes on each of 3 days"."""
    minutes, sessions = dose
    told = words.ngettext(
        "{minutes} a week, on {count} day",
        "{minutes} a week: {each} on each of {count} days",
        sessions,
    )
    return told.format(
        minutes=minutes_words(minutes, words),
        each=each_time_words(minutes, sessions, words),
        count=sessions,
    )


def seconds_words(minutes: float) -> str:
    """Return minutes of vibration as a panel's clock would count them: "2 min 40 s"."""
    whole, rest = divmod(round(minutes * 60), 60)
    parts = [f"{whole} min"] if whole else []
    return " ".join([*parts, f"{rest} s"] if rest else parts)
