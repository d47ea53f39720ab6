"""The dose of each kind of exercise in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from programs.papers.paper_parts import Dose, Words
from programs.papers.weeks import T, merged, phases, weeks_words
from programs.week.week import Week, part_of
from safety.findings import Modality


def doses(
    weeks: Sequence[Week], of: Callable[[Week], T | None], say: Callable[[T], str], words: Words
) -> tuple[Dose, ...]:
    """Return a dose for each value that `of` finds, the weeks that share it together."""
    return tuple(
        Dose(weeks=weeks_words(runs, words), text=say(value))
        for runs, value in merged(phases(weeks, of))
    )


def in_turn(
    weeks: Sequence[Week], of: Callable[[Week], T | None], say: Callable[[T], str], words: Words
) -> tuple[Dose, ...]:
    """Return a dose for each phase, week after week."""
    return tuple(
        Dose(weeks=weeks_words((run,), words), text=say(run.value)) for run in phases(weeks, of)
    )


def ended(weeks: Sequence[Week], modality: Modality, words: Words) -> tuple[Dose, ...]:
    """Return that a kind has ended, and since when, where later weeks of the paper lack it."""
    held = [week.week for week in weeks if part_of(week, modality)]
    if not held or held[-1] == weeks[-1].week:
        return ()
    since = words.gettext("From week {week}").format(week=held[-1] + 1)
    return (Dose(weeks=since, text=words.gettext("It has ended. Do not go on with it.")),)


def sets_words(sets: int, reps: int, words: Words) -> str:
    """Return "2 sets of 15 repeats"."""
    told = words.ngettext("{count} set of {repeats}", "{count} sets of {repeats}", sets)
    return told.format(count=sets, repeats=repeats_words(reps, words))


def set_count_words(sets: int, words: Words) -> str:
    """Return "2 sets"."""
    return words.ngettext("{count} set", "{count} sets", sets).format(count=sets)


def repeats_words(reps: int, words: Words) -> str:
    """Return "15 repeats"."""
    return words.ngettext("{count} repeat", "{count} repeats", reps).format(count=reps)


def impact_of(code: str) -> Callable[[Week], tuple[int | None, int | None] | None]:
    """Return what finds impacts, or minutes, of one exercise in a week."""

    def of(week: Week) -> tuple[int | None, int | None] | None:
        part = week.impact
        if not part or code not in part.exercises:
            return None
        return (part.impacts, part.minutes)

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


def seconds_words(minutes: float) -> str:
    """Return minutes of vibration as a panel's clock would count them: "2 min 40 s"."""
    whole, rest = divmod(round(minutes * 60), 60)
    parts = [f"{whole} min"] if whole else []
    return " ".join([*parts, f"{rest} s"] if rest else parts)
