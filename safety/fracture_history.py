"""What the fractures, the height, the medicines and the spine images of a person come to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from patients.facts.ages import add_months, within_months
from patients.facts.codes import FRACTURE_SITES
from patients.facts.declared import Facts, Fracture
from patients.facts.partial_dates import DAY, known_of, span_of, told_words
from patients.measured.density import NOT_COUNTED, counts_as_low_trauma

RECENT_RISK_SITES = ("vertebra", "hip", "pelvis", "humerus", "wrist")
ARM_SITES = ("humerus", "wrist")
#: Sites whose break bars the plate and, of impact, all above walking; the toe bars all impact.
MINOR_SITES = ("finger", "face")
TOE_SITES = ("toe", "finger_toe_face")
NOTHING_BEFORE_DAYS = 28
LOADED_AFTER_DAYS = 84
RISK_MONTHS = 24
#: Denosumab wears off from here on, in months after the last dose.
DENOSUMAB_MONTHS, NEXT_DOSE_MONTHS = 7, 6
SHORTER_THAN_TALLEST_CM, SHORTER_THAN_BEFORE_CM = 4, 2


def each_once(fractures: Iterable[Fracture]) -> tuple[Fracture, ...]:
    """Return the fractures with one entered twice, by bone and day, taken as one.

    Of the two entries the worse answers are kept. Each vertebra is an entry of its own.
    """
    kept: dict[object, Fracture] = {}
    for index, one in enumerate(fractures):
        key = (one.site, one.date) if _may_be_twice(one) else index
        kept[key] = _worse_of(kept[key], one) if key in kept else one
    return tuple(kept.values())


def twice(fractures: Iterable[Fracture] | None) -> tuple[str, ...]:
    """Return each bone that was entered twice for one day, in words."""
    seen: set[object] = set()
    named = []
    for one in fractures or ():
        key = (one.site, one.date)
        if _may_be_twice(one) and key in seen and one.date:
            named.append(f"{FRACTURE_SITES[one.site]}, {told_words(one.date)}")
        seen.add(key)
    return tuple(dict.fromkeys(named))


def _may_be_twice(one: Fracture) -> bool:
    return one.site != "vertebra" and one.date is not None and known_of(one.date) == DAY


def _worse_of(a: Fracture, b: Fracture) -> Fracture:
    return Fracture(
        site=a.site,
        date=a.date,
        low_trauma=_worse(a.low_trauma, b.low_trauma, True),
        healed=_worse(a.healed, b.healed, False),
        atypical=_worse(a.atypical, b.atypical, True),
    )


def _worse(a: bool | None, b: bool | None, worst: bool) -> bool | None:
    """Return the worse of two answers: the worst, then not recorded, then the other."""
    return worst if worst in (a, b) else None if None in (a, b) else not worst


def low_trauma(fractures: Iterable[Fracture] | None) -> tuple[Fracture, ...]:
    """Return the fractures that count; low trauma not recorded counts as low trauma."""
    return tuple(f for f in fractures or () if counts_as_low_trauma(f))


def vertebral(fractures: Iterable[Fracture] | None) -> tuple[Fracture, ...]:
    """Return the vertebral fractures, whatever broke them."""
    return tuple(f for f in fractures or () if f.site == "vertebra")


def days_since(fracture: Fracture, day: dt.date) -> int | None:
    """Return the days since it broke; None where its date is not recorded."""
    return None if fracture.date is None else (day - fracture.date).days


def is_fresh(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is under four weeks old."""
    days = days_since(fracture, day)
    return days is not None and days < NOTHING_BEFORE_DAYS


def is_mending(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is up to twelve weeks old, or not healed.

    Undated, it is healed only where that was answered.
    """
    days = days_since(fracture, day)
    if days is None:
        return fracture.healed is not True
    return fracture.healed is False or days <= LOADED_AFTER_DAYS


def is_unsure(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it may not have healed: up to a year old, and not recorded."""
    if fracture.date is None or fracture.site in NOT_COUNTED:
        return False
    return fracture.healed is None and day < add_months(fracture.date, 12)


def is_recent_risk(fracture: Fracture, day: dt.date) -> bool:
    """Tell whether it is of a major site and of the last 24 months; undated counts."""
    if fracture.site not in RECENT_RISK_SITES:
        return False
    return fracture.date is None or within_months(fracture.date, day, RISK_MONTHS)


def is_several(fractures: Iterable[Fracture] | None) -> bool:
    """Tell of two or more low-trauma fractures."""
    return len(low_trauma(fractures)) >= 2


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
    return (*_height_reasons(facts), *_steroid_reasons(facts), *_denosumab_reasons(facts))


def _height_reasons(facts: Facts) -> tuple[str, ...]:
    now = facts.person.height_cm
    if now is None:
        return ()
    found = [
        (round(cm - now, 1), least, words)
        for cm, least, words, since in _heights_before(facts)
        if not imaged_since(facts, since)
    ]
    return tuple(
        f"{loss:g} cm shorter than {words}" for loss, least, words in found if loss >= least
    )


def _heights_before(facts: Facts) -> list[tuple[float, float, str, dt.date]]:
    """Return each greater height told: cm, the loss that counts, words, day an image is of."""
    person, since = facts.person, add_months(facts.as_of, -24)
    told = [] if person.tallest_height_cm is None else [person.tallest_height_cm]
    return [
        *((cm, SHORTER_THAN_TALLEST_CM, "when tallest", since) for cm in told),
        *(
            (one.cm, SHORTER_THAN_BEFORE_CM, f"on {one.date.isoformat()}", one.date)
            for one in person.earlier_heights or ()
        ),
    ]


def height_missing(facts: Facts) -> bool:
    """Tell whether a loss of height cannot be ruled out: none of today, and no image since."""
    if facts.person.height_cm is not None:
        return False
    return any(not imaged_since(facts, since) for *_, since in _heights_before(facts))


def _steroid_reasons(facts: Facts) -> tuple[str, ...]:
    dose, months = steroid_dose(facts)
    long = (dose or 0) >= 5 and (months or 0) >= 3
    if not long or imaged_since(facts, add_months(facts.as_of, -24)):
        return ()
    return (f"glucocorticoid {dose:g} mg a day for {months:g} months",)


def _denosumab_reasons(facts: Facts) -> tuple[str, ...]:
    last = last_denosumab(facts)
    if last is None or not denosumab_overdue(facts):
        return ()
    # The image must be of the time after; where only a year was told, of the latest it can mean.
    latest = span_of(last).until(facts.as_of)
    if imaged_since(facts, add_months(latest, DENOSUMAB_MONTHS)):
        return ()
    return (f"last denosumab {told_words(last)}, and nothing after it",)


def last_denosumab(facts: Facts) -> dt.date | None:
    """Return the day of the last dose of denosumab, where it is the newest bone medicine."""
    return facts.medicine("bone_medicine").last_dose_on if on_denosumab(facts) else None


def on_denosumab(facts: Facts) -> bool:
    """Tell whether the newest bone medicine is denosumab, stopped or not."""
    medicine = facts.medicine("bone_medicine")
    return medicine.answer is not False and medicine.kind == "denosumab"


def denosumab_overdue(facts: Facts) -> bool:
    """Tell whether its last dose is more than seven months ago."""
    last = last_denosumab(facts)
    return last is not None and facts.as_of > add_months(last, DENOSUMAB_MONTHS)


def next_dose_due(facts: Facts) -> dt.date | None:
    """Return the day on which the next dose of denosumab is due; None once it is overdue."""
    last = last_denosumab(facts)
    if last is None or denosumab_overdue(facts):
        return None
    return add_months(last, NEXT_DOSE_MONTHS)


def imaged_since(facts: Facts, day: dt.date) -> bool:
    """Tell whether a spine image of that day or later is recorded."""
    image = facts.spine_image
    return bool(image and image.answer and image.on and image.on >= day)
