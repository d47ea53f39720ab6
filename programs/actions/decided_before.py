"""What somebody had decided of a person, with the reason, in words for a clinician.

A new screen takes none of it back: it stands beside what is found.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from patients.facts.in_words import day_text
from programs.actions.as_signed import NotAsSigned, program_of
from programs.models.program import SignedPlan
from safety.modalities import about_words
from safety.models import Clearance, subjects


@dataclass(frozen=True, kw_only=True)
class Decided:
    """Where decisions stand: the program in her hand, and the clearances not struck out."""

    signed: SignedPlan | None
    clearances: Sequence[Clearance]


def decided_before(of: Decided, day: dt.date) -> Iterator[str]:
    """Yield each decision as a sentence."""
    for row in of.clearances:
        ended = "ended on" if row.until < day else "until"
        yield (
            f"Cleared by {row.given_by}, {ended} {day_text(row.until)}: "
            f"{subjects()[row.subject]}, for {row.modality_names} ({row.says})."
        )
    if of.signed is not None:
        yield from _signed(of.signed)


def _signed(signed: SignedPlan) -> Iterator[str]:
    review = signed.plan.review
    for code, reason in (review.decision.get("lifted", {}) if review else {}).items():
        yield f"Lifted at a review, {code}: {reason.rstrip('.')}."
    try:
        program = program_of(signed)
    except NotAsSigned:
        return
    for edit in program.edits:
        if edit.limit_passed and edit.reason:
            about = about_words(edit.path.partition(".")[0])
            yield f"{about}, past a limit by {edit.by}: {edit.reason.rstrip('.')}."
    for modality, reason in program.left_out.items():
        yield f"{about_words(modality)}, left out: {reason.rstrip('.')}."
