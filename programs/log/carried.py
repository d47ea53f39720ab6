"""The log that she carries away as one file: what is put into it, and what it brings back.

The page in the file knows nothing but what stands here: its cells come from the declaration.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from gettext import NullTranslations as Words
from typing import Any

from patients.facts.before_first_visit import gettext_noop
from patients.files.columns import Unfit
from programs.log.cells import plate_keys, shown
from programs.log.day import HIGHEST, OTHER_PLATE, Column, Read, all_columns
from programs.log.file_days import Bad, FileDay
from safety.findings import Modality
from safety.modalities import MODALITIES

FORMAT = "calcar-log/1"
MOST_DAYS = 400
#: What the page in the file says, by the names under which its script asks for it.
SAYS: Mapping[str, str] = {
    "title": gettext_noop("Your log"),
    "how": gettext_noop("Fill in each day. Leave open what you do not know."),
    "save": gettext_noop("Save as a file"),
    "bring": gettext_noop("Bring the saved file to your next visit."),
    "open": gettext_noop("Go on with a file that you saved"),
    "before": gettext_noop("The day before"),
    "after": gettext_noop("The day after"),
    "planned": gettext_noop("Planned on this day"),
    "other": gettext_noop("Not planned on this day"),
    "day": gettext_noop("About the day"),
    "asPlanned": gettext_noop("I did all of it as planned"),
    "keeps": gettext_noop("This device keeps what you fill in."),
    "keepsNot": gettext_noop(
        "This device keeps nothing when you close this page. Save the file first."
    ),
    "unsaved": gettext_noop("Not saved as a file yet."),
    "saved": gettext_noop("Saved as a file."),
    "copy": gettext_noop("If no file comes, copy this text and bring it."),
    "notThis": gettext_noop("That file is not from this log. Nothing was changed."),
    "stop": gettext_noop("Pain, a fall or a warning sign: stop and call the clinic today."),
    "week": gettext_noop("Week"),
}


@dataclass(frozen=True, kw_only=True)
class PlannedDay:
    """A day of the program: the kinds planned on it, and the lifts with a load in its week."""

    on: dt.date
    week: int
    title: str
    kinds: tuple[Modality, ...]
    lifts: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Carried:
    """A file that was brought back: its own number, and its days."""

    file: str
    days: tuple[FileDay, ...]
    bad: tuple[Bad, ...]


def contents(
    *,
    file: str,
    patient_id: int,
    language: str,
    kinds: Sequence[Modality],
    days: Sequence[PlannedDay],
    plates: Sequence[str],
    lift_names: Mapping[str, str],
    words: Words,
) -> dict[str, Any]:
    """Return all that the page in the file is made from.

    file         its own number
    lift_names   what the paper calls each lift
    """
    lifts = tuple(dict.fromkeys(lift for day in days for lift in day.lifts))
    columns = all_columns(tuple(kinds), lifts)
    return {
        "format": FORMAT,
        "file": file,
        "patient": patient_id,
        "language": language,
        "says": {name: words.gettext(text) for name, text in SAYS.items()},
        "kinds": {str(kind): words.gettext(MODALITIES[kind].title) for kind in kinds},
        "lifts": {lift: words.gettext(lift_names[lift]) for lift in lifts},
        "columns": [_column(column, plates, words) for column in columns],
        "days": [
            {
                "on": day.on.isoformat(),
                "week": day.week,
                "title": day.title,
                "kinds": list(day.kinds),
                "lifts": list(day.lifts),
            }
            for day in days
        ],
    }


def _column(column: Column, plates: Sequence[str], words: Words) -> dict[str, Any]:
    return {
        "name": column.name,
        "kind": column.kind,
        "lift": column.lift,
        "cell": column.cell.name,
        "asked": words.gettext(column.cell.asked),
        "unit": column.cell.unit,
        "options": options_of(column, plates, words),
        "several": column.cell.read is Read.KINDS,
    }


def options_of(column: Column, plates: Sequence[str], words: Words) -> list[list[str]]:
    """Return what can be chosen: what is kept, and its words."""
    cell = column.cell
    match cell.read:
        case Read.KEY:
            return [[key, words.gettext(cell.spoken[value])] for key, value in cell.keys.items()]
        case Read.TEN:
            return [[shown(cell, n), str(n)] for n in range(HIGHEST + 1)]
        case Read.PLATE:
            # By name: her plates may stand in another order when the file comes back.
            named = plate_keys(plates).values()
            return [[n, words.gettext(_ANOTHER) if n == OTHER_PLATE else n] for n in named]
        case Read.KINDS:
            return [
                [shown(cell, (kind,)), words.gettext(MODALITIES[kind].title)] for kind in Modality
            ]
        case _:
            return []


_ANOTHER = gettext_noop("Another plate")


def is_carried(data: bytes) -> bool:
    """Tell whether a file is a log that was carried, not a table."""
    return data.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"{"


def read_carried(data: bytes, columns: Sequence[Column], patient_id: int) -> Carried:
    """Return what a file brought back holds. Raises Unfit for one that cannot be taken."""
    document = _document(data)
    if str(document.get("patient")) != str(patient_id):
        raise Unfit("This log is of another patient. Nothing of it is taken.")
    days = document.get("days")
    if not isinstance(days, Mapping) or len(days) > MOST_DAYS:
        raise Unfit("The days in this file cannot be read. Save it once more on her device.")
    by_name = {column.name: column for column in columns}
    read = [_day(on, held, by_name) for on, held in days.items()]
    return Carried(
        file=str(document.get("file"))[:64],
        days=tuple(one for one in read if isinstance(one, FileDay)),
        bad=tuple(one for one in read if isinstance(one, Bad)),
    )


def _document(data: bytes) -> Mapping[str, Any]:
    try:
        document = _of_whole_signs(json.loads(data.decode("utf-8-sig")))
    except (UnicodeDecodeError, ValueError, RecursionError):
        document = None
    if not isinstance(document, Mapping) or document.get("format") != FORMAT:
        raise Unfit("This is not a log that was carried away, or it was cut short. Save it again.")
    return document


def _of_whole_signs(document: object) -> Any:
    """Return it with "?" for each half of a sign, which a device that cut a text may leave.

    JSON can hold one; no page can show it and no database keep it.
    """
    return json.loads(json.dumps(document, ensure_ascii=False).encode(errors="replace"))


def _day(on: str, held: object, columns: Mapping[str, Column]) -> FileDay | Bad:
    where = f"day {on[:20]}"
    try:
        day = dt.date.fromisoformat(on)
    except ValueError:
        return Bad(where=where, text="There is no such day in the calendar.")
    texts = held if isinstance(held, Mapping) else None
    if texts is None or not all(isinstance(text, str) for text in texts.values()):
        return Bad(where=where, text="What stands here cannot be read.")
    unknown = [name for name in texts if name not in columns]
    if unknown:
        return Bad(where=where, text=f"Not known here: {', '.join(unknown)[:80]}.")
    return FileDay(where=where, on=day, texts={columns[name]: t for name, t in texts.items() if t})
