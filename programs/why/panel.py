"""Why a line of a plan stands as it does: ten parts that let a clinician judge it herself."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from patients.facts import Facts
from patients.overview import day_text
from programs.clinic_limits import CLINIC_LIMITS
from programs.evidence import alternatives as trials_without
from programs.evidence import balance as evidence_for
from programs.minutes import part_of
from programs.plan import Draft
from programs.short_dose import short_dose
from programs.why.known import Used, used
from programs.why.said import (
    ALTERNATIVES_OF_LEVEL,
    EYE_LIFTS,
    RULE_NOT_KNOWN,
    SAID,
    STRENGTH_OF_LEVEL,
)
from programs.why.turned import turned
from safety.findings import ALL, Finding, Level, Limits, Modality
from safety.rules.book import RULES
from safety.rules.rule import Rule, Unanswered
from safety.screen import Status
from safety.situation import Situation, situation

NOTHING_OPEN = "Nothing that it reads is missing, older than 12 months or outside its range."
NOTHING_TURNS = "No single answer among those it reads changes it."


@dataclass(frozen=True, kw_only=True)
class Open:
    """Something missing, old, or outside the range of the rule."""

    what: str
    kind: str


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What the clinician may do with it. page names where; empty: nothing to open."""

    verb: str
    words: str
    page: str


@dataclass(frozen=True, kw_only=True)
class Why:
    """The ten parts, in the order in which they are read.

    code, title   the modality or the rule that it is about
    as_of         the day of the facts
    """

    code: str
    title: str
    as_of: dt.date
    recommendation: str
    strength: str
    facts: tuple[Used, ...]
    rule: tuple[str, ...]
    sources: tuple[str, ...]
    version: str
    open: tuple[Open, ...]
    would_change: tuple[str, ...]
    alternatives: tuple[str, ...]
    not_known: tuple[str, ...]
    choices: tuple[Choice, ...]
    decided: tuple[str, ...]

    def decided_by(self, decided: tuple[str, ...]) -> Why:
        """Return the same parts with who decided, and when."""
        return replace(self, decided=decided)

    @property
    def told(self) -> tuple[tuple[str, str | None, str], ...]:
        """Return each fact as what, value and day; no value where it is not recorded."""
        return tuple(
            (one.what, one.value, "" if one.value is None else one.when(self.as_of))
            for one in self.facts
        )

    @property
    def parts(self) -> Mapping[str, tuple[str, ...]]:
        """Return the ten parts as plain lines under their titles."""
        return {
            "What is recommended, and how strongly": (self.recommendation, self.strength),
            "Her facts that it uses": tuple(
                f"{what}: {value}, {when}" if value else f"{what}: not recorded"
                for what, value, when in self.told
            ),
            "The rule": self.rule,
            "Where it comes from": (*self.sources, self.version),
            "Missing, old, or outside its range": tuple(
                f"{one.kind}: {one.what}" for one in self.open
            )
            or (NOTHING_OPEN,),
            "What would change it": self.would_change,
            "What else, and less": self.alternatives,
            "What is not known, and who was not studied": self.not_known,
            "Accept, change or leave out": tuple(f"{c.verb}: {c.words}" for c in self.choices),
            "Who decided, and when": self.decided,
        }


_ACCEPT = Choice(verb="Accept", words="sign the plan with it as it stands.", page="programs:sign")
_CHANGE = Choice(
    verb="Change", words="change its numbers, with a reason.", page="programs:plan_edit"
)
_LEAVE_OUT = Choice(
    verb="Leave out", words="take it out, with a written reason.", page="programs:plan_edit"
)
_RULE_CHANGE = Choice(
    verb="Change",
    words="change the plan, or leave a modality out, with a reason.",
    page="programs:plan",
)
_WRONG = Choice(
    verb="Reject",
    words="where the fact is wrong, correct it; the rule itself stands in the rulebook.",
    page="patients:facts",
)
_CLEARANCE = Choice(
    verb="Record leave",
    words="write down who gave it, for what, and until when.",
    page="safety:screen",
)
_FACTS = Choice(verb="Answer", words="record what is missing.", page="patients:facts")


# --- A rule -------------------------------------------------------------------------------


def why_rule(rule: Rule, made: Draft, decided: tuple[str, ...]) -> Why:
    """Return the ten parts of one rule for the person of this draft.

    decided   who decided about the plan and when, in sentences
    """
    seen = made.screen.situation
    found = next((f for f in made.screen.findings if f.rule == rule.code), None)
    facts = tuple(one for path in rule.reads for one in used(path, seen.facts))
    return Why(
        code=rule.code,
        title=rule.code.replace("_", " ").replace(".", ", "),
        as_of=seen.day,
        recommendation=found.text if found else "It has nothing to say about her as she is known.",
        strength=_strength(rule),
        facts=facts,
        rule=tuple(_rule_words(rule)),
        sources=rule.source,
        version=_version(made, rule),
        open=(*_opens(facts, seen), *_rule_range(rule, seen)),
        would_change=_turns(rule, seen, found),
        alternatives=ALTERNATIVES_OF_LEVEL[rule.level],
        not_known=(rule.evidence, RULE_NOT_KNOWN),
        choices=_rule_choices(rule, facts),
        decided=decided,
    )


def _strength(rule: Rule) -> str:
    if rule.level is Level.CONTRAINDICATED and rule.lifted_by is not None:
        return EYE_LIFTS
    return STRENGTH_OF_LEVEL[rule.level]


def _rule_words(rule: Rule) -> Iterator[str]:
    """Yield the rule in plain words; its reason holds its thresholds."""
    about = "the whole program" if rule.applies_to == ALL else str(rule.applies_to)
    yield f"About {about}: {rule.level.replace('_', ' ')}."
    if rule.reason:
        yield rule.reason
    if limits := _limit_words(rule.limits):
        yield f"It asks: {', '.join(limits)}."
    if rule.unanswered is not Unanswered.NOTE or not rule.reason:
        yield f"Not recorded: {rule.unanswered}."
    if rule.lifted_by is not None:
        who = " of an eye doctor" if rule.lifted_by.by else ""
        yield f"Leave{who} by name, valid on the day, lifts it."
    if rule.review_lifts:
        yield "A review with no trouble lifts it, where the clinician says so."


def _limit_words(limits: Limits) -> tuple[str, ...]:
    said = (
        (limits.plate_start_dose, "the plate at its start dose"),
        (limits.percent_1rm is not None, f"at most {limits.percent_1rm} % of the maximum"),
        (limits.reps_in_reserve is not None, f"{limits.reps_in_reserve} repetitions in reserve"),
        (limits.impact_bw is not None, f"impact to {limits.impact_bw} body weights"),
        (limits.group_c, "lifting as group C, form before load"),
        (limits.near_support, "balance within reach of support"),
        (limits.spare_spine, "no loaded bending or twisting of the spine"),
        (limits.no_held_breath, "no held breath"),
    )
    return tuple(words for asked, words in said if asked)


def _version(made: Draft, rule: Rule | None) -> str:
    base = f"Rulebook {made.rulebook}"
    if rule is None:
        return f"{base}."
    reviewed, by = day_text(rule.reviewed_on), day_text(rule.review_by)
    return f"{base}; this rule reviewed {reviewed}, to be reviewed by {by}."


def _opens(facts: Iterable[Used], seen: Situation) -> Iterator[Open]:
    for one in facts:
        if one.value is None:
            yield Open(what=one.what, kind="not recorded")
        elif one.old(seen.day):
            yield Open(what=f"{one.what}, {one.when(seen.day)}", kind="older than 12 months")


def _rule_range(rule: Rule, seen: Situation) -> Iterator[Open]:
    """Yield what of her lies outside what the rule was made for."""
    if "scans" in rule.reads and seen.density.by == "z":
        what = "Z is read at her age and stage of life; the limit is one of T"
        yield Open(what=what, kind="outside its range")


def _turns(rule: Rule, seen: Situation, found: Finding | None) -> tuple[str, ...]:
    """Return what would change what the rule says, each one looked at."""
    said = []
    for path in dict.fromkeys(rule.reads):
        for other in turned(path, seen.facts):
            after = rule.look(situation(other.facts))
            if _heard(after) != _heard(found):
                words = after.text if after else "it has nothing to say."
                said.append(f"With {other.words} on record: {words}")
    return tuple(dict.fromkeys(said)) or (NOTHING_TURNS,)


def _heard(found: Finding | None) -> tuple[str, Level, bool] | None:
    return None if found is None else (found.text, found.level, found.holds)


def _rule_choices(rule: Rule, facts: Iterable[Used]) -> tuple[Choice, ...]:
    leave = (_CLEARANCE,) if rule.lifted_by is not None else ()
    ask = (_FACTS,) if any(one.value is None for one in facts) else ()
    return (_ACCEPT, _RULE_CHANGE, _WRONG, *leave, *ask)


# --- A modality ---------------------------------------------------------------------------

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
        rule=(said.rule, *_group_words(modality, made), *_limits(modality, made), *standing.why),
        sources=(*standing.sources, *_evidence(modality, made)),
        version=_version(made, None),
        open=(*_opens(facts, seen), *_outside(modality, seen.facts, seen.age)),
        would_change=would_change or (NOTHING_TURNS,),
        alternatives=(*said.alternatives, *_without(modality, made)),
        not_known=said.not_known,
        choices=(_ACCEPT, _CHANGE, _LEAVE_OUT, *_modality_choices(made, modality, facts)),
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
        return f"{modality.capitalize()} may be done, and no week holds it."
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


def _limits(modality: Modality, made: Draft) -> Iterator[str]:
    """Yield the limits in force of the modality, those of other groups left out."""
    for name, limit in CLINIC_LIMITS.items():
        others = {f".{group}" for group in "ABC" if group != made.group}
        if limit.modality is modality and not any(other in name for other in others):
            yield f"{limit.words(made.clinic.value(name))}."


def _evidence(modality: Modality, made: Draft) -> Iterator[str]:
    if modality is Modality.PLATE:
        for aim in made.screen.situation.facts.aims or ("falls",):
            found = evidence_for(aim)
            yield f"{found.sentence} {found.counts}"


def _without(modality: Modality, made: Draft) -> Iterator[str]:
    if modality is Modality.PLATE:
        for aim in made.screen.situation.facts.aims or ("falls",):
            for one in trials_without(aim):
                yield f"{one.what.capitalize()} for {aim}: {one.effect} ({one.source})."


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
        yield _CLEARANCE
    if any(one.value is None for one in facts):
        yield _FACTS


def why_draft(
    made: Draft, would_change: Mapping[Modality, tuple[str, ...]], decided: tuple[str, ...]
) -> tuple[Why, ...]:
    """Return the ten parts of each of the five modalities."""
    return tuple(why_modality(m, made, would_change.get(m, ()), decided) for m in Modality)


def why_findings(made: Draft, modality: Modality, decided: tuple[str, ...]) -> tuple[Why, ...]:
    """Return the ten parts of every rule that has found something about a modality."""
    told = {f.rule for f in made.screen.about(modality)}
    return tuple(why_rule(rule, made, decided) for rule in RULES if rule.code in told)
