"""What the fractures, the height and the spine images of a person come to."""

from __future__ import annotations

import datetime as dt

from patients.ages import add_months, within_months
from patients.facts import Facts, Fracture

UNCOUNTED = "finger_toe_face"
RECENT_RISK_SITES = ("vertebra", "hip", "pelvis", "humerus", "wrist")
NOTHING_BEFORE_DAYS = 28
LOADED_AFTER_DAYS = 84


def low_trauma(fractures: tuple[Fracture, ...] | None) -> tuple[Fracture, ...]:
    """Return the fractures that count; low trauma not recorded counts as low trauma."""
    return tuple(f for f in fractures or () if f.site != UNCOUNTED and f.low_trauma is not False)


def vertebral(fractures: tuple[Fracture, ...] | None) -> tuple[Fracture, ...]:
    """Return the vertebral fractures, whatever broke them."""
    return tuple(f for f in fractures or () if f.site == "vertebra")


def days_since(fracture: Fracture, day: dt.date) -> int | None:
    """Return the days since it broke; None where its date is not recorded."""
    return None if fracture.date is None else (day - fracture.date).days


def is_fresh(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is under four weeks old: nothing is drafted."""
    days = days_since(fracture, day)
    return days is not None and days < NOTHING_BEFORE_DAYS


def is_mending(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is up to twelve weeks old, or answered not healed."""
    days = days_since(fracture, day)
    return fracture.healed is False or (days is not None and days <= LOADED_AFTER_DAYS)


def is_unsure(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it may not have healed: undated, or healing not recorded in a year."""
    if fracture.date is None:
        return True
    return fracture.healed is None and day < add_months(fracture.date, 12)


def is_recent_risk(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is of a major site and of the last 24 months; undated counts."""
    if fracture.site not in RECENT_RISK_SITES:
        return False
    return fracture.date is None or within_months(fracture.date, day, 24)


def is_fragile_spine(fractures: tuple[Fracture, ...] | None) -> bool:
    """Tell of a vertebral fracture, or of two or more low-trauma fractures."""
    return bool(vertebral(fractures)) or len(low_trauma(fractures)) >= 2


def steroid_dose(facts: Facts) -> tuple[float | None, float | None]:
    """Return glucocorticoid mg a day and months; (0, 0) where it is not taken."""
    steroid = facts.medicine("glucocorticoid")
    if steroid.answer is False:
        return 0.0, 0.0
    return steroid.mg_per_day, steroid.months


def steroid_missing(facts: Facts) -> tuple[str, ...]:
    """Return what is not recorded about glucocorticoid, in words."""
    steroid = facts.medicine("glucocorticoid")
    if steroid.answer is None:
        return ("whether a glucocorticoid is taken",)
    if steroid.answer is False:
        return ()
    dose = () if steroid.mg_per_day is not None else ("glucocorticoid dose",)
    return dose + (() if steroid.months is not None else ("months on glucocorticoid",))


def image_reasons(facts: Facts) -> tuple[str, ...]:
    """Return each reason to look for vertebral fracture that no image answers yet."""
    reasons = []
    person, since = facts.person, add_months(facts.as_of, -24)
    if person.height_cm is not None:
        if person.tallest_height_cm is not None:
            loss = round(person.tallest_height_cm - person.height_cm, 1)
            if loss >= 4 and not imaged_since(facts, since):
                reasons.append(f"{loss:g} cm shorter than when tallest")
        for earlier in person.earlier_heights or ():
            loss = round(earlier.cm - person.height_cm, 1)
            if loss >= 2 and not imaged_since(facts, earlier.date):
                reasons.append(f"{loss:g} cm shorter than on {earlier.date.isoformat()}")
    dose, months = steroid_dose(facts)
    if (dose or 0) >= 5 and (months or 0) >= 3 and not imaged_since(facts, since):
        reasons.append(f"glucocorticoid {dose:g} mg a day for {months:g} months")
    return tuple(reasons)


def imaged_since(facts: Facts, day: dt.date) -> bool:
    """Tell whether a spine image of that day or later is recorded."""
    image = facts.spine_image
    return bool(image and image.answer and image.on and image.on >= day)
