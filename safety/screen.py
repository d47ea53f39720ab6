"""The safety screen: all rules over the facts of one person."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property, reduce

from patients.facts.declared import Facts
from safety.findings import ALL, NOTHING_ASKED, Finding, Level, Limits, Modality
from safety.rules.all_rules import RULES
from safety.rules.index import Index
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
        return tuple(f for f in self.findings if f.about in (ALL, modality))

    def status(self, modality: Modality) -> Status:
        """Return where a modality stands before equipment and time are looked at."""
        found = self.about(modality)
        if any(f.level is Level.CONTRAINDICATED for f in found):
            return Status.EXCLUDED
        return Status.ON_HOLD if any(f.holds for f in found) else Status.INCLUDED

    def limits(self, modality: Modality) -> Limits:
        """Return the tightest limits that the findings ask of a modality's dose."""
        return self._limits[modality]

    @cached_property
    def _limits(self) -> Mapping[Modality, Limits]:
        return {
            modality: reduce(
                Limits.tightest,
                (f.limits for f in self.about(modality) if f.limits is not NOTHING_ASKED),
                NOTHING_ASKED,
            )
            for modality in Modality
        }

    def until(self, modality: Modality) -> dt.date | None:
        """Return the earliest last day of the clearances that a modality needs (row 22b)."""
        return min((f.until for f in self.about(modality) if f.until), default=None)

    @property
    def spine_spared(self) -> tuple[str, ...]:
        """Return the subjects of the rules that spare the spine (row 5a)."""
        found = (f for f in self.findings if f.limits.spare_spine)
        return tuple(dict.fromkeys(f.rule.removesuffix(f".{f.about}") for f in found))


_BOOK = Index.of(RULES)


def screen(facts: Facts, lifted: frozenset[str] = frozenset()) -> Screen:
    """Screen a person: every rule looks whose facts are no plain no; unknown is never read as no.

    `lifted` holds the codes of rules that a review with no trouble has lifted; only rules
    that say so can be lifted in this way.
    """
    seen = situation(facts)
    return Screen(situation=seen, findings=most_serious_first(_BOOK.look(seen, lifted)))


def most_serious_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings in the order in which they are read; equals keep the order they came in."""
    return tuple(sorted(findings, key=_seriousness))


_ORDER = {level: place for place, level in enumerate(Level)}


def _seriousness(finding: Finding) -> tuple[bool, bool, bool, int]:
    """Most serious first: what stops everything, then by level; what is cleared last."""
    stops = finding.blocks and finding.level is Level.REFER
    return (finding.cleared, not stops, not finding.same_day, _ORDER[finding.level])
