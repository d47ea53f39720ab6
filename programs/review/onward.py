"""What may follow a review beside the next draft: one dose that holds, or a discharge (row 29a)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from programs.dose.limit import DRAFT_WEEKS
from programs.draft import person
from programs.review.half_year import Onward, weeks_over
from programs.review.next_steps import STEPS_BACK, Next
from programs.review.proposing import Review
from programs.signed.ending import Ending, Kept
from safety.findings import Modality

WORDS: Mapping[Onward, str] = {
    Onward.NEXT_DRAFT: "Next draft",
    Onward.MAINTENANCE: "Maintenance: one steady dose",
    Onward.DISCHARGE: "Discharged: no program follows",
}
#: What goes on without a program. The plate does not: who may stand on it has to be looked at
#: again and again. Project choice, for the clinic to confirm.
WITHOUT_A_PROGRAM = (Modality.RESISTANCE, Modality.IMPACT, Modality.BALANCE, Modality.POSTURE)


def against_maintenance(review: Review) -> tuple[str, ...]:
    """Say why one dose that holds may not follow; empty where it may."""
    left = DRAFT_WEEKS - weeks_over(review.held, review.next_start)
    if left <= 0 or review.held.resume.maintains:
        return ()
    day = review.next_start + dt.timedelta(weeks=left)
    return (f"Half a year of the ramp is over on {day:%-d %B %Y}, not before.",)


def against_discharge(review: Review) -> tuple[str, ...]:
    """Say why she may not be discharged; empty where she may."""
    asked = [f"To be asked again first: {', '.join(review.ask)}."] if review.ask else []
    blocked = [one.text for one in review.included.screen.blocked]
    return tuple(asked + blocked)


def ending(review: Review, decided: Mapping[Modality, Next]) -> Ending:
    """Return what she keeps doing: what was done, is not stopped, and is included today."""
    made = review.included
    restart = review.restart(decided, onward=None)
    going = [m for m in WITHOUT_A_PROGRAM if m in restart.going and _goes_on(review, m, decided)]
    return Ending(
        keeps={
            m: Kept(
                until=made.standings[m].until,
                easier=decided[m] in STEPS_BACK or restart.lower(m),
            )
            for m in going
        },
        near_support=person.near_support(made.screen),
    )


def _goes_on(review: Review, modality: Modality, decided: Mapping[Modality, Next]) -> bool:
    """Tell whether it goes on from what was done; what starts again needs a program."""
    done = review.ledger.last_dose(modality)
    return done is not None and decided[modality] is not Next.START_AGAIN
