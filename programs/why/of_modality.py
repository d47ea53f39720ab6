"""The ten parts of one modality of a draft."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from patients.facts.declared import Facts
from programs.dose.clinic_limits import CLINIC_LIMITS, ClinicLimit
from programs.draft.draft import Draft
from programs.plates.evidence import alternatives as trials_without
from programs.plates.evidence import balance as evidence_for
from programs.week.one_line import short_dose
from programs.week.week import part_of
from programs.why.evidence_for import SAID
from programs.why.facts_read import Used, used
from programs.why.panel import (
    ACCEPT,
    ANSWER,
    CHANGE,
    CLEARANCE,
    LEAVE_OUT,
    NOTHING_TURNS,
    Choice,
    Open,
    Why,
    opens,
    version,
)
from safety.findings import Level, Modality
from safety.rules.all_rules import RULES
from safety.screen import Status

_READ_BY: Mapping[Modality, tuple[str, ...]] = {
    Modality.PLATE: (
        "resources.plates",
        "resources.support_rail",
        "person.weight_kg",
        "resources.watcher",
        "scans",
        "fractures",
        "falls",
    ),
    Modality.RESISTANCE: ("lifts", "resources.equipment", "scans", "fractures", "falls"),
    Modality.IMPACT: ("scans", "fractures", "falls", "resources.equipment"),
    Modality.BALANCE: ("falls", "tests"),
    Modality.POSTURE: ("fractures",),
}
_ALL_READ = ("aims", "resources.days", "resources.minutes_per_day")


def why_modality(
    modality: Modality, made: Draft, would_change: tuple[str, ...], decided: tuple[str, ...]
) -> Why:
    """Return the ten parts of one modality of a draft.

    would_change   as programs.why.changes says, worked out once for all five
    decided        who decided about the plan and when, in sentences
    """
    standing, said = made.standings[modality], SAID[modality]
    seen = made.screen.situation
    paths = (*_READ_BY[modality], *_ALL_READ, *_paths_of_findings(made, modality))
    facts = tuple(one for path in dict.fromkeys(paths) for one in used(path, seen.facts))
    return Why(
        code=str(modality),
        title=modality.capitalize(),
        as_of=seen.day,
        recommendation=recommendation(modality, made),
        strength=said.strength,
        facts=facts,
        rule=(
            said.rule,
            *_group_words(modality, made),
            *_limit_lines(modality, made),
            *standing.why,
        ),
        sources=_sources(modality, made),
        version=version(made, None),
        open=(*opens(facts, seen), *_outside(modality, seen.facts, seen.age)),
        would_change=would_change or (NOTHING_TURNS,),
        alternatives=(*said.alternatives, *_without(modality, made)),
        not_known=said.not_known,
        choices=(ACCEPT, CHANGE, LEAVE_OUT, *_modality_choices(made, modality, facts)),
        decided=decided,
    )


def recommendation(modality: Modality, made: Draft) -> str:
    """Return what is recommended of a modality, in one sentence."""
    standing = made.standings[modality]
    if standing.status is Status.EXCLUDED:
        return f"Leave {modality} out."
    if standing.status is Status.ON_HOLD:
        return f"Keep {modality} out of the weeks until what is open is answered or cleared."
    held = [week for week in made.weeks if part_of(week, modality) is not None]
    if not held:
        return f"{modality.capitalize()} may be done, but is in no week."
    first, last = held[0], held[-1]
    words = [f"week {week.week}: {short_dose(part_of(week, modality))}" for week in (first, last)]
    return f"Include {modality}, number {standing.rank} of 5: {'; '.join(words)}."


def _paths_of_findings(made: Draft, modality: Modality) -> Iterator[str]:
    told = {f.rule for f in made.screen.about(modality)}
    for rule in RULES:
        if rule.code in told:
            yield from rule.reads


def _group_words(modality: Modality, made: Draft) -> Iterator[str]:
    if modality in (Modality.RESISTANCE, Modality.IMPACT):
        seen = made.screen.situation
        yield (
            f"Group {made.group}: fracture risk {_plain(seen.fracture_risk.drafted_as)}, fall risk "
            f"{_plain(seen.fall_risk.drafted_as)}, age {seen.age}."
        )


def _plain(word: str) -> str:
    return word.replace("_", " ")


def _limits(modality: Modality, made: Draft) -> Iterator[ClinicLimit]:
    """Yield the limits of the modality, those of other groups left out."""
    for limit in CLINIC_LIMITS.values():
        if limit.modality is modality and limit.limit.group in (None, made.group):
            yield limit


def _limit_lines(modality: Modality, made: Draft) -> Iterator[str]:
    for limit in _limits(modality, made):
        yield f"{limit.words(made.clinic.value(limit.limit))}."


def _sources(modality: Modality, made: Draft) -> tuple[str, ...]:
    """Return the sources of its findings, of its limits, and what the trials come to."""
    of_limits = [one for limit in _limits(modality, made) for one in limit.source]
    found = (*made.standings[modality].sources, *of_limits, *_evidence(modality, made))
    return tuple(dict.fromkeys(found))


def _evidence(modality: Modality, made: Draft) -> Iterator[str]:
    if modality is Modality.PLATE:
        for aim in made.screen.situation.facts.aims or ("falls",):
            found = evidence_for(aim)
            yield f"{found.sentence} {found.counts}"


def _without(modality: Modality, made: Draft) -> Iterator[str]:
    if modality is Modality.PLATE:
        for aim in made.screen.situation.facts.aims or ("falls",):
            for one in trials_without(aim):
                yield f"{one.what.capitalize()} for {aim}: {one.effect} ({one.cited})."


def _outside(modality: Modality, facts: Facts, age: int) -> Iterator[Open]:
    if modality is Modality.RESISTANCE:
        for lift in facts.lifts or ():
            if not 3 <= lift.reps <= 20:
                what = (
                    f"{lift.lift.replace('_', ' ')}: {lift.reps} repetitions, the rule has 3 to 20"
                )
                yield Open(what=what, kind="outside its range")
    if modality is Modality.BALANCE and not 60 <= age <= 94:
        yield Open(what=f"age {age}; chair-stand tables have 60 to 94", kind="outside its range")


def _modality_choices(made: Draft, modality: Modality, facts: Iterable[Used]) -> Iterator[Choice]:
    if any(f.level is Level.NEEDS_CLEARANCE for f in made.screen.about(modality)):
        yield CLEARANCE
    if any(one.value is None for one in facts):
        yield ANSWER
