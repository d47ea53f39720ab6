"""What a rule is. It cannot be declared without its source."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from patients.facts.declared import Clearance
from safety.findings import ALL, NOTHING_ASKED, Finding, Level, Limits, Modality
from safety.situation import Situation

REVIEWED_ON = dt.date(2026, 11, 28)
REVIEW_BY = dt.date(2027, 11, 28)
#: What a clearance says where the dose needs no limit.
NO_LIMIT = "none"
#: What a finding that was cleared says of its dose.
DOSED_AS_PRECAUTION = "Dosed as a precaution"


_HOLD = (Level.NEEDS_CLEARANCE, Level.MISSING)


class Unanswered(StrEnum):
    """What happens while a fact that the rule needs is not recorded."""

    HOLD = "on hold until answered"
    DOSE = "dosed as if the answer were yes"
    NOTE = "asked for"
    BLOCK = "nothing is issued until asked"


class Seen(NamedTuple):
    """What a rule saw: True fires it, False does not, None is not recorded."""

    answer: bool | None
    facts: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


#: A rule saw nothing to speak of.
NO = Seen(answer=False)


@dataclass(frozen=True, kw_only=True)
class Lift:
    """What lifts a rule: a clearance of this subject, where it asks so by an eye doctor.

    as_precaution   cleared, it is dosed as a precaution unless the clearance says otherwise
    """

    subject: str
    eye_doctor: bool = False
    as_precaution: bool = True


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
        return None if seen.answer is False else self.told(seen, seen_from, lifted=lifted)

    def told(self, seen: Seen, seen_from: Situation, *, lifted: bool = False) -> Finding:
        """Return what the rule finds by what it saw, which was something to speak of."""
        if seen.answer is None:
            return self._not_recorded(seen)
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
            limits=NOTHING_ASKED,
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
            limits=self.limits if dosed else NOTHING_ASKED,
            dosed=dosed,
        )

    def _found(self, seen: Seen, seen_from: Situation) -> Finding:
        leave = self._leave(seen_from)
        if leave is not None:
            return self._cleared(seen, leave)
        return Finding(
            rule=self.code,
            about=self.applies_to,
            level=self.level,
            text=self.reason,
            sources=self.source,
            facts=seen.facts,
            missing=seen.missing,
            holds=self.level in _HOLD,
            blocks=self.blocks,
            same_day=self.same_day,
            limits=self.limits,
        )

    def _cleared(self, seen: Seen, leave: Clearance) -> Finding:
        given = f"{leave.by}, {leave.on:%-d %B %Y} to {leave.until:%-d %B %Y}"
        limits = self._limits_under(leave)
        return Finding(
            rule=self.code,
            about=self.applies_to,
            level=Level.NEEDS_CLEARANCE,
            text=f"{self.reason} Cleared by {given}{self._dosed(leave)}",
            sources=self.source,
            facts=seen.facts,
            missing=seen.missing,
            cleared=True,
            same_day=self.same_day,
            limits=limits,
            until=leave.until,
            dosed=limits != NOTHING_ASKED,
        )

    def _dosed(self, leave: Clearance) -> str:
        """Say how it is dosed after all; nothing where the clearance is of no modality."""
        if self.lifted_by is None or not self.lifted_by.as_precaution or self.applies_to == ALL:
            return "."
        return f". {'No limit is needed' if leave.limits == NO_LIMIT else DOSED_AS_PRECAUTION}."

    def _limits_under(self, leave: Clearance) -> Limits:
        """A modality that was cleared is dosed as a precaution, unless the leave says otherwise."""
        careful = self.lifted_by is not None and self.lifted_by.as_precaution
        if not careful or leave.limits == NO_LIMIT or self.applies_to == ALL:
            return NOTHING_ASKED
        return PRECAUTION_LIMITS[Modality(self.applies_to)]

    def _leave(self, seen_from: Situation) -> Clearance | None:
        if self.lifted_by is None:
            return None
        lift = self.lifted_by
        wanted = tuple(Modality) if self.applies_to == ALL else (self.applies_to,)
        given = (seen_from.cleared(lift.subject, m, lift.eye_doctor) for m in wanted)
        return next((leave for leave in given if leave), None)


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
        limits=limits or NOTHING_ASKED,
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
    Modality.RESISTANCE: Limits(percent_1rm=70, least_could_lift=17, no_held_breath=True),
    Modality.IMPACT: Limits(impact_bw=2.0),
    Modality.BALANCE: Limits(near_support=True),
    Modality.POSTURE: Limits(),
}
PRECAUTION_WORDS = {
    Modality.PLATE: "The plate stays at its start dose until a review lifts it.",
    Modality.RESISTANCE: "Lift at most 70 %, never hold the breath.",
    Modality.IMPACT: "Impact to 2 body weights; no jumps.",
    Modality.BALANCE: "Balance work within a hand's reach of support.",
    Modality.POSTURE: "Posture work with this in mind.",
}
