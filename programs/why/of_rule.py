"""The ten parts of one rule of the rulebook, for one person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from programs.draft.draft import Draft
from programs.why.evidence_for import (
    ALTERNATIVES_OF_LEVEL,
    EYE_LIFTS,
    RULE_NOT_KNOWN,
    STRENGTH_OF_LEVEL,
)
from programs.why.facts_read import Used, used
from programs.why.other_answers import turned
from programs.why.panel import (
    ACCEPT,
    ANSWER,
    CLEARANCE,
    NOTHING_TURNS,
    Choice,
    Open,
    Why,
    opens,
    version,
)
from safety.findings import ALL, Finding, Level, Limits, Modality
from safety.rules.all_rules import RULES
from safety.rules.rule import Rule, Unanswered
from safety.situation import Situation, situation

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
        recommendation=found.text
        if found
        else "It has nothing to say on what is known of this patient.",
        strength=_strength(rule),
        facts=facts,
        rule=tuple(_rule_words(rule)),
        sources=rule.source,
        version=version(made, rule),
        open=(*opens(facts, seen), *_rule_range(rule, seen)),
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
        who = " of an eye doctor" if rule.lifted_by.eye_doctor else ""
        yield f"Leave{who} by name, valid on the day, lifts it."
    if rule.review_lifts:
        yield "A review with no trouble lifts it, where the clinician says so."


def _limit_words(limits: Limits) -> tuple[str, ...]:
    said = (
        (limits.plate_start_dose, "the plate at its start dose"),
        (limits.percent_1rm is not None, f"at most {limits.percent_1rm} % of the maximum"),
        (limits.least_could_lift is not None, f"could-lift {limits.least_could_lift} or more"),
        (limits.reps_in_reserve is not None, f"{limits.reps_in_reserve} repetitions in reserve"),
        (limits.impact_bw is not None, f"impact to {limits.impact_bw} body weights"),
        (limits.group_c, "lifting as group C, form before load"),
        (limits.near_support, "balance within reach of support"),
        (limits.spare_spine, "no loaded bending or twisting of the spine"),
        (limits.no_arching, "no arching of the spine"),
        (limits.no_arms, "nothing that uses an arm or holds a weight in a hand"),
        (limits.no_toe_stands, "no standing on the toes"),
        (limits.hands_on_support, "hands on support in every standing exercise"),
        (limits.no_held_breath, "no held breath"),
    )
    return tuple(words for asked, words in said if asked)


def _rule_range(rule: Rule, seen: Situation) -> Iterator[Open]:
    """Yield what of her lies outside what the rule was made for."""
    if "scans" in rule.reads and seen.density.by == "z":
        what = "Z is read at this age and stage of life; the limit is one of T"
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
    leave = (CLEARANCE,) if rule.lifted_by is not None else ()
    ask = (ANSWER,) if any(one.value is None for one in facts) else ()
    return (ACCEPT, _RULE_CHANGE, _WRONG, *leave, *ask)


def why_findings(made: Draft, modality: Modality, decided: tuple[str, ...]) -> tuple[Why, ...]:
    """Return the ten parts of every rule that has found something about a modality."""
    told = {f.rule for f in made.screen.about(modality)}
    return tuple(why_rule(rule, made, decided) for rule in RULES if rule.code in told)
