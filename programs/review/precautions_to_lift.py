"""What a review with no trouble may lift: precautions that hold until then.

Never lifted by itself: the clinician ticks it and says why.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patients.facts.declared import Resources
from programs.draft.resume import FRAGILE_CAP
from programs.review.adherence import Seen, Session, percent
from safety.findings import Finding, Level, Modality
from safety.rules.all_rules import RULES
from safety.screen import Screen
from safety.sources import cite

ADVANCE_PERCENT = 80
#: Weeks done before a precaution may be lifted, and before a faller's bar on walking may.
WEEKS_DONE, WEEKS_OF_A_FALLER = 4, 12
FALLER_IMPACT = "falls.high.impact"
#: Pain to here lets a program advance.
PAIN_EASY = 3


@dataclass(frozen=True, kw_only=True)
class Liftable:
    """One precaution that a review may lift, by the code of its rule."""

    code: str
    text: str
    sources: tuple[str, ...]


def liftable(screen: Screen, cap_g: float | None) -> tuple[Liftable, ...]:
    """Return the precautions of this person that a review with no trouble may lift.

    Those on the plate only where there is one.
    cap_g   what the plate of a fragile person is held to; None: lifted altogether
    """
    may = {rule.code for rule in RULES if rule.review_lifts}
    resources = screen.situation.facts.resources or Resources()
    found = [
        _of(finding)
        for finding in screen.findings
        if finding.rule in may
        and finding.level is not Level.MISSING
        and (finding.about is not Modality.PLATE or resources.plates)
    ]
    if screen.situation.fragile and resources.plates and cap_g is not None:
        words = f"Fragile on the plate: its peak is capped at {cap_g:g} g. One step up, no further."
        found.append(Liftable(code=FRAGILE_CAP, text=words, sources=cite("project")))
    return tuple(found)


def _of(finding: Finding) -> Liftable:
    return Liftable(code=finding.rule, text=finding.text, sources=finding.sources)


def against_lifting(
    seen: Sequence[Seen], entries: Sequence[Session], trouble: bool
) -> tuple[str, ...]:
    """Say why nothing may be lifted, since the program was signed; empty where it may be.

    trouble   a fall, a broken bone or a warning sign
    """
    reasons = (
        (trouble, "There was a fall, a broken bone or a warning sign."),
        (
            not any(one.full >= WEEKS_DONE for one in seen),
            f"{WEEKS_DONE} full weeks are not over yet.",
        ),
        (not _kept_up(seen), f"Less than {ADVANCE_PERCENT} % of the sessions were done."),
        (any((one.pain or 0) > PAIN_EASY for one in entries), f"Pain above {PAIN_EASY}."),
        (_unknown(entries, "pain"), "Pain was not recorded for every session."),
        (_unknown(entries, "fell"), "Falls were not asked about for every session."),
    )
    return tuple(words for applies, words in reasons if applies)


def against_walking(weeks_done: int, *, stances_hold: bool) -> tuple[str, ...]:
    """Say what more speaks against lifting a faller's bar on impact (last line of rows 7 to 10).

    weeks_done     weeks of which at least half was done
    stances_hold   the stance tests were repeated and are no worse
    """
    rules = (
        (
            weeks_done < WEEKS_OF_A_FALLER,
            f"{weeks_done} weeks were done, {WEEKS_OF_A_FALLER} are needed.",
        ),
        (not stances_hold, "The stance tests were not repeated, or are worse."),
    )
    return tuple(words for applies, words in rules if applies)


def _kept_up(seen: Sequence[Seen]) -> bool:
    """Tell whether enough was done, of all since the start and of each in the last weeks."""
    wanted = sum(week.planned for one in seen for week in one.over)
    done = sum(week.done for one in seen for week in one.over)
    recent = [one.percent(one.last) for one in seen]
    lately = all(value is None or value >= ADVANCE_PERCENT for value in recent)
    return bool(wanted) and percent(done, wanted) >= ADVANCE_PERCENT and lately


def _unknown(entries: Sequence[Session], name: str) -> bool:
    return any(one.trained and getattr(one, name) is None for one in entries)
