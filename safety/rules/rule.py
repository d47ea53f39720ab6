"""What a rule is. It cannot be declared without its source."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from safety.findings import ALL, Finding, Level, Limits, Modality
from safety.situation import Situation

REVIEWED_ON = dt.date(2026, 11, 25)
REVIEW_BY = dt.date(2027, 11, 25)


class Unanswered(StrEnum):
    """What happens while a fact that the rule needs is not recorded."""

    HOLD = "on hold until answered"
    DOSE = "dosed as if the answer were yes"
    NOTE = "asked for"
    BLOCK = "nothing is issued until asked"


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What a rule saw: True fires it, False does not, None is not recorded."""

    answer: bool | None
    facts: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Lift:
    """What lifts a rule: a clearance of this subject, from someone of these words."""

    subject: str
    by: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One declared rule. `when` sees a situation; `reads` names the facts it reads."""

    code: str
    applies_to: Modality | str
    reads: tuple[str, ...]
    when: Callable[[Situation], Seen]
    level: Level
    limits: Limits
    unanswered: Unanswered
    lifted_by: Lift | None
    review_lifts: bool
    blocks: bool
    same_day: bool
    reason: str
    source: tuple[str, ...]
    evidence: str
    reviewed_on: dt.date
    review_by: dt.date

    def look(self, seen_from: Situation, *, lifted: bool = False) -> Finding | None:
        """Return what the rule finds, or None where it has nothing to say."""
        seen = self.when(seen_from)
        if seen.answer is None:
            return self._not_recorded(seen)
        if not seen.answer:
            return None
        found = self._found(seen, seen_from)
        return self._lifted(found) if lifted and self.review_lifts else found

    def _lifted(self, found: Finding) -> Finding:
        """A review with no trouble leaves the word of caution and lifts what it asks."""
        return replace(
            found,
            level=Level.PRECAUTION,
            text=f"{found.text} Lifted at a review.",
            cleared=True,
            holds=False,
            limits=Limits(),
        )

    def _not_recorded(self, seen: Seen) -> Finding:
        dosed = self.unanswered is Unanswered.DOSE
        return Finding(
            rule=self.code,
            about=self.applies_to,
            level=Level.MISSING,
            text=f"Not recorded: {', '.join(seen.missing)}. {self.unanswered.capitalize()}.",
            sources=self.source,
            facts=seen.facts,
            missing=seen.missing,
            holds=self.unanswered is Unanswered.HOLD,
            blocks=self.unanswered is Unanswered.BLOCK,
            limits=self.limits if dosed else Limits(),
        )

    def _found(self, seen: Seen, seen_from: Situation) -> Finding:
        leave = self._leave(seen_from)
        level = Level.NEEDS_CLEARANCE if leave else self.level
        return Finding(
            rule=self.code,
            about=self.applies_to,
            level=level,
            text=f"{self.reason} Cleared by {leave}." if leave else self.reason,
            sources=self.source,
            facts=seen.facts,
            missing=seen.missing,
            cleared=bool(leave),
            holds=level in (Level.NEEDS_CLEARANCE, Level.MISSING) and not leave,
            blocks=self.blocks and not leave,
            same_day=self.same_day,
            limits=self.limits,
        )

    def _leave(self, seen_from: Situation) -> str:
        if self.lifted_by is None:
            return ""
        subject, by = self.lifted_by.subject, self.lifted_by.by
        wanted = tuple(Modality) if self.applies_to == ALL else (self.applies_to,)
        given = (seen_from.cleared(subject, modality, by) for modality in wanted)
        return next((name for name in given if name), "")


def rule(
    code: str,
    applies_to: Modality | str,
    level: Level,
    when: Callable[[Situation], Seen],
    *,
    reads: tuple[str, ...],
    reason: str,
    source: tuple[str, ...],
    evidence: str,
    unanswered: Unanswered,
    limits: Limits | None = None,
    lifted_by: Lift | None = None,
    review_lifts: bool = False,
    blocks: bool = False,
    same_day: bool = False,
) -> Rule:
    """Declare a rule, reviewed with the rulebook as a whole."""
    return Rule(
        code=code,
        applies_to=applies_to,
        reads=reads,
        when=when,
        level=level,
        limits=limits or Limits(),
        unanswered=unanswered,
        lifted_by=lifted_by,
        review_lifts=review_lifts,
        blocks=blocks,
        same_day=same_day,
        reason=reason,
        source=source,
        evidence=evidence,
        reviewed_on=REVIEWED_ON,
        review_by=REVIEW_BY,
    )


#: What a precaution asks of each modality unless the rule says more (rulebook rows 7-10).
PRECAUTION_LIMITS = {
    Modality.PLATE: Limits(plate_start_dose=True),
    Modality.RESISTANCE: Limits(percent_1rm=70, reps_in_reserve=3, no_held_breath=True),
    Modality.IMPACT: Limits(impact_bw=2.0),
    Modality.BALANCE: Limits(near_support=True),
    Modality.POSTURE: Limits(),
}
PRECAUTION_WORDS = {
    Modality.PLATE: "The plate stays at its start dose until a review lifts it.",
    Modality.RESISTANCE: "Lift at most 70 %, keep 3 repetitions in reserve, never hold the breath.",
    Modality.IMPACT: "Impact to 2 body weights; no jumps.",
    Modality.BALANCE: "Balance work within a hand's reach of support.",
    Modality.POSTURE: "Posture work with this in mind.",
}
