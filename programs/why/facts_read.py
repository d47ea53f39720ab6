"""What a rule reads of a person: each fact with value, unit and day, and what is open about it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patients.facts import codes
from patients.facts.ages import add_months
from patients.facts.codes import in_a_line
from patients.facts.declared import (
    Facts,
    Falls,
    Lift,
    Medicine,
    Person,
    Probability,
    Resources,
    Tests,
)
from patients.facts.in_words import day_text, show, summary
from patients.facts.question import asks
from patients.facts.units import show_number
from safety.situation import situation

OLD_AFTER_MONTHS = 12


@dataclass(frozen=True, kw_only=True)
class Used:
    """One fact as a rule reads it.

    value   in words, with its unit; None where it is not recorded
    day     the day it was found; None where it is an answer that has none of its own
    ages    an older finding says less; an answer or an event does not age in this way
    """

    what: str
    value: str | None
    day: dt.date | None = None
    ages: bool = False

    def when(self, as_of: dt.date) -> str:
        """Return the day in words."""
        return f"on {day_text(self.day)}" if self.day else f"as on record on {day_text(as_of)}"

    def old(self, as_of: dt.date) -> bool:
        """Tell whether it was found more than twelve months before."""
        return self.ages and self.day is not None and add_months(self.day, OLD_AFTER_MONTHS) < as_of


def used(path: str, facts: Facts) -> tuple[Used, ...]:
    """Return what stands at a path that rules read, at least one line for each path."""
    head, _, tail = path.partition(".")
    if path in _WHOLE:
        return tuple(_WHOLE[path](facts))
    if head in _ANSWERED:
        return tuple(_ANSWERED[head](facts, tail))
    if head == "tests":
        return tuple(_one_test(facts, tail))
    of, part = _GROUPS[head](facts)
    ask = asks(of)[tail]
    value = getattr(part, tail, None) if part is not None else None
    if value == ():
        return (Used(what=ask.question, value="none"),)
    if isinstance(value, tuple) and not isinstance(value[0], str | int | float):
        return tuple(_of_list(ask.question, value))
    return (Used(what=ask.question, value=show(ask, value)),)


_GROUPS: Mapping[str, Callable[[Facts], tuple[type[Any], Any]]] = {
    "person": lambda facts: (Person, facts.person),
    "falls": lambda facts: (Falls, facts.falls),
    "resources": lambda facts: (Resources, facts.resources),
}


def _of_list(question: str, items: tuple[Any, ...]) -> Iterator[Used]:
    for item in items:
        day = getattr(item, "date", None)
        yield Used(what=question, value=summary(item, ("date",)), day=day)


def _condition(facts: Facts, path: str) -> Iterator[Used]:
    code, _, part = path.partition(".")
    condition, label = facts.condition(code), codes.CONDITIONS[code]
    if part == "on":
        day = condition.on
        yield Used(
            what=f"Date of: {in_a_line(label)}", value=day_text(day) if day else None, day=day
        )
        return
    degree = f", {condition.degree}" if condition.degree else ""
    value = _answer(condition.answer)
    yield Used(what=label, value=value and value + degree, day=condition.on)
    if condition.answer and condition.on is None and code in codes.DATED_CONDITIONS:
        yield Used(what=f"Date of: {in_a_line(label)}", value=None)
    if condition.answer and condition.degree is None and code == "osteoarthritis":
        yield Used(what=f"Degree of: {in_a_line(label)}", value=None)


def _symptom(facts: Facts, code: str) -> Iterator[Used]:
    yield Used(what=codes.SYMPTOMS[code], value=_answer(facts.symptom(code).answer))


def _medicine(facts: Facts, code: str) -> Iterator[Used]:
    label, held = codes.MEDICINES[code], facts.medicine(code)
    yield Used(what=label, value=_answer(held.answer))
    if held.answer:
        details = codes.MEDICINE_DETAILS.get(code, ())
        for name, ask in asks(Medicine).items():
            if name in details:
                yield Used(what=f"{label}: {ask.question}", value=show(ask, getattr(held, name)))


_ANSWERED: Mapping[str, Callable[[Facts, str], Iterator[Used]]] = {
    "conditions": _condition,
    "symptoms": _symptom,
    "medicines": _medicine,
}


def _answer(answer: bool | None) -> str | None:
    return None if answer is None else "yes" if answer else "no"


def _fractures(facts: Facts) -> Iterator[Used]:
    if not facts.fractures:
        yield Used(what="Fractures", value=None if facts.fractures is None else "none")
    for one in facts.fractures or ():
        known = summary(one, ("site", "date"))
        value = ", ".join(word for word in (codes.FRACTURE_SITES[one.site], known) if word)
        yield Used(what="Fracture", value=value, day=one.date)
        for name in ("low_trauma", "healed", "date"):
            if getattr(one, name) is None:
                ask = asks(type(one))[name]
                where = codes.FRACTURE_SITES[one.site]
                yield Used(what=f"Fracture of the {where}: {in_a_line(ask.question)}", value=None)


def _scans(facts: Facts) -> Iterator[Used]:
    scored = [s for s in facts.scans or () if s.t is not None or s.z is not None]
    if not scored:
        yield Used(what="Density result", value=None)
    newest: dict[str, Any] = {}
    for scan in sorted(scored, key=lambda one: one.date):
        newest[scan.site] = scan
    for site, scan in newest.items():
        scores = (("T", scan.t), ("Z", scan.z))
        shown = (f"{name} {show_number(score, 1)}" for name, score in scores if score is not None)
        value = ", ".join(shown)
        yield Used(what=codes.SCAN_SITES[site].capitalize(), value=value, day=scan.date, ages=True)


def _spine_image(facts: Facts) -> Iterator[Used]:
    image = facts.spine_image
    answer, day = (image.answer, image.on) if image else (None, None)
    yield Used(
        what="Spine imaged for vertebral fracture", value=_answer(answer), day=day, ages=True
    )
    if answer and day is None:
        yield Used(what="Day of the spine image", value=None)


def _probability(facts: Facts) -> Iterator[Used]:
    for name, ask in asks(Probability).items():
        value = getattr(facts.probability_10y, name, None)
        yield Used(what=f"Ten-year probability: {in_a_line(ask.question)}", value=show(ask, value))


def _falls(facts: Facts) -> Iterator[Used]:
    held = facts.falls or Falls()
    of_a_fall = ("injury", "long_lie", "blackout") if held.last_12_months == 0 else ()
    for name, ask in asks(Falls).items():
        if name not in of_a_fall or getattr(held, name):
            yield Used(what=ask.question, value=show(ask, getattr(held, name)))


def _one_test(facts: Facts, name: str) -> Iterator[Used]:
    """Yield the newest result of one test, or those that were not possible."""
    seen, ask = situation(facts).tests, asks(Tests)[name]
    value = getattr(seen.newest, name) or None
    yield Used(what=ask.question, value=show(ask, value), day=seen.days.get(name), ages=True)


def _tests(facts: Facts) -> Iterator[Used]:
    seen = situation(facts).tests
    if not seen.days:
        yield Used(what="Function tests", value=None)
    for name, on in seen.days.items():
        ask, value = asks(Tests)[name], getattr(seen.newest, name)
        shown = "not possible" if value is None else show(ask, value)
        yield Used(what=ask.question, value=shown, day=on, ages=True)
        if on is None:
            yield Used(what=f"Day of: {in_a_line(ask.question)}", value=None)


def _clearances(facts: Facts) -> Iterator[Used]:
    if not facts.clearances:
        yield Used(what="Clearances", value=None if facts.clearances is None else "none")
    for one in facts.clearances or ():
        said = (
            f"{codes.CLEARANCE_SUBJECTS.get(one.subject, one.subject)}, by {one.by}",
            f"until {day_text(one.until)}",
            codes.CLEARANCE_LIMITS.get(one.limits or "", ""),
            "given by an eye doctor" if one.eye_specialist else "",
        )
        yield Used(what="Clearance", value=", ".join(filter(None, said)), day=one.on)


def _lifts(facts: Facts) -> Iterator[Used]:
    if not facts.lifts:
        yield Used(what="A set lifted to fatigue", value=None)
    for one in facts.lifts or ():
        yield Used(what=_lift_name(one), value=f"{one.kg:g} kg × {one.reps}", day=one.on, ages=True)
        if one.on is None:
            yield Used(what=f"Day of the set: {_lift_name(one).lower()}", value=None)


def _lift_name(lift: Lift) -> str:
    return lift.lift.replace("_", " ").capitalize()


def _aims(facts: Facts) -> Iterator[Used]:
    ask = asks(Facts)["aims"]
    yield Used(what=ask.question, value=show(ask, facts.aims) if facts.aims else None)


def _plates(facts: Facts) -> Iterator[Used]:
    plates = facts.resources.plates if facts.resources else None
    if not plates:
        yield Used(what="Plates that can be used", value=None if plates is None else "none")
    for plate in plates or ():
        yield Used(what=f"Plate: {plate.name}", value=summary(plate, ("name",)))


_WHOLE: Mapping[str, Callable[[Facts], Iterator[Used]]] = {
    "fractures": _fractures,
    "scans": _scans,
    "spine_image": _spine_image,
    "falls": _falls,
    "probability_10y": _probability,
    "tests": _tests,
    "clearances": _clearances,
    "lifts": _lifts,
    "aims": _aims,
    "resources.plates": _plates,
}
