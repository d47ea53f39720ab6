"""What follows a review beside the modalities: whether it may, and what a discharge leaves her."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from programs.actions.refusals import NotDone
from programs.review.half_year import Onward
from programs.review.next_steps import Next
from programs.review.onward import against_discharge, against_maintenance, ending
from programs.review.proposing import Review
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class After:
    """What was decided of the time after the review.

    reason   why she is discharged
    stay     the signed program goes on as it is
    """

    onward: Onward
    reason: str
    stay: bool


def check_after(review: Review, after: After, lifted: Mapping[str, str]) -> None:
    """Raise NotDone where this cannot follow. lifted: precautions lifted, with the reasons."""
    if after.onward is Onward.NEXT_DRAFT:
        return
    if after.stay:
        raise NotDone("Either the signed program stays, or something else follows: choose one.")
    if after.onward is Onward.MAINTENANCE:
        if against := against_maintenance(review):
            raise NotDone(f"Maintenance cannot follow now. {' '.join(against)}")
        return
    if against := against_discharge(review):
        raise NotDone(f"No discharge now. {' '.join(against)}")
    if not after.reason:
        raise NotDone("Say why: a discharge needs its reason.")
    if lifted:
        raise NotDone("What is lifted needs a new draft.")


def left_with(review: Review, decided: Mapping[Modality, Next], after: After) -> dict[str, Any]:
    """Return what a discharge leaves her with, from which her paper is made; else nothing."""
    if after.onward is not Onward.DISCHARGE:
        return {}
    return {"ending": ending(review, decided).written()}
