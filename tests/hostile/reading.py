"""Pages, tables and calendars read back: what of a text came through, and whether as text."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser

from icalendar import Calendar

MARK = re.compile(r"zq[0-9]+z")
#: What sets off a formula: a cell that begins so must be a number.
_SETS_OFF = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_NUMBER = re.compile(r"[-+]?[0-9]+([.,][0-9]+)?")
#: Attributes that are read as an address, and all by which one may begin.
_ADDRESSES = frozenset({"href", "src", "action", "formaction", "data", "poster", "srcset"})
_OWN = ("/", "?", "#", "tel:", "mailto:", "https://paper.invalid/static/", "", "data:image/png")
#: The longest line of a calendar in bytes (RFC 5545, section 3.1).
_LONGEST_LINE = 75


class Page(HTMLParser):
    """A page as a browser takes it apart: what is text in it, and what is more than text."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self.wrong: list[str] = []
        self._open, self._piece = "", ""
        self.feed(html)
        self.close()
        self._told()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._told()
        held = {name: value or "" for name, value in attrs}
        self._open = tag if tag in ("script", "style") else ""
        if self._open == "script" and held.get("type") == "application/json":
            self._open = "data"
        if MARK.search(tag) or any(MARK.search(name) for name in held):
            self.wrong.append(f"a tag or an attribute: <{tag} {' '.join(held)}>")
        for name, value in held.items():
            self._attribute(tag, name, value)

    def _attribute(self, tag: str, name: str, value: str) -> None:
        if not MARK.search(value):
            return
        self.texts.append(value)
        if name.startswith("on") or name in ("style", "srcdoc", "class", "id"):
            self.wrong.append(f"{name} of <{tag}>: {value[:80]}")
        elif name in _ADDRESSES and not value.startswith(_OWN[:-2]):
            self.wrong.append(f"an address of <{tag}>: {value[:80]}")

    def handle_endtag(self, tag: str) -> None:
        self._told()
        self._open = ""
        if MARK.search(tag):
            self.wrong.append(f"the end of a tag: {tag}")

    def handle_data(self, data: str) -> None:
        self._piece += data

    def _told(self) -> None:
        """Take what stood between two tags."""
        if self._open == "data":
            self.texts += words_of(json.loads(self._piece))
        elif MARK.search(self._piece):
            self.texts.append(self._piece)
            if self._open:
                self.wrong.append(f"in <{self._open}>: {self._piece[:80]}")
        self._piece = ""

    def handle_comment(self, data: str) -> None:
        self._not_text("a comment", data)

    def handle_decl(self, decl: str) -> None:
        self._not_text("a declaration", decl)

    def handle_pi(self, data: str) -> None:
        self._not_text("an instruction", data)

    def unknown_decl(self, data: str) -> None:
        self._not_text("a declaration", data)

    def _not_text(self, what: str, data: str) -> None:
        if MARK.search(data):
            self.wrong.append(f"{what}: {data[:80]}")


def words_of(value: object) -> Iterator[str]:
    """Yield each text within what JSON holds, names included."""
    if isinstance(value, Mapping):
        for name, held in value.items():
            yield str(name)
            yield from words_of(held)
    elif isinstance(value, list):
        for held in value:
            yield from words_of(held)
    elif isinstance(value, str):
        yield value


def wrong_with_table(text: str) -> Iterator[str]:
    """Yield what is broken in a CSV file, and each cell that a spreadsheet would reckon."""
    rows = list(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True))
    for number, row in enumerate(rows, 1):
        if len(row) != len(rows[0]):
            yield f"row {number} has {len(row)} cells, the head {len(rows[0])}"
        for cell in row:
            if cell.startswith(_SETS_OFF) and not _NUMBER.fullmatch(cell):
                yield f"row {number} sets off a formula: {cell[:60]!r}"


def cells_of_table(text: str) -> list[str]:
    """Return the cells of a CSV file as somebody typed them, and each text in one of JSON."""
    held = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    cells = [cell[1:] if cell[:1] == "'" else cell for row in held for cell in row]
    of_json = [cell for cell in cells if cell[:2] == '{"']
    return cells + [word for cell in of_json for word in words_of(json.loads(cell))]


def wrong_with_calendar(made: bytes) -> Iterator[str]:
    """Yield what is broken in a calendar: its lines, and any text of somebody's in it."""
    lines = made.split(b"\r\n")
    if any(b"\n" in line or b"\r" in line for line in lines) or lines[-1] != b"":
        yield "a line does not end as it must"
    if max(map(len, lines)) > _LONGEST_LINE:
        yield "a line is too long"
    if MARK.search(made.decode()):
        yield "telephones show it on a locked screen, and a typed text stands in it"
    Calendar.from_ical(made)


def squeezed(text: str) -> str:
    """Return a text without spaces, ends of lines and signs that nobody sees."""
    return "".join(sign for sign in text if sign.isprintable() and not sign.isspace())
