"""A paper under the check: what it is made from, what was read of its page, what differs."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from xml.etree.ElementTree import Element

from programs.papers.paper_parts import Words
from tests.programs.papers.signed_numbers import cut_weeks

DAY_NAMES = {
    "en": ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"),
    "es": ("Lun", "Mar", "Mié", "Jue", "Vie", "Sáb", "Dom"),
    "fr": ("Lun", "Mar", "Mer", "Jeu", "Ven", "Sam", "Dim"),
}
MONTHS = {
    "en": "January February March April May June July August September October November December",
    "es": "enero febrero marzo abril mayo junio julio agosto septiembre octubre "
    "noviembre diciembre",
    "fr": "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
}
#: Short names of months that are not their first three letters.
SHORT_MONTHS = {
    "fr": [
        "janv",
        "févr",
        "mars",
        "avr",
        "mai",
        "juin",
        "juil",
        "août",
        "sept",
        "oct",
        "nov",
        "déc",
    ],
}


def short_month(language: str, month: int) -> str:
    """Return the short name of a month."""
    cut = [name[:3] for name in MONTHS[language].split()]
    return SHORT_MONTHS.get(language, cut)[month - 1]


@dataclass(kw_only=True)
class Check:
    """One paper under the check: what it is made from, and what differs."""

    held: Mapping[str, Any]
    first: int
    last: int
    language: str
    words: Words
    differs: list[str] = field(default_factory=list)
    read: set[int] = field(default_factory=set)

    @property
    def starts_on(self) -> dt.date:
        return dt.date.fromisoformat(self.held["starts_on"])

    @property
    def weeks(self) -> list[dict[str, Any]]:
        return [week for week in cut_weeks(self.held) if self.first <= week["week"] <= self.last]

    def same(self, where: str, found: object, expected: object) -> None:
        """Note a difference."""
        if found != expected:
            self.differs.append(f"{where}: {found} in place of {expected}")

    def take(self, *parts: Element) -> None:
        """Count the texts of these parts as read."""
        self.read |= {id(one) for part in parts for one in part.iter()}


def text_of(part: Element) -> str:
    return re.sub(r"\s+", " ", "".join(part.itertext())).strip()


def of_class(part: Element, name: str) -> list[Element]:
    return [one for one in part.iter() if name in one.get("class", "").split()]
