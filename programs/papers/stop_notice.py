"""The notice that a program, or one kind of it, is stopped; and the marks of copies not to be used.

The notice says what she does now and whom she calls.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from programs.papers.chapters import title
from programs.papers.emergency import alarm
from programs.papers.numbers import isolated
from programs.papers.paper_parts import Alarm, Words, gettext_noop
from programs.papers.weeks import full_date_words
from programs.signed.program import SignedProgram
from programs.week.week import part_of
from safety.findings import Modality

#: What stands across each page of a copy of what may not be used, by the state of its program.
MARKS: Mapping[str, str] = {
    "in force": gettext_noop("NOT TO BE USED"),
    "stopped": gettext_noop("STOPPED: NOT TO BE USED"),
    "replaced": gettext_noop("REPLACED: NOT TO BE USED"),
    "ended": gettext_noop("ENDED: NOT TO BE USED"),
}
WHOLE_TITLE = gettext_noop("Stop all your exercises")
KIND_TITLE = gettext_noop("Stop this part of your exercises")
_BY = gettext_noop("{name} stopped this on {date}.")
_KINDS = gettext_noop("Do not do this any more: {kinds}.")
_ALL = gettext_noop("Do not do any exercise of your plan until we give you a new one.")
_REST = gettext_noop("You may go on with the rest of your plan.")
_JUMPS = gettext_noop("Leave out jumps and stamps too. Walk in their place.")
_AWAY = gettext_noop("Put the old plan away, so that nobody goes by it.")
_CROSS = gettext_noop("Cross this part out on the old plan.")
_CALL = gettext_noop("Call us on {phone} if you have a question. We will make a new plan with you.")
_ASK = gettext_noop("Call us if you have a question. We will make a new plan with you.")


@dataclass(frozen=True, kw_only=True)
class Stop:
    """What was stopped: by whom and when; no kinds where it is the whole program."""

    kinds: tuple[Modality, ...]
    by: str
    on: dt.date


@dataclass(frozen=True, kw_only=True)
class StopNotice:
    """What the notice says, before whom to call for what."""

    title: str
    lines: tuple[str, ...]
    alarm: Alarm


def stop_notice(program: SignedProgram, words: Words, stop: Stop) -> StopNotice:
    """Return what the notice of a stop says."""
    say = words.gettext
    told = say(_BY).format(name=stop.by, date=full_date_words(stop.on, words))
    phone = isolated(program.clinic.phone, words)
    call = say(_CALL).format(phone=phone) if phone else say(_ASK)
    lines = _of_kinds(program, words, stop.kinds) if stop.kinds else (say(_ALL), say(_AWAY))
    return StopNotice(
        title=say(KIND_TITLE if stop.kinds else WHOLE_TITLE),
        lines=(*lines, told, call),
        alarm=alarm(program, words),
    )


def _of_kinds(program: SignedProgram, words: Words, kinds: Sequence[Modality]) -> tuple[str, ...]:
    named = ", ".join(title(kind, program.weeks, words) for kind in kinds)
    lines = [words.gettext(_KINDS).format(kinds=named), words.gettext(_CROSS)]
    if _jumps(program) and Modality.RESISTANCE in kinds and Modality.IMPACT not in kinds:
        # Rulebook row 22b: impact without lifting is walking.
        lines.append(words.gettext(_JUMPS))
    return (*lines, words.gettext(_REST))


def _jumps(program: SignedProgram) -> bool:
    """Tell whether the program counts impacts; else impact is walking."""
    held = (part_of(week, Modality.IMPACT) for week in program.weeks)
    return any(getattr(part, "impacts", None) is not None for part in held)
