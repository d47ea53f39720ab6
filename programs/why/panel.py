"""The ten parts that let a clinician judge a line of a plan herself, and what all of them share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from patients.facts.in_words import day_text
from programs.draft.draft import Draft
from programs.why.facts_read import Used
from safety.rules.rule import Rule
from safety.situation import Situation

NOTHING_OPEN = "Nothing it uses is missing, older than 12 months or outside its range."
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
            "The facts that it uses": tuple(
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
            "Alternatives, and doing less": self.alternatives,
            "What is not known, and who was not studied": self.not_known,
            "Accept, change or leave out": tuple(f"{c.verb}: {c.words}" for c in self.choices),
            "Who decided, and when": self.decided,
        }


ACCEPT = Choice(verb="Accept", words="sign the plan with it as it stands.", page="programs:sign")
CHANGE = Choice(
    verb="Change", words="change its numbers, with a reason.", page="programs:plan_edit"
)
LEAVE_OUT = Choice(
    verb="Leave out", words="take it out, with a written reason.", page="programs:plan_edit"
)
CLEARANCE = Choice(
    verb="Record a clearance",
    words="write down who gave it, for what, and until when.",
    page="safety:screen",
)
ANSWER = Choice(verb="Answer", words="record what is missing.", page="patients:facts")


def version(made: Draft, rule: Rule | None) -> str:
    base = f"Rulebook {made.rulebook}"
    if rule is None:
        return f"{base}."
    reviewed, by = day_text(rule.reviewed_on), day_text(rule.review_by)
    return f"{base}; this rule reviewed {reviewed}, to be reviewed by {by}."


def opens(facts: Iterable[Used], seen: Situation) -> Iterator[Open]:
    for one in facts:
        if one.value is None:
            yield Open(what=one.what, kind="not recorded")
        elif one.old(seen.day):
            yield Open(what=f"{one.what}, {one.when(seen.day)}", kind="older than 12 months")
