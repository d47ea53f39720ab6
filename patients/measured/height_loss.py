"""Height lost since the tallest and since earlier measurements, and what it calls for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from patients.facts.ages import add_months
from patients.facts.declared import Facts

#: A loss this large calls for a look for vertebral fracture, cm: under the tallest, and under
#: an earlier measurement. Sources disagree on "more than" and "or more", and on men; the
#: careful side is taken for all (ISCD 2007; BHOF 2022, from memory, to be confirmed).
UNDER_TALLEST_CM, UNDER_EARLIER_CM = 4.0, 2.0
#: A spine image answers for a loss since the tallest for this long, calendar months
#: (project choice, for the clinic to confirm).
IMAGE_LASTS_MONTHS = 24


@dataclass(frozen=True)
class Loss:
    """A height lost.

    since   day of the earlier measurement; None for the tallest as remembered
    cm      earlier less today; negative where she is taller now
    large   as large as calls for a look for vertebral fracture
    imaged  a spine image answers for it already
    """

    since: dt.date | None
    then_cm: float
    cm: float
    large: bool
    imaged: bool

    @property
    def look(self) -> bool:
        """Tell whether vertebral fracture is to be looked for."""
        return self.large and not self.imaged


def losses(facts: Facts) -> tuple[Loss, ...]:
    """Return the loss since the tallest, then since each earlier height, newest first.

    () where there is no height today, or nothing to hold it against.
    """
    person = facts.person
    if person.height_cm is None:
        return ()
    earlier = sorted(person.earlier_heights or (), key=lambda h: h.date, reverse=True)
    found = [_loss(facts, h.date, h.cm, person.height_cm, UNDER_EARLIER_CM) for h in earlier]
    if person.tallest_height_cm is not None:
        tallest = person.tallest_height_cm
        found.insert(0, _loss(facts, None, tallest, person.height_cm, UNDER_TALLEST_CM))
    return tuple(found)


def looks(found: Iterable[Loss]) -> bool:
    """Tell whether any loss calls for a look for vertebral fracture."""
    return any(loss.look for loss in found)


def _loss(facts: Facts, since: dt.date | None, then: float, now: float, limit: float) -> Loss:
    cm = round(then - now, 1)
    answers_from = since or add_months(facts.as_of, -IMAGE_LASTS_MONTHS)
    return Loss(since, then, cm, cm >= limit, _imaged_since(facts, answers_from))


def _imaged_since(facts: Facts, day: dt.date) -> bool:
    image = facts.spine_image
    return bool(image and image.answer and image.on and image.on >= day)
