"""Holds the record of the first session and the page of a discharge against what was signed.

As in cross_check.py nothing of the papers' own code is used: the settings come from the first week
that holds the plate, what goes on and until when from the ending.
"""

from __future__ import annotations

import datetime as dt
import re
from typing import Any
from xml.etree.ElementTree import Element

import tinyhtml5

from programs.signed.ending import Ending
from safety.findings import Modality
from tests.programs.papers import signed_numbers as signed
from tests.programs.papers.cross_check import title
from tests.programs.papers.other_numbers import unsigned
from tests.programs.papers.signed_numbers import KINDS, Numbers, numbers
from tests.programs.papers.under_check import MONTHS, Check, text_of


def of_first_session(html: str, check: Check) -> list[str]:
    """Return what of the record of the first session is not as signed."""
    body = _body(html)
    part = next(week["plate"] for week in signed.cut_weeks(check.held) if week["plate"])
    settings = next(one for one in body.iter("ul") if len(one.findall("li/strong")) > 1)
    told = [(text_of(one[0]), numbers(text_of(one).partition(":")[2])) for one in settings]
    expected = [(f"{check.words.gettext(name)}:", held) for name, held in _settings(part).items()]
    check.same("settings of the first session", told, expected)
    check.take(settings)
    unsigned(body, check)
    return check.differs


def _settings(part: dict[str, Any]) -> dict[str, Numbers]:
    rounds = signed.clock(part["vibration_min"])
    if part["bouts"] is not None:
        rest = [part["rest_s"]] if part["bouts"] != 1 else []
        rounds = [part["bouts"], part["bout_s"], *rest]
    return {
        "Plate": numbers(part["plate"]),
        "Frequency": [signed.shown_hz(part)],
        "Number on the panel": _some(part["setting"]),
        "Displacement": _some(part["displacement_mm"]),
        "Peak acceleration": [part["peak_g"]],
        "Time": rounds,
        "Vibration in all": signed.clock(part["vibration_min"]),
    }


def _some(value: float | None) -> Numbers:
    return [] if value is None else [value]


def of_discharge(html: str, ending: Ending, on: dt.date, check: Check) -> list[str]:
    """Return what of the page of a discharge is not as signed, and as the review ended it."""
    body = _body(html)
    (heading,) = body.iter("h1")
    check.same("day of the discharge", _days_in(heading, check), [_told(on)])
    kept = {_name(kind, check): ending.keeps[kind] for kind in ending.keeps}
    check.same("what goes on", _named(body), sorted(kept))
    until = [one for one in body.iter("li") if _days_in(one, check)]
    told = {
        (name, day)
        for one in until
        for day in _days_in(one, check)
        for name in text_of(one).partition(":")[0].split(", ")
    }
    held = {(name, _told(one.until)) for name, one in kept.items() if one.until}
    check.same("until when", told, held)
    _left(body, kept, check)
    check.take(heading, *until)
    (foot,) = (one for one in body.iter("div") if "foot" in one.get("class", "").split())
    check.same(
        "day at the foot", f"{on.day} {_month(on, check)[:3]} {on.year}" in text_of(foot), True
    )
    phone = numbers(check.held["clinic"]["phone"])
    expected = [check.held["version"], on.day, on.year, *phone]
    check.same("numbers at the foot", numbers(text_of(foot)), expected)
    check.take(foot)
    unsigned(body, check)
    return check.differs


def _named(body: Element) -> list[str]:
    """Return the kinds that are told to be kept up, one by one."""
    lines = [one.text or "" for one in body.findall(".//li/strong")]
    return sorted(name for line in lines for name in line.rstrip(":").split(", "))


def _left(body: Element, kept: dict[str, Any], check: Check) -> None:
    """Hold what is left out against the kinds of the program that do not go on."""
    before = check.words.gettext(
        "Leave out: {names}. Do not begin again on your own. Ask us first."
    ).partition("{names}")[0]
    told = [text_of(one) for one in body.iter("li") if text_of(one).startswith(before)]
    names = {name for one in told for name in one[len(before) :].partition(".")[0].split(", ")}
    held = {_name(Modality(kind), check) for kind in KINDS if _ever(kind, check)}
    check.same("what is left out", names, held - set(kept))


def _ever(kind: str, check: Check) -> bool:
    return any(week[kind] for week in check.held["weeks"])


def _name(kind: Modality, check: Check) -> str:
    return title(kind.value, check.held["weeks"], check)


#: A day as it is told, which a broken number may make one that there is not.
Told = tuple[int, int, int]


def _told(day: dt.date) -> Told:
    return day.year, day.month, day.day


def _days_in(part: Element, check: Check) -> list[Told]:
    """Return the dates with the month in words that a text names."""
    months = MONTHS[check.language].split()
    found = re.findall(r"(\d+)(?: de)? (\w+)(?: de)? (\d{4})", text_of(part))
    return [
        (int(year), months.index(month) + 1, int(day))
        for day, month, year in found
        if month in months
    ]


def _month(day: dt.date, check: Check) -> str:
    return MONTHS[check.language].split()[day.month - 1]


def _body(html: str) -> Element:
    body = tinyhtml5.parse(html, namespace_html_elements=False).find("body")
    assert body is not None
    return body
