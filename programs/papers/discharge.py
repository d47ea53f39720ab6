"""The page that ends a program: what to keep doing, what to leave, and when to call."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from programs.papers.advice import GAPS
from programs.papers.chapters import WALKING
from programs.papers.emergency import BLANK, alarm
from programs.papers.manner import HANDS_ON, IN_REACH, manner_of
from programs.papers.numbers import isolated
from programs.papers.paper_parts import Alarm, Section, Words, gettext_noop, told
from programs.papers.weeks import brief_date_words, date_words
from programs.signed.ending import Ending, Kept
from programs.signed.program import SignedProgram
from programs.week.week import part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

_MOST_DAYS = gettext_noop("on most days, as you know it.")
_LIFT = gettext_noop("on 2 days a week, with a day between. No more weight than you lifted last.")
_LIFT_EASIER = gettext_noop("on 2 days a week, with a day between. Begin with less than before.")
_LAND = gettext_noop("on as many days as before, no harder and no more often.")
_LAND_EASIER = gettext_noop("on as many days as before. Begin with fewer than before.")
_LEAVE = gettext_noop("Leave out: {names}. Do not begin again on your own. Ask us first.")
_LOST = gettext_noop("What you have gained is lost again within months if you stop.")
_MEDICINE = gettext_noop("Keep taking your bone medicine. Do not stop it on your own.")
_PAPERS = gettext_noop("Your older papers no longer count, but for their pictures.")
#: What changes what she may do, beside what every paper says first. Composed from the rulebook's
#: reasons for a stop (rows 11, 11a and 26a to 26c).
CHANGES = (
    gettext_noop("You break a bone, fall ill, have an operation, or often nearly fall."),
    gettext_noop("You get a new medicine. Or your bone medicine is late or is to be stopped."),
    gettext_noop("You want to do more, or to begin again. We check first what fits you."),
)


@dataclass(frozen=True, kw_only=True)
class Discharge:
    """What the page says.

    on       the day of the discharge, in words, and short for the foot of the page
    keep     what goes on, each with its name
    leave    what does not, and what becomes of her papers
    """

    on: str
    on_brief: str
    keep: tuple[tuple[str, str], ...]
    leave: Section
    changes: Section
    alarm: Alarm


def discharge(program: SignedProgram, ending: Ending, on: dt.date, words: Words) -> Discharge:
    """Return what the page says of a program that ended on a day."""
    return Discharge(
        on=date_words(on, words),
        on_brief=brief_date_words(on, words),
        keep=tuple(_keep(program, ending, words)),
        leave=Section(
            title=words.gettext("Bear in mind"),
            tell=tuple(_leave(program, ending, words)),
        ),
        changes=Section(title=_call_words(program, words), tell=told(CHANGES, words)),
        alarm=alarm(program, words),
    )


def _call_words(program: SignedProgram, words: Words) -> str:
    phone = isolated(program.clinic.phone, words) or words.gettext(BLANK)
    return words.gettext("If something changes, call us on {phone}").format(phone=phone)


def _keep(program: SignedProgram, ending: Ending, words: Words) -> Iterator[tuple[str, str]]:
    """Yield what goes on, the kinds that are done in the same way together."""
    ways: dict[str, list[str]] = {}
    for modality, kept in ending.keeps.items():
        way = _how(program, modality, kept, words)
        ways.setdefault(way, []).append(_name(program, modality, words))
    balance = ending.keeps.get(Modality.BALANCE)
    steady = balance and _how(program, Modality.BALANCE, balance, words)
    for way, names in ways.items():
        support = _support(program, ending, words) if way == steady else ()
        yield ", ".join(names), " ".join((way, *support))


def _until(program: SignedProgram, ending: Ending, words: Words) -> Iterator[str]:
    """Yield a line for each last day of a clearance."""
    ends: dict[dt.date, list[str]] = {}
    for modality, kept in ending.keeps.items():
        if kept.until is not None:
            ends.setdefault(kept.until, []).append(_name(program, modality, words))
    for day, names in sorted(ends.items()):
        line = words.gettext("{name}: only until {date}, then stop.")
        yield line.format(name=", ".join(names), date=date_words(day, words))


def _how(program: SignedProgram, modality: Modality, kept: Kept, words: Words) -> str:
    if modality is Modality.RESISTANCE:
        return words.gettext(_LIFT_EASIER if kept.easier else _LIFT)
    if modality is Modality.IMPACT and not _walks(program):
        return words.gettext(_LAND_EASIER if kept.easier else _LAND)
    return words.gettext(_MOST_DAYS)


def _support(program: SignedProgram, ending: Ending, words: Words) -> tuple[str, ...]:
    manner = manner_of(program)
    if manner.frame:
        return told((HANDS_ON,), words)
    return told((IN_REACH,), words) if ending.near_support and not manner.seated else ()


def _walks(program: SignedProgram) -> bool:
    """Tell whether the impact of the program is walking alone."""
    return not any(week.impact.impacts for week in program.weeks if week.impact)


def _name(program: SignedProgram, modality: Modality, words: Words) -> str:
    walks = modality is Modality.IMPACT and _walks(program)
    return words.gettext(WALKING if walks else MODALITIES[modality].title)


def _leave(program: SignedProgram, ending: Ending, words: Words) -> Iterator[str]:
    signed = [m for m in Modality if any(part_of(week, m) for week in program.weeks)]
    left = [_name(program, m, words) for m in signed if m not in ending.keeps]
    yield words.gettext(_PAPERS)
    yield from _until(program, ending, words)
    if left:
        yield words.gettext(_LEAVE).format(names=", ".join(left))
    if ending.keeps:
        yield words.gettext(_LOST)
        yield from told(GAPS, words)
    yield words.gettext(_MEDICINE)
