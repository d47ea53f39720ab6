"""The facts in words, for reading: each section's lines, and what is not recorded. No database."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from patients.facts import codes
from patients.facts.declared import Facts, Person, Resources, Scan, Tests
from patients.facts.partial_dates import told_words
from patients.facts.question import Ask, Kind, asks
from patients.facts.sections import SECTIONS, Section
from patients.facts.units import show_number

#: Entries of the tests that may be missing without anything being open.
_OPTIONAL = ("unable", "date")


@dataclass(frozen=True, kw_only=True)
class Line:
    """One fact in words; value is None where it is not recorded.

    note  the day it is of
    wide  the value takes the note's room as well
    """

    label: str
    value: str | None
    note: str = ""
    wide: bool = False


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One section for reading.

    open  what is not recorded, in words
    """

    section: Section
    lines: tuple[Line, ...]
    open: tuple[str, ...]
    answered: dt.date | None = None

    @property
    def untouched(self) -> bool:
        """Tell whether nothing of the section is recorded."""
        return len(self.open) == len(self.lines)


def day_text(day: dt.date) -> str:
    """Return a date with the month's name, like 3 Apr 1950, or 1950 (year only)."""
    return told_words(day)


def show(ask: Ask, value: Any) -> str | None:
    """Return an answer in words, with its unit, or None where it is not recorded."""
    if value is None:
        return None
    unit = f" {ask.unit}" if ask.unit else ""
    match ask.kind:
        case Kind.YES_NO:
            return "yes" if value else "no"
        case Kind.CHOICE:
            return str((ask.choices or {}).get(value, value))
        case Kind.CODES:
            return ", ".join((ask.choices or {}).get(code, code) for code in value) or "none"
        case Kind.NUMBER | Kind.INTEGER:
            return show_number(value, ask.decimals) + unit
        case Kind.NUMBERS:
            return " · ".join(f"{number:g}" for number in value) + unit
        case Kind.PRESSURE:
            return f"{value[0]}/{value[1]}{unit}"
        case Kind.DATE | Kind.TOLD:
            return day_text(value)
        case _:
            return str(value)


#: Lines whose day stands in the record, not in the facts.
HEIGHT, WEIGHT = "Height", "Weight"


def readings(
    facts: Facts,
    answered: Mapping[str, str],
    days: Mapping[str, dt.date] | None = None,
) -> list[Reading]:
    """Return all sections for reading.

    answered gives the day each section was last saved, days that of HEIGHT and WEIGHT.
    """
    notes = {label: day_text(day) for label, day in (days or {}).items()}
    return [
        _reading(section, tuple(_LINES[code](facts)), answered.get(code), notes)
        for code, section in SECTIONS.items()
    ]


def _reading(
    section: Section, lines: tuple[Line, ...], answered: str | None, notes: Mapping[str, str]
) -> Reading:
    return Reading(
        section=section,
        lines=tuple(replace(line, note=notes.get(line.label, line.note)) for line in lines),
        open=tuple(line.label for line in lines if line.value is None),
        answered=dt.date.fromisoformat(answered) if answered else None,
    )


def group_lines(of: type[Any], part: Any, without: tuple[str, ...] = ()) -> Iterator[Line]:
    """Yield a line for each question of a group, recorded or not."""
    for name, ask in asks(of).items():
        if name not in without and ask.kind not in (Kind.GROUP, Kind.LIST, Kind.ANSWERS):
            value = getattr(part, name) if part is not None else None
            yield Line(label=ask.question, value=show(ask, value))


def summary(part: Any, without: tuple[str, ...] = ()) -> str:
    """Return what is recorded of a part in one line."""
    texts = []
    held = asks(type(part))
    # Of two days nobody could tell which is which.
    named = sum(ask.kind in (Kind.DATE, Kind.TOLD) for ask in held.values()) > 1
    for name, ask in held.items():
        value = getattr(part, name)
        if value is None or name in without:
            continue
        if ask.kind is Kind.GROUP:
            texts.append(f"{codes.in_a_line(ask.question)} {summary(value)}")
        else:
            texts.append(_phrase(ask, value, named=named))
    return ", ".join(texts)


def _phrase(ask: Ask, value: Any, *, named: bool) -> str:
    if ask.kind is Kind.YES_NO:
        return f"{codes.in_a_line(ask.question)}: {'yes' if value else 'no'}"
    if ask.kind in (Kind.CHOICE, Kind.TEXT):
        return str(show(ask, value))
    shown = show(ask, value)
    if ask.kind is Kind.NUMBER:
        shown = f"{value:g} {ask.unit}".strip().replace("-", "\u2212")
    if ask.kind in (Kind.DATE, Kind.TOLD) and not named:
        return str(shown)
    # A bare count after "chair stands in 30 s" would read as one number more.
    colon = ":" if ask.kind is Kind.INTEGER and not ask.unit else ""
    return f"{codes.in_a_line(ask.question)}{colon} {shown}"


_HEIGHT_TODAY = asks(Person)["height_cm"].question
_OWN_GOAL = asks(Facts)["own_goal"].question
#: Questions that a stage of life answers by itself.
_PAST_ASKING = {"male": ("pregnant", "menopause"), "after": ("pregnant",), "": ()}


def _stage(person: Person) -> str:
    if person.sex == "male":
        return "male"
    return "after" if person.menopause == "after" and person.pregnant is None else ""


def _about(facts: Facts) -> Iterator[Line]:
    # Asked only where sex and gender differ: elsewhere it is not "not recorded".
    tables = () if facts.person.table_sex else ("table_sex",)
    left_out = ("born", "sex", *tables, *_PAST_ASKING[_stage(facts.person)])
    for line in group_lines(Person, facts.person, left_out):
        # The newest height is of its own day, which need not be today.
        yield replace(line, label=HEIGHT) if line.label == _HEIGHT_TODAY else line
    for height in facts.person.earlier_heights or ():
        day = day_text(height.date)
        yield Line(label="Height before", value=f"{show_number(height.cm, 1)} cm", note=day)


def _fractures(facts: Facts) -> Iterator[Line]:
    fractures = facts.fractures or ()
    if not fractures:
        yield Line(label="Fractures", value=_none_asked(facts.fractures))
    for fracture in fractures:
        label = codes.FRACTURE_SITES[fracture.site].capitalize()
        note = "" if fracture.date is None else day_text(fracture.date)
        yield Line(label=label, value=summary(fracture, ("site", "date")) or "broken", note=note)
    image = facts.spine_image
    answer = None if image is None or image.answer is None else "yes" if image.answer else "no"
    note = day_text(image.on) if image is not None and image.on else ""
    yield Line(label="Spine imaged for vertebral fracture", value=answer, note=note)
    for name, label in (("major_percent", "major fracture"), ("hip_percent", "hip fracture")):
        value = getattr(facts.probability_10y, name, None)
        shown = None if value is None else f"{show_number(value, 1)} %"
        yield Line(label=f"Ten-year probability, {label}", value=shown)


def _none_asked(items: tuple[Any, ...] | None) -> str | None:
    """Return what to say of an empty list: asked and none, or not recorded."""
    return None if items is None else "none"


def _scans(facts: Facts) -> Iterator[Line]:
    if not facts.scans:
        yield Line(label="DXA scans", value=_none_asked(facts.scans))
    for scan in reversed(facts.scans or ()):
        label = codes.SCAN_SITES[scan.site].capitalize()
        yield Line(label=label, value=_scores(scan), note=day_text(scan.date))
    if not facts.turnover:
        yield Line(label="Bone markers", value=_none_asked(facts.turnover))
    for marker in reversed(facts.turnover or ()):
        unit = codes.MARKER_UNITS[marker.unit]
        fasting = {True: ", fasting", False: ", not fasting", None: ""}[marker.fasting_morning]
        yield Line(
            label=codes.MARKERS[marker.marker],
            value=f"{marker.value:g} {unit}{fasting}",
            note=day_text(marker.date),
        )


def _scores(scan: Scan) -> str:
    """Return the reported scores first, as they decide."""
    declared = asks(Scan)
    shown = (("T", "t"), ("Z", "z"), ("BMD", "bmd_g_cm2"))
    texts = [
        f"{word} {show(declared[name], value)}"
        for word, name in shown
        if (value := getattr(scan, name)) is not None
    ]
    return " · ".join(texts)


def _falls(facts: Facts) -> Iterator[Line]:
    of = Facts.__dataclass_fields__["falls"].metadata["ask"].of
    # Without a fall there is nothing to ask about its harm.
    none = facts.falls is not None and facts.falls.last_12_months == 0
    of_a_fall = ("injury", "long_lie", "blackout")
    moot = {name for name in of_a_fall if none and getattr(facts.falls, name) is None}
    yield from group_lines(of, facts.falls, tuple(moot))


def _tests(facts: Facts) -> Iterator[Line]:
    """Yield the newest result of each test, with its day."""
    rows = sorted(facts.tests or (), key=lambda row: row.date or dt.date.min)
    for name, ask in asks(Tests).items():
        if name in _OPTIONAL:
            continue
        held = [r for r in rows if getattr(r, name) is not None or name in (r.unable or ())]
        newest = held[-1] if held else Tests()
        value = (
            "not possible" if name in (newest.unable or ()) else show(ask, getattr(newest, name))
        )
        note = day_text(newest.date) if newest.date else ""
        yield Line(label=ask.question, value=value, note=note)


def _answers(answers: Mapping[str, Any] | None, labels: Mapping[str, str]) -> Iterator[Line]:
    """Yield the yes answers, one line for all no, and a line for each not recorded."""
    held = answers or {}
    given = {code: held[code] for code in labels if code in held}
    for code, answer in given.items():
        if answer.answer:
            details = summary(answer, ("answer", "cleared"))
            value = f"yes, {details}" if details else "yes"
            yield Line(label=labels[code], value=value, wide=True)
    no = [labels[code] for code, answer in given.items() if answer.answer is False]
    if no:
        count = "all" if len(no) == len(labels) else f"{len(no)} of {len(labels)}"
        yield Line(label=f"Answered no: {count}", value="; ".join(no), wide=True)
    for code, label in labels.items():
        if code not in given or given[code].answer is None:
            yield Line(label=label, value=None)


def _aims(facts: Facts) -> Iterator[Line]:
    aims = ", then ".join(codes.AIMS[aim] for aim in facts.aims) if facts.aims else None
    yield Line(label="Aims", value=aims)
    yield Line(label=_OWN_GOAL, value=facts.own_goal, wide=True)
    for name, label in (("resistance", "Resistance before"), ("impact", "Impact before")):
        value = getattr(facts.experience, name, None)
        yield Line(label=label, value=codes.EXPERIENCE[value] if value else None)
    yield from group_lines(Resources, facts.resources)


def _plates(facts: Facts) -> Iterator[Line]:
    plates = facts.resources.plates if facts.resources else None
    if not plates:
        yield Line(label="Plates", value=_none_asked(plates))
    for plate in plates or ():
        yield Line(label=plate.name, value=summary(plate, ("name",)), wide=True)


def _lifts(facts: Facts) -> Iterator[Line]:
    if not facts.lifts:
        yield Line(label="Lifts", value=_none_asked(facts.lifts))
    for lift in reversed(facts.lifts or ()):
        label = lift.lift.replace("_", " ").capitalize()
        note = day_text(lift.on) if lift.on else ""
        yield Line(label=label, value=f"{show_number(lift.kg, 1)} kg × {lift.reps}", note=note)


_LINES: Mapping[str, Callable[[Facts], Iterator[Line]]] = {
    "about": _about,
    "fractures": _fractures,
    "scans": _scans,
    "falls": _falls,
    "tests": _tests,
    "conditions": lambda facts: _answers(facts.conditions, codes.CONDITIONS),
    "symptoms": lambda facts: _answers(facts.symptoms, codes.SYMPTOMS),
    "medicines": lambda facts: _answers(facts.medicines, codes.MEDICINES),
    "aims": _aims,
    "plates": _plates,
    "lifts": _lifts,
}
