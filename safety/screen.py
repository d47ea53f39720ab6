"""The safety screen: all rules over the facts of one person."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce

from patients.facts import Facts
from safety.findings import Finding, Level, Limits, Modality
from safety.rules.book import RULES
from safety.rules.rule import Rule
from safety.situation import Situation, situation


class Status(StrEnum):
    """Where a modality stands."""

    INCLUDED = "included"
    ON_HOLD = "on_hold"
    EXCLUDED = "excluded"


@dataclass(frozen=True, kw_only=True)
class Screen:
    """All that the screen says of one person on one day."""

    situation: Situation
    findings: tuple[Finding, ...]

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """Return what stops anything from being issued: red flags, a fresh fracture."""
        return tuple(f for f in self.findings if f.blocks)

    def about(self, modality: Modality) -> tuple[Finding, ...]:
        """Return the findings about one modality or about all, most serious first."""
        return tuple(f for f in self.findings if modality in f.modalities)

    def status(self, modality: Modality) -> Status:
        """Return where a modality stands before equipment and time are looked at."""
        found = self.about(modality)
        if any(f.level is Level.CONTRAINDICATED for f in found):
            return Status.EXCLUDED
        return Status.ON_HOLD if any(f.holds for f in found) else Status.INCLUDED

    def limits(self, modality: Modality) -> Limits:
        """Return the tightest limits that the findings ask of a modality's dose."""
        return reduce(Limits.tightest, (f.limits for f in self.about(modality)), Limits())


def screen(
    facts: Facts, rules: Iterable[Rule] = RULES, lifted: frozenset[str] = frozenset()
) -> Screen:
    """Screen a person: every rule looks, unknown is never read as no.

    `lifted` holds the codes of rules that a review with no trouble has lifted; only rules
    that say so can be lifted in this way.
    """
    seen = situation(facts)
    looked = (rule.look(seen, lifted=rule.code in lifted) for rule in rules)
    return Screen(situation=seen, findings=most_serious_first(f for f in looked if f is not None))


def most_serious_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order in which they are read; equals keep the order they came in."""
    return tuple(sorted(findings, key=_seriousness))


_ORDER = tuple(Level)


def _seriousness(finding: Finding) -> tuple[bool, bool, bool, int]:
    """Most serious first: what stops everything, then by level; what is cleared last."""
    stops = finding.blocks and finding.level is Level.REFER
    return (finding.cleared, not stops, not finding.same_day, _ORDER.index(finding.level))
