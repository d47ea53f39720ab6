"""What to do when the last week is over: four weeks at its dose, then stop (rulebook row 29a)."""

from __future__ import annotations

from dataclasses import replace

from programs.papers.paper_parts import Section, Words, gettext_noop
from programs.papers.weeks import date_words
from programs.signed.program import SignedProgram
from programs.signed.term import WEEKS_AFTER, last_day
from programs.week.week import Week

_GO_ON = gettext_noop("Go on as in week {week} for {weeks} more weeks at most, to {date}.")
_NOTHING_RISES = gettext_noop("Raise nothing in that time. Come to us for your next plan.")
_STOP = gettext_noop("Stop after {date} without a new plan, and call us.")


def after_last_week(program: SignedProgram, words: Words) -> tuple[str, ...]:
    """Return what to do once the weeks of a program are over."""
    date = date_words(last_day(program.starts_on), words)
    told = words.gettext(_GO_ON).format(week=program.weeks[-1].week, weeks=WEEKS_AFTER, date=date)
    stop = words.gettext(_STOP).format(date=date)
    return told, words.gettext(_NOTHING_RISES), stop


def section(program: SignedProgram, words: Words) -> Section:
    """Return the same as advice."""
    return Section(title=words.gettext("After the last week"), do=after_last_week(program, words))


def is_last(week: Week, program: SignedProgram) -> bool:
    """Tell whether this is the program's last week."""
    return week.week == program.weeks[-1].week


def holds_one_dose(program: SignedProgram) -> bool:
    """Tell whether all weeks ask the same, as those of a maintenance program do."""
    return len(program.weeks) > 1 and len({_dose(week) for week in program.weeks}) == 1


def _dose(week: Week) -> Week:
    """Return a week without its number; that its plate is watched is no dose."""
    plate = week.plate and replace(week.plate, supervised=False)
    return replace(week, week=0, plate=plate)
