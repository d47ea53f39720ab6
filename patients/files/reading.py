"""From the bytes of a file to its rows of text: encoding, delimiter, lines."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from types import MappingProxyType

from patients.files.columns import Unfit, is_known
from patients.files.formula_guard import unguarded

LARGEST_BYTES = 5 * 1024 * 1024
MOST_ROWS, MOST_COLUMNS = 20_000, 50
DELIMITERS = MappingProxyType({",": "comma", ";": "semicolon", "\t": "tab", "|": "upright bar"})
ENCODINGS = MappingProxyType({"utf-8": "UTF-8", "cp1252": "Windows, Western European"})
_BOM = b"\xef\xbb\xbf"
_SAMPLES = 10
_SAYS_DELIMITER = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


@dataclass(frozen=True)
class EncodingAsked:
    """The file is not UTF-8: lines with signs outside ASCII, as Windows would read them."""

    samples: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Record:
    """One row of a file, with the number of the line it begins on."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A file as text: its heads, its rows, and the delimiter that stood between."""

    head: tuple[str, ...]
    records: tuple[Record, ...]
    delimiter: str


def decoded(data: bytes, encoding: str | None = None) -> str | EncodingAsked:
    """Return the text of a file; an encoding is asked for where it is not UTF-8.

    Raises Unfit for a file that is too large, holds NUL bytes, or is not in the encoding.
    """
    if len(data) > LARGEST_BYTES:
        raise Unfit(f"The file is larger than {LARGEST_BYTES // 1024**2} MB. Send it in parts.")
    if b"\0" in data:
        raise Unfit("This is not a plain text file. Save it as “CSV UTF-8” and send it again.")
    try:
        return data.removeprefix(_BOM).decode(encoding or "utf-8")
    except UnicodeDecodeError:
        if encoding is None and not data.startswith(_BOM):
            return EncodingAsked(tuple(_foreign_lines(data)))
    name = ENCODINGS[encoding or "utf-8"]
    raise Unfit(f"The file is not {name} throughout. Save it as “CSV UTF-8” and send it again.")


def grid(text: str) -> Grid:
    """Return the rows of a text; rows with nothing in them are passed over.

    Raises Unfit for more rows or columns than are taken, or where quotes do not close.
    """
    said = _SAYS_DELIMITER.match(text)
    body = text[said.end() :] if said else text
    delimiter = said[1] if said else _delimiter(body)
    records = list(_records(body, delimiter, 2 if said else 1))
    if len(records) < 2:
        raise Unfit("The file has no rows under its heads.")
    head = tuple(unguarded(cell.strip()) for cell in records[0].cells)
    if len(head) > MOST_COLUMNS:
        raise Unfit(f"The file has more than {MOST_COLUMNS} columns.")
    return Grid(head, tuple(records[1:]), delimiter)


def _records(text: str, delimiter: str, first_line: int) -> Iterator[Record]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line, count = first_line, 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                count += 1
                yield Record(line, tuple(cells))
            if count > MOST_ROWS + 1:
                raise Unfit(f"The file has more than {MOST_ROWS} rows. Send it in parts.")
            line = first_line + reader.line_num
    except csv.Error as error:
        raise Unfit(f"The file cannot be read from line {line} on: {error}.") from error


def _delimiter(text: str) -> str:
    """Return the delimiter by which most heads are known, and of those the one with most."""
    first = text.lstrip("\r\n").partition("\n")[0]

    def fit(mark: str) -> tuple[int, int]:
        cells = [cell.strip().strip('"') for cell in first.split(mark)]
        return sum(map(is_known, cells)), len(cells)

    return max(DELIMITERS, key=fit)


def _foreign_lines(data: bytes) -> Iterator[tuple[int, str]]:
    shown = 0
    for number, line in enumerate(data.splitlines(), start=1):
        if not line.isascii() and shown < _SAMPLES:
            shown += 1
            yield number, line.decode("cp1252", errors="replace")[:120]
