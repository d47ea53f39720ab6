"""The screen in words: levels, statuses, scores, limits, and where a fact is asked for."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from patients.facts import codes
from patients.facts.declared import Facts
from patients.facts.in_words import day_text
from patients.facts.question import Kind, asks
from patients.facts.units import show_number
from patients.measured.density import T_AGE_MEN, T_AGE_WOMEN_MENOPAUSE_UNKNOWN
from safety.findings import Level, Limits
from safety.rules.rule import Rule
from safety.situation import Situation

LEVEL_WORDS = MappingProxyType(
    {
        Level.CONTRAINDICATED: "Contraindicated",
        Level.NEEDS_CLEARANCE: "Needs clearance",
        Level.MISSING: "Not recorded",
        Level.PRECAUTION: "Precaution",
        Level.REFER: "Refer",
    }
)
RISK_WORDS = MappingProxyType(
    {
        "low": "low",
        "moderate": "moderate",
        "intermediate": "intermediate",
        "high": "high",
        "very_high": "very high",
        "unknown": "not known",
    }
)
CATEGORY_WORDS = MappingProxyType(
    {
        "normal": "normal",
        "low_bone_mass": "low bone mass",
        "osteoporosis": "osteoporosis",
        "severe_osteoporosis": "severe osteoporosis, with a low-trauma fracture",
        "within_expected_range": "within the range expected for age",
        "below_expected_range": "below the range expected for age",
        "unknown": "not known",
    }
)
#: Entry of the facts document to the section in which it is asked for.
_SECTIONS = MappingProxyType(
    {
        "person": "about",
        "scans": "scans",
        "fractures": "fractures",
        "spine_image": "fractures",
        "falls": "falls",
        "tests": "tests",
        "conditions": "conditions",
        "symptoms": "symptoms",
        "medicines": "medicines",
        "resources": "aims",
    }
)


def sections_read(rule: Rule) -> tuple[str, ...]:
    """Return the codes of the sections in which the facts of a rule are asked for."""
    heads = (path.partition(".")[0] for path in rule.reads)
    return tuple(dict.fromkeys(_SECTIONS[head] for head in heads if head in _SECTIONS))


def fact_words(path: str) -> str:
    """Return the question behind a path of the facts document, like conditions.stones."""
    of: type[Any] = Facts
    labels: Mapping[str, str] = {}
    words, before = "", ""
    for key in path.split("."):
        if labels:
            before, labels = f"{labels[key]}: ", {}
            words = before.removesuffix(": ")
            continue
        ask = next(ask for ask in asks(of).values() if ask.key == key)
        words = f"{before}{codes.in_a_line(ask.question)}" if before else ask.question
        of = ask.of or of
        labels = ask.choices or {} if ask.kind is Kind.ANSWERS else {}
    return words


def why_this_score(s: Situation) -> str:
    """Return why T or Z is read for this person."""
    person, by = s.facts.person, s.density.by.upper()
    if person.sex == "male":
        side = f"of {T_AGE_MEN} or more" if by == "T" else f"under {T_AGE_MEN}"
        return f"{by}-score used, for a man {side}."
    if person.menopause in ("after", "transition", "before"):
        return f"{by}-score used, {codes.MENOPAUSE[person.menopause]}."
    side = "or more" if by == "T" else "or less"
    age = T_AGE_WOMEN_MENOPAUSE_UNKNOWN - (0 if by == "T" else 1)
    return f"{by}-score used: menopause is not recorded, at {age} {side}."


def density_words(s: Situation) -> str:
    """Return which site decided the density category, its score and its day."""
    found = s.density
    if found.score is None or found.site is None or found.scan is None:
        return ""
    score = f"{found.by.upper()}-score {show_number(found.score, 1)}"
    return f"{score} at the {codes.SCAN_SITES[found.site]}, {day_text(found.scan.date)}"


def next_dose_words(s: Situation) -> str:
    """Return when the next dose of denosumab is due, by its month; nothing where none is."""
    due = s.next_dose_due
    return f"Denosumab: next dose due in {due:%B %Y}." if due else ""


def limits_words(limits: Limits) -> tuple[str, ...]:
    """Return what findings ask of a dose, each in words."""
    asked = (
        (limits.plate_start_dose, "start dose only"),
        (limits.percent_1rm is not None, f"at most {limits.percent_1rm or 0:g} % of 1RM"),
        (limits.least_could_lift is not None, f"could-lift {limits.least_could_lift or 0} or more"),
        (limits.reps_in_reserve is not None, f"{limits.reps_in_reserve or 0:g} in reserve"),
        (limits.impact_bw is not None, f"to {limits.impact_bw or 0:g} body weights"),
        (limits.group_c, "form before load"),
        (limits.near_support, "within reach of support"),
        (limits.spare_spine, "spine not bent or twisted under load"),
        (limits.no_arching, "spine not arched"),
        (limits.no_arms, "nothing that uses an arm"),
        (limits.no_toe_stands, "no standing on toes"),
        (limits.hands_on_support, "hands on support"),
        (limits.no_held_breath, "no held breath"),
    )
    return tuple(words for holds, words in asked if holds)
