"""Holds the letter to the doctor against the signed text: its doses number by number, in order.

What is told of her history and of her assessment has to be among the numbers that were signed of
it; everything else has to be a text that was signed, or one of the person and the clinic.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree.ElementTree import Element

import tinyhtml5

from programs.exercises import EXERCISES
from safety.findings import Modality
from safety.modalities import MODALITIES
from tests.programs.papers import signed_numbers as signed
from tests.programs.papers.other_numbers import _of_issue
from tests.programs.papers.signed_numbers import KINDS, NUMBER, Numbers, numbers
from tests.programs.papers.under_check import MONTHS, Check, text_of
from tests.programs.sample_papers import DIGEST

#: What is worked out of a load or a force and not signed: a band, and a range of an index.
_WORKED_OUT = re.compile(r"\(\d+ to \d+\)|, osteogenic index: hip [^:]*?spine [\d. to]+")


def of_letter(html: str, check: Check) -> list[str]:
    """Return what of the letter is not as signed."""
    body = tinyhtml5.parse(html, namespace_html_elements=False).find("body")
    assert body is not None
    parts = dict(_parts(body))
    _begins(parts[""], check)
    _courses(parts["Program"], check)
    _next_dose(parts["Assessment"], check)
    _among(parts["Assessment"], check.held["draft"]["assessment"], check)
    for title in ("Broken bones", "Fractures", "Conditions", "Medicines"):
        for part in [parts[title]] if title in parts else []:
            _among(part, check.held["facts"], check)
    _rest(body, check)
    return check.differs


def _parts(body: Element) -> Iterator[tuple[str, list[Element]]]:
    """Yield the elements below each heading; those of the title below nothing."""
    title, held = "", list[Element]()
    for one in body:
        if one.tag == "h2":
            yield title, held
            title, held = text_of(one), []
        held.append(one)
    yield title, held


def _begins(part: list[Element], check: Check) -> None:
    line = next(one for one in part if one.tag == "p")
    day, weeks = check.starts_on, check.held["weeks"]
    month = MONTHS["en"].split()[day.month - 1]
    told = f"A program of {len(weeks)} weeks from {day:%A} {day.day} {month} {day.year}."
    check.same("when it begins", told in text_of(line), True)
    check.take(line)
    reviews = [one["week"] for one in check.held["draft"]["reviews"]]
    check.read |= {-one for one in reviews}


def _courses(part: list[Element], check: Check) -> None:
    lines = [one for ul in part for one in ul.iter("li")]
    weeks = signed.cut_weeks(check.held)
    check.same("kinds", len(lines), len(KINDS))
    for kind, line in zip(KINDS, lines, strict=True):
        name = MODALITIES[Modality(kind)].name
        check.same(f"name of {kind}", text_of(line[0]), f"{name}.")
        held = [week for week in weeks if week[kind]]
        rank = check.held["draft"]["modalities"][kind]["rank"]
        place = re.findall(r"Place (\d+)", text_of(line))
        check.same(f"place of {kind}", place, [str(rank)] if held else [])
        ends = [held[0], held[-1]][: len(held)] if held else []
        told = [line[0].tail or "", *(one.tail or "" for one in line[1:])]
        for week, said in zip(ends, told, strict=False):
            expected = [week["week"], *_dose(kind, week[kind])]
            bare = _WORKED_OUT.sub("", said).partition(" Until ")[0]
            found = numbers(bare)[: len(expected)]
            check.same(f"{kind} in week {week['week']}", found, expected)


def _dose(kind: str, part: Mapping[str, Any]) -> Numbers:
    """Return the numbers of a week of a kind, in the order in which the letter tells them."""
    told: Numbers = [part["sessions"]]
    match kind:
        case "plate":
            moved = part["displacement_mm"]
            is_measured = "panel_hz" in part
            told += [round(part["frequency_hz"], 1) if is_measured else part["frequency_hz"]]
            told += [part["panel_hz"]] if is_measured else []
            told += [*([] if moved is None else [moved]), part["peak_g"]]
            if part["bouts"] is not None:
                rest = [part["rest_s"]] if part["bouts"] != 1 else []
                told += [part["bouts"], part["bout_s"], *rest]
            told += signed.clock(part["vibration_min"])
        case "resistance":
            told += _sets(part)
            for one in part["exercises"]:
                own = one.get("reps") if one.get("reps") is not None else one["load_kg"]
                told += numbers(EXERCISES[one["exercise"]].name)
                told += [] if own is None else [own]
        case "impact":
            told.append(part["minutes"] if part["impacts"] is None else part["impacts"])
            leg = part.get("leg_bw")
            told += [part["peak_bw"], *([] if leg is None else [leg])]
        case "balance":
            told += [part["minutes"], *_rungs(part)]
        case _:
            told.append(part["minutes"])
            if part.get("hold_s") is not None and part.get("reps") is not None:
                told += [part["hold_s"], part["reps"]]
    return told


def _rungs(part: Mapping[str, Any]) -> Numbers:
    return [] if part["rung"] is None else [part["rung"]]


def _sets(part: Mapping[str, Any]) -> Numbers:
    if part["percent_1rm"] is None:
        return [part["sets"]]
    could = part.get("could_lift")
    load = [] if could is None else [could]
    # Percent of what is lifted once: "1RM".
    return [part["sets"], part["reps"], *load, part["percent_1rm"], 1, part["reps_in_reserve"]]


#: Months between two doses of denosumab.
_APART = 6


def _next_dose(part: list[Element], check: Check) -> None:
    """Hold when denosumab is due again against the day of its last dose, and take it away."""
    medicine = (check.held["facts"].get("medicines") or {}).get("bone_medicine")
    last = medicine.get("last_dose_on") if isinstance(medicine, dict) else None
    for line in [line for one in part for line in one.iter("li")]:
        if text_of(line).startswith("Next dose of denosumab due:"):
            year, month = (int(one) for one in str(last).split("-")[:2])
            later, at = divmod(month - 1 + _APART, 12)
            due = f"{MONTHS['en'].split()[at]} {year + later}"
            check.same("the next dose", text_of(line).partition(": ")[2], due)
            line.clear()


def _among(part: list[Element], held: object, check: Check) -> None:
    known = set(numbers(json.dumps(held)))
    for one in part:
        told = [n for n in numbers(text_of(one)) if n not in known]
        check.same(f"of what is known: {text_of(one)[:60]}", told, [])
        check.take(one)


def _rest(body: Element, check: Check) -> None:
    """Let no number stand that is in no text that was signed."""
    held = check.held
    reviews = ", ".join(f"week {one['week']}" for one in held["draft"]["reviews"])
    texts = [*_signed_texts(held), *_of_issue(check), DIGEST, f"Reviews: {reviews}."]
    allowed = sorted({*filter(None, texts)}, key=len, reverse=True)
    for part in body.iter():
        if id(part) in check.read or part.tag in ("strong", "br"):
            continue
        text = text_of(part) if part.tag in ("li", "p") else ""
        for one in allowed:
            text = text.replace(re.sub(r"\s+", " ", one), "")
        left = [one for one in _sentences(text) if NUMBER.search(one)]
        if left and not any(mark in text for mark in _COURSE):
            check.differs.append(f"a number that nobody signed: {left}")


#: How the lines begin that were held number by number.
_COURSE = tuple(f"{row.name}. " for row in MODALITIES.values())


def _sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.!?:])\s+", text)


def _signed_texts(held: Mapping[str, Any]) -> Iterator[str]:
    """Yield each sentence of the findings, of the reasons and of the edits."""
    found = [one["text"] for one in held["findings"]]
    found += [why for one in held["draft"]["modalities"].values() for why in one["why"]]
    found += [*held["left_out"].values(), held["rulebook"]]
    for text in found:
        yield text
        yield from _sentences(text)
