"""From the bytes of a recording to its heads and columns of numbers."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

import numpy as np

from programs.plates.recording.gum import FloatArray
from programs.plates.recording.heads import TIME, Heads, heads_of, known_heads
from programs.plates.recording.refused import BadRecording

LARGEST_BYTES = 12 * 1024 * 1024
MOST_ROWS, MOST_COLUMNS = 200_000, 40
#: Lines of words before the heads that are passed over.
MOST_BEFORE = 60
DELIMITERS = (",", ";", "\t", "|")
DELIMITER_NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "upright bar"}


@dataclass(frozen=True, kw_only=True, eq=False)
class Table:
    """A recording as numbers, as its heads say.

    times     from the first sample on, in the file's unit; in seconds where a clock was written
    clock     times were written as times of day
    axes      a column for each axis of heads.axes
    comma     decimals were written with a comma
    cut_off   the last line was cut off and left out
    """

    heads: Heads
    delimiter: str
    comma: bool
    clock: bool
    cut_off: bool
    times: FloatArray
    axes: FloatArray


def table(data: bytes) -> Table:
    """Return the numbers of a file. Raises BadRecording with the reason."""
    lines = _text(data).splitlines()
    heads, delimiter, width = _found_heads(lines)
    rows = list(_rows(lines[heads.line :], delimiter, heads.line))
    cut_off = len(rows) > 1 and len(rows[-1][1]) < width
    rows = rows[:-1] if cut_off else rows
    if len(rows) < 2:
        raise BadRecording("There are no samples under the heads.")
    if len(rows) > MOST_ROWS:
        raise BadRecording(f"More than {MOST_ROWS:,} samples. Record half a minute at a time.")
    for line, cells in rows:
        if len(cells) != width:
            raise BadRecording(f"Line {line} has {len(cells)} cells, the heads have {width}.")
    comma = _has_commas(rows, heads, delimiter)
    times, clock = _times(rows, heads.places[TIME], comma)
    axes = [_numbers(rows, heads.places[a], heads.names[a], comma) for a in heads.axes]
    return Table(
        heads=heads,
        delimiter=delimiter,
        comma=comma,
        clock=clock,
        cut_off=cut_off,
        times=times,
        axes=np.column_stack(axes),
    )


_Rows = Sequence[tuple[int, list[str]]]


def _text(data: bytes) -> str:
    if not data.strip():
        raise BadRecording("The file is empty.")
    if len(data) > LARGEST_BYTES:
        most = LARGEST_BYTES // 1024**2
        raise BadRecording(f"The file is larger than {most} MB. Record half a minute at a time.")
    if b"\0" in data:
        raise BadRecording("This is not a plain text file. Export the recording as CSV.")
    # Names of units alone are outside ASCII; latin-1 reads any byte, and numbers alike.
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def _found_heads(lines: Sequence[str]) -> tuple[Heads, str, int]:
    """Return the first line that names columns that are read, by the delimiter that parts most."""
    for number, line in enumerate(lines[: MOST_BEFORE + 1], start=1):
        parted = {mark: _cells(line, mark) for mark in DELIMITERS}
        best = max(DELIMITERS, key=lambda mark: (known_heads(parted[mark]), len(parted[mark])))
        cells = parted[best]
        if len(cells) > 1 and known_heads(cells):
            if len(cells) > MOST_COLUMNS:
                raise BadRecording(f"The file has more than {MOST_COLUMNS} columns.")
            return heads_of(cells, number), best, len(cells)
    raise BadRecording(
        "No line names the columns. A head such as “time (s), x (m/s2), y (m/s2), z (m/s2)” is "
        "expected."
    )


def _cells(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader(io.StringIO(line), delimiter=delimiter), [])
    except csv.Error as error:
        raise BadRecording(f"A line cannot be read: {error}.") from error


def _rows(lines: Sequence[str], delimiter: str, before: int) -> Iterator[tuple[int, list[str]]]:
    numbered = enumerate(lines, start=before + 1)
    return ((number, _cells(line, delimiter)) for number, line in numbered if line.strip())


def _has_commas(rows: _Rows, heads: Heads, delimiter: str) -> bool:
    """Tell whether decimals have a comma. Raises BadRecording where both signs occur."""
    if delimiter == ",":
        return False
    places = heads.places.values()
    commas = any("," in cells[place] for _, cells in rows for place in places)
    axes = [heads.places[axis] for axis in heads.axes]
    points = any("." in cells[place] for _, cells in rows for place in axes)
    if commas and points:
        raise BadRecording(
            "Some numbers have a decimal comma and some a decimal point. Export it in one way."
        )
    return commas


def _times(rows: _Rows, place: int, comma: bool) -> tuple[FloatArray, bool]:
    """Return the times from the first on, and whether a clock was written."""
    first = rows[0][1][place].strip()
    if ":" in first:
        moments = [_moment(cells[place], line) for line, cells in rows]
        return np.array([(one - moments[0]).total_seconds() for one in moments]), True
    # Whole nanoseconds since 1970 have more digits than a float holds.
    exact = [_exact(cells[place], line, "time", comma) for line, cells in rows]
    return np.array([float(one - exact[0]) for one in exact]), False


def _moment(cell: str, line: int) -> dt.datetime:
    text = cell.strip().replace(",", ".")
    day = "" if "-" in text.partition(":")[0] else "1970-01-01T"
    try:
        return dt.datetime.fromisoformat(day + text).replace(tzinfo=None)
    except ValueError as error:
        raise BadRecording(f"Line {line}: “{cell[:30]}” is not a time of day.") from error


def _exact(cell: str, line: int, name: str, comma: bool) -> Decimal:
    text = cell.strip().replace(",", ".") if comma else cell.strip()
    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite():
        said = f"“{cell.strip()[:30]}” is not a number" if text else "a cell is empty"
        raise BadRecording(f"Line {line}, {name}: {said}.")
    return value


def _numbers(rows: _Rows, place: int, name: str, comma: bool) -> FloatArray:
    exact = (float(_exact(cells[place], line, name, comma)) for line, cells in rows)
    return np.fromiter(exact, dtype=np.float64, count=len(rows))
