"""Numbers of a paper that are no dose: of the person, the clinic, the signature and fixed texts."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from functools import cache
from xml.etree.ElementTree import Element

from programs.papers.paper_parts import Words
from tests.programs import patient_texts
from tests.programs.papers.signed_numbers import NUMBER
from tests.programs.papers.under_check import MONTHS, Check, short_month


@cache
def _fixed(words: Words) -> frozenset[str]:
    """Return all texts of the catalogue that hold a number of their own."""
    english = {one.english for one in patient_texts.texts()}
    said = {_spaced(words.gettext(text)) for text in english if text}
    return frozenset(text for text in said if NUMBER.search(text))


def _spaced(text: str) -> str:
    """Return a text with plain spaces alone: French has narrow ones before its marks."""
    return re.sub(r"\s+", " ", text)


def unsigned(body: Element, check: Check) -> None:
    """Let no number stand that is neither checked nor fixed nor of the person and the clinic."""
    allowed = sorted({*_fixed(check.words), *_of_issue(check)}, key=len, reverse=True)
    for part in body.iter():
        if id(part) in check.read:
            continue
        for text in (part.text or "", *(child.tail or "" for child in part)):
            if not NUMBER.search(text):
                continue
            left = _spaced(text)
            for one in allowed:
                left = left.replace(one, "")
            if NUMBER.search(left):
                check.differs.append(f"a number that nobody signed: {left.strip()}")


def _of_issue(check: Check) -> Iterator[str]:
    """Yield the dates and numbers of who it is for, who signed, and when it ends."""
    held = check.held
    who, clinic, signer = held["patient"], held["clinic"], held["signer"]
    yield from (who["given_name"], who["family_name"], who["record_number"])
    yield from (clinic["name"], clinic["phone"], clinic["address"], clinic.get("emergency", ""))
    yield f"Plan {held['version']}"
    yield f"plan {held['version']}"
    yield f"plan {held['replaces']}"
    days = [who["born"], signer["at"][:10]]
    days += [one["until"] for one in held["draft"]["modalities"].values() if one.get("until")]
    last = check.starts_on + dt.timedelta(weeks=len(held["weeks"]) + 4, days=-1)
    for day in (*map(dt.date.fromisoformat, days), last):
        yield from _dated(day, check)
    yield from ("UTC+00:00", signer["at"][11:16], DIGEST_SHOWN)
    yield from _after(check)


#: The first digits of the digest that the samples are printed with.
DIGEST_SHOWN = "0123456789ab"


def _after(check: Check) -> Iterator[str]:
    last = check.held["weeks"][-1]["week"]
    line = "Go on as in week {week} for {weeks} more weeks at most, to {date}."
    said = check.words.gettext(line).partition("{date}")[0]
    yield said.format(week=last, weeks=4)


def _dated(day: dt.date, check: Check) -> Iterator[str]:
    month = MONTHS[check.language].split()[day.month - 1]
    between = " de " if check.language == "es" else " "
    first = "1er" if check.language == "fr" and day.day == 1 else str(day.day)
    yield f"{first}{between}{month}{between}{day.year}"
    yield f"{first} {short_month(check.language, day.month)} {day.year}"
