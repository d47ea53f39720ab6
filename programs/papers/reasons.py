"""Why she does it: what she wants, in her own words first, and what each kind is for.

No kind is said to make bone stronger or to prevent a fracture: it is told what it works on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from patients.facts.her_words import AIMS
from programs.papers.chapters import WALKING, title
from programs.papers.numbers import headed
from programs.papers.paper_parts import Section, Words, gettext_noop
from programs.signed.program import SignedProgram
from programs.week.week import Week, part_of
from safety.findings import Modality

_FOR: Mapping[Modality, str] = {
    Modality.PLATE: gettext_noop("for your legs, and against falls"),
    Modality.RESISTANCE: gettext_noop("for your muscles, your hips and your back"),
    Modality.IMPACT: gettext_noop("for your hips"),
    Modality.BALANCE: gettext_noop("against falls"),
    Modality.POSTURE: gettext_noop("for your back"),
}
_FOR_WALKING = gettext_noop("for your heart, and to keep you going")


def why(program: SignedProgram, weeks: Sequence[Week], words: Words) -> Section:
    """Return what she wants, where it is known, her own words first, and what each kind is for."""
    return Section(
        title=words.gettext("Why you do this"),
        tell=(*wanted(program, words), *_kinds(weeks, words)),
    )


def wanted(program: SignedProgram, words: Words) -> Iterator[str]:
    """Yield what she told us that she wants, in her own words first."""
    if program.own_goal:
        yield words.gettext("You told us: “{goal}”").format(goal=program.own_goal)
    named = [words.gettext(AIMS[aim]) for aim in program.aims if aim in AIMS]
    if named:
        line = words.gettext("You told us what matters most: {aims}.")
        yield line.format(aims=", ".join(named))


def _kinds(weeks: Sequence[Week], words: Words) -> Iterable[str]:
    for modality in Modality:
        if any(part_of(week, modality) for week in weeks):
            named = title(modality, weeks, words)
            walks = named == words.gettext(WALKING)
            why = words.gettext(_FOR_WALKING if walks else _FOR[modality])
            yield headed(named, f"{why}.", words)
