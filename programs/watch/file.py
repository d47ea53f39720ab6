"""The file of the watch: data only, read against its format; each thing wrong with it in words."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, NoReturn

from programs.watch.identifiers import NAME, goes_by

FORMAT = "calcar-evidence-watch/1"
MOST_BYTES = 1024**2
MOST_PAPERS = 2000
#: How many things that are wrong are told at once.
MOST_TOLD = 20
_LETTERS = {"drawn_up_by": 120, "notice": 400}
_OF_FILE = ("format", "as_of", "drawn_up_by", "papers")
_OF_PAPER = ("paper", "status", "looked_on", "notice")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class Status(StrEnum):
    """How a paper stands, the gravest last."""

    NOT_LOOKED_AT = "not_looked_at"
    STANDING = "standing"
    CORRECTED = "corrected"
    CONCERN = "concern"
    RETRACTED = "retracted"

    @property
    def words(self) -> str:
        """Return it as a page says it."""
        return _WORDS[self]

    @property
    def weight(self) -> int:
        """Return how grave it is; nothing for a paper without a notice."""
        return max(0, list(Status).index(self) - 1)


_WORDS: Mapping[Status, str] = {
    Status.NOT_LOOKED_AT: "not looked at",
    Status.STANDING: "stands, no notice found",
    Status.CORRECTED: "corrected",
    Status.CONCERN: "under concern",
    Status.RETRACTED: "retracted",
}


@dataclass(frozen=True, kw_only=True)
class Look:
    """How a paper stood when somebody last looked.

    looked_on   the day of that; None: not looked at, or no day was kept of a notice
    notice      where the notice stands, and what it says
    """

    name: str
    status: Status = Status.NOT_LOOKED_AT
    looked_on: dt.date | None = None
    notice: str = ""


@dataclass(frozen=True, kw_only=True)
class WatchFile:
    """How each paper stands, by its name; drawn up on a day, by somebody."""

    as_of: dt.date
    drawn_up_by: str
    looks: Mapping[str, Look]

    def of(self, name: str) -> Look:
        """Return how a paper stands; one that the file does not name was not looked at."""
        return self.looks.get(name, Look(name=name))


class BadFile(ValueError):
    """A file that is not taken, with all that is wrong with it."""

    def __init__(self, problems: Iterable[str]) -> None:
        self.problems = tuple(problems)
        super().__init__(" ".join(self.problems))


def read(content: bytes, today: dt.date) -> WatchFile:
    """Return what a file says; raises BadFile. No day of it lies after today."""
    told = _json(content)
    problems = list(_wrong(told, today))
    if problems:
        left = len(problems) - MOST_TOLD
        more = (f"And {left} more.",) if left > 0 else ()
        raise BadFile((*problems[:MOST_TOLD], *more))
    looks = [_look(one) for one in told["papers"]]
    return WatchFile(
        as_of=dt.date.fromisoformat(told["as_of"]),
        drawn_up_by=told["drawn_up_by"].strip(),
        looks={look.name: look for look in looks},
    )


def write(held: WatchFile, names: Iterable[str]) -> str:
    """Return a file as text, with a line for each of the names that it does not hold."""
    looks = [*held.looks.values(), *(held.of(name) for name in names if name not in held.looks)]
    told = {
        "format": FORMAT,
        "as_of": held.as_of.isoformat(),
        "drawn_up_by": held.drawn_up_by,
        "papers": [
            {
                "paper": look.name,
                "status": str(look.status),
                "looked_on": look.looked_on.isoformat() if look.looked_on else None,
                "notice": look.notice,
            }
            for look in sorted(looks, key=lambda look: look.name)
        ],
    }
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def older(new: WatchFile, held: WatchFile, names: Collection[str]) -> tuple[str, ...]:
    """Return in what a file is older, or says less, than the one there; nothing: in nothing.

    names   of the papers that count: those that the product rests on
    """
    return tuple(_older(new, held, names))


def _older(new: WatchFile, held: WatchFile, names: Collection[str]) -> Iterator[str]:
    if new.as_of < held.as_of:
        yield f"It is of {new.as_of}; the one in force is of {held.as_of}."
    for name in names:
        before, after = held.of(name), new.of(name)
        if after.status.weight < before.status.weight:
            yield f"{name} is {before.status.words} in the one in force, {after.status.words} here."
        elif before.looked_on and (after.looked_on or dt.date.min) < before.looked_on:
            here = f"on {after.looked_on}" if after.looked_on else "on no day"
            yield f"{name} was looked at on {before.looked_on} in the one in force, {here} here."


def _json(content: bytes) -> dict[str, Any]:
    if len(content) > MOST_BYTES:
        raise BadFile([f"The file is larger than {MOST_BYTES // 1024**2} MB."])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFile([f"It is not UTF-8 text: byte {error.start + 1} does not fit."]) from error
    try:
        told = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise BadFile([f"It is not JSON: {error.msg} at {where}."]) from error
    except RecursionError as error:
        raise BadFile(["It is nested too deep for a file of the watch."]) from error
    if not isinstance(told, dict):
        raise BadFile(["It is not one object with format, as_of, drawn_up_by and papers."])
    return told


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    told = dict(pairs)
    if len(told) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise BadFile([f"“{twice[:40]}” stands twice in one object."])
    return told


def _no_number(word: str) -> NoReturn:
    raise BadFile([f"{word} is no number of JSON."])


def _wrong(told: dict[str, Any], today: dt.date) -> Iterator[str]:
    yield from _keys(told, _OF_FILE, "The file")
    if told.get("format") != FORMAT:
        yield f"“format” must be “{FORMAT}”."
    as_of = _day(told.get("as_of"))
    if as_of is None:
        yield "“as_of” must be a day such as 2026-01-31."
    elif as_of > today:
        yield f"“as_of” is {as_of}, which is still to come."
    if not _is_text(told.get("drawn_up_by"), "drawn_up_by") or not told["drawn_up_by"].strip():
        yield f"“drawn_up_by” must say who, in up to {_LETTERS['drawn_up_by']} characters."
    rows = told.get("papers")
    if not isinstance(rows, list):
        yield "“papers” must be a list."
    elif len(rows) > MOST_PAPERS:
        yield f"“papers” has {len(rows)} entries, and {MOST_PAPERS} is the most."
    else:
        yield from _rows(rows, min(as_of or today, today))


def _rows(rows: list[Any], last: dt.date) -> Iterator[str]:
    there: dict[str, int] = {}
    for number, row in enumerate(rows, start=1):
        where = f"Paper {number}"
        if not isinstance(row, dict):
            yield f"{where}: not an object."
            continue
        name = row.get("paper")
        if isinstance(name, str) and NAME.fullmatch(name.lower()):
            where = f"{where} ({name[:60]})"
            first = there.setdefault(goes_by(name.lower()), number)
            if first != number:
                yield f"{where}: the same paper as number {first}."
        else:
            yield f"{where}: “paper” must be like doi:10.1000/182, pmid:123, pmc:123 or nbk:123."
        yield from (f"{where}: {wrong}" for wrong in _wrong_in(row, last))


def _wrong_in(row: dict[str, Any], last: dt.date) -> Iterator[str]:
    yield from _keys(row, _OF_PAPER, "it")
    status, day = row.get("status"), row.get("looked_on")
    if not isinstance(status, str) or status not in set(Status):
        yield f"“status” must be one of {', '.join(Status)}."
        return
    looked = _day(day)
    if day is not None and looked is None:
        yield "“looked_on” must be a day such as 2026-01-31, or null."
    elif looked and looked > last:
        yield f"“looked_on” is {looked}, after the day of the file."
    if status == Status.STANDING and day is None:
        yield "it stands, so “looked_on” must say on which day that was seen."
    if status == Status.NOT_LOOKED_AT and day is not None:
        yield "it was not looked at, so “looked_on” must be null."
    notice = row.get("notice", "")
    if not _is_text(notice, "notice"):
        yield f"“notice” must be text of up to {_LETTERS['notice']} characters on one line."
    elif Status(status).weight and not notice.strip():
        yield f"it is {Status(status).words}, so “notice” must say where that stands."


def _keys(told: dict[str, Any], known: tuple[str, ...], what: str) -> Iterator[str]:
    for name in told:
        if name not in known:
            yield f"{what} has “{name[:40]}”, which is not of the format."


def _is_text(value: object, name: str) -> bool:
    return isinstance(value, str) and len(value) <= _LETTERS[name] and value.isprintable()


def _day(value: object) -> dt.date | None:
    if not isinstance(value, str) or not _DAY.fullmatch(value):
        return None
    try:
        return dt.date.fromisoformat(value)
    except ValueError:
        return None


def _look(row: dict[str, Any]) -> Look:
    day = row.get("looked_on")
    return Look(
        name=goes_by(row["paper"].lower()),
        status=Status(row["status"]),
        looked_on=dt.date.fromisoformat(day) if day else None,
        notice=row.get("notice", "").strip(),
    )
