"""The rulebook laid out for reading: a chapter a modality, the most serious rules first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from safety.findings import ALL, Level, Modality
from safety.modalities import about_words
from safety.rules.rule import Rule
from safety.words import LEVEL_WORDS, fact_words, limits_words

_ORDER = tuple(Level)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One rule for reading. overdue: its review is past."""

    rule: Rule
    overdue: bool

    @property
    def level_words(self) -> str:
        """Return the level in words."""
        return LEVEL_WORDS[self.rule.level]

    @property
    def says(self) -> str:
        """Return what the clinician reads when it fires; a rule that only asks says so."""
        return self.rule.reason or "Asks, for as long as it is not recorded."

    @property
    def reads(self) -> str:
        """Return the facts that it reads, in words."""
        return "; ".join(dict.fromkeys(fact_words(path) for path in self.rule.reads))

    @property
    def asks(self) -> str:
        """Return what it asks of the dose, in words."""
        return "; ".join(limits_words(self.rule.limits))

    @property
    def lifted(self) -> str:
        """Return what lifts it."""
        clearance = self.rule.lifted_by
        who = " by an eye doctor" if clearance and clearance.eye_doctor else ""
        ways = (
            f"a clearance{who}" if clearance else "",
            "a review with no trouble" if self.rule.review_lifts else "",
        )
        return " or ".join(way for way in ways if way)


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """The rules about one modality, or about the whole program."""

    about: Modality | str
    entries: tuple[Entry, ...]

    @property
    def name(self) -> str:
        """Return the modality in words."""
        return about_words(self.about)


def chapters(rules: Iterable[Rule], day: dt.date) -> tuple[Chapter, ...]:
    """Return all rules, each once."""
    ordered = sorted(rules, key=lambda rule: (not rule.blocks, _ORDER.index(rule.level)))
    return tuple(
        Chapter(
            about=about,
            entries=tuple(
                Entry(rule=rule, overdue=is_overdue(rule, day))
                for rule in ordered
                if rule.applies_to == about
            ),
        )
        for about in (ALL, *Modality)
    )


def is_overdue(rule: Rule, day: dt.date) -> bool:
    """Tell whether the day by which a rule was to be reviewed is past."""
    return day > rule.review_by


def overdue(rules: Iterable[Rule], day: dt.date) -> int:
    """Return how many rules are overdue for review."""
    return sum(1 for rule in rules if is_overdue(rule, day))
