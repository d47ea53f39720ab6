"""What a week has more or less of than the weeks before it: what starts, ends, rests, moves."""

from __future__ import annotations

from collections.abc import Iterator

from programs.papers.chapters import title
from programs.papers.paper_parts import Words
from programs.signed.program import SignedProgram
from programs.week.week import Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES


def changes(week: Week, program: SignedProgram, words: Words) -> tuple[str, ...]:
    """Return what to know of each kind that is not done as it was the week before.

    program   cut to its clearances, so that what ends by one has ended here too
    """
    return tuple(line for m in Modality for line in _of_kind(m, week, program, words))


def _of_kind(modality: Modality, week: Week, program: SignedProgram, words: Words) -> Iterator[str]:
    held = [one.week for one in program.weeks if part_of(one, modality)]
    if not held:
        return
    name = words.gettext(MODALITIES[modality].title)
    if week.week in held:
        name = title(modality, [week], words)
        yield from _beside_last_week(modality, week, program, name, words)
        return
    before = [n for n in held if n < week.week]
    after = [n for n in held if n > week.week]
    if not after:
        told = words.gettext("{name}: has ended in week {week}. Do not go on with it.")
        yield told.format(name=name, week=before[-1])
    elif before:
        told = words.gettext("{name}: not this week. It comes again in week {week}.")
        yield told.format(name=name, week=after[0])
    else:
        told = words.gettext("{name}: not yet. It starts in week {week}.")
        yield told.format(name=name, week=after[0])


def _beside_last_week(
    modality: Modality, week: Week, program: SignedProgram, name: str, words: Words
) -> Iterator[str]:
    now = part_of(week, modality)
    last = next((one for one in program.weeks if one.week == week.week - 1), None)
    if last is None or now is None:
        return
    before = part_of(last, modality)
    if before is None:
        yield words.gettext("{name}: starts this week.").format(name=name)
    elif now.sessions != before.sessions:
        fewer = now.sessions < before.sessions
        told = (
            words.ngettext(
                "{name}: less often than last week, {count} time in place of {before} times.",
                "{name}: less often than last week, {count} times in place of {before} times.",
                now.sessions,
            )
            if fewer
            else words.ngettext(
                "{name}: more often than last week, {count} times in place of {before} time.",
                "{name}: more often than last week, {count} times in place of {before} times.",
                before.sessions,
            )
        )
        yield told.format(name=name, count=now.sessions, before=before.sessions)
