"""The columns of a file of scans, markers or function tests, by the names people give them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from patients.facts.declared import Scan, Tests, Turnover
from patients.facts.question import Ask, Kind, asks
from patients.names import fold


class Unfit(ValueError):
    """A file that cannot be taken as it is; `str()` of it is the sentence for the person."""


@dataclass(frozen=True)
class Column:
    """One column: the name it is written under, other names it is read by, its question."""

    code: str
    head: str
    also: tuple[str, ...]
    ask: Ask

    @property
    def names(self) -> frozenset[str]:
        """Return every name of it, folded."""
        return frozenset(map(fold, (self.head, self.code, *self.also)))


@dataclass(frozen=True)
class Layout:
    """The columns of one kind of file.

    key     the columns that tell two rows of one person apart
    beside  columns that are kept and are no fact
    """

    kind: str
    title: str
    of: type[Any]
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    beside: tuple[str, ...] = ()


@dataclass(frozen=True)
class Heads:
    """Which column of a file is what: the place of each, and the names not taken."""

    layout: Layout
    places: Mapping[str, int]
    ignored: tuple[str, ...]


_TEXT = Ask(question="", kind=Kind.TEXT)
#: Who a row is about. The record number is text: its zeros count.
WHO = (
    Column("patient_id", "patient id", ("id", "calcar id"), _TEXT),
    Column(
        "record_number",
        "record number",
        ("record no", "mrn", "medical record number", "hospital number", "chart number"),
        _TEXT,
    ),
    Column(
        "born",
        "date of birth",
        ("dob", "birth date", "birthdate"),
        Ask(question="Date of birth", kind=Kind.DATE),
    ),
)
_SIDE = Column("side", "side", (), Ask(question="Side", kind=Kind.CHOICE))
_VERTEBRAE = Column("vertebrae", "vertebrae", ("levels", "region"), _TEXT)
_SCAN_NAMES: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "scan date", "scanned on"),
    "site": ("site",),
    "bmd_g_cm2": ("BMD g/cm2", "bmd", "density", "density bmd", "bone mineral density"),
    "t": ("T-score", "tscore"),
    "z": ("Z-score", "zscore"),
    "scanner": ("scanner", "machine", "device"),
}
_MARKER_NAMES: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "sample date", "taken on"),
    "marker": ("marker", "test", "analyte"),
    "value": ("value", "result"),
    "unit": ("unit", "units"),
    "fasting_morning": ("fasting", "fasting before 10 in the morning"),
}
_TEST_NAMES: Mapping[str, tuple[str, ...]] = {
    "date": ("date", "test date", "tested on"),
    "up_and_go_s": (
        *("timed up and go s", "timed up and go", "up and go s", "up and go", "tug", "tug s"),
    ),
    "chair_stands_30s": ("chair stands in 30 s", "chair stands", "30 s chair stands"),
    "five_stands_s": (
        *("five times sit to stand s", "five times sit to stand"),
        *("five chair stands s", "five chair stands", "5 chair stands"),
    ),
    "side_by_side_s": ("side by side s", "side by side", "feet together"),
    "semi_tandem_s": ("semi-tandem s", "semi-tandem"),
    "tandem_s": ("tandem s", "tandem"),
    "one_leg_s": (
        *("single-leg stance s", "single-leg stance"),
        *("one leg s", "one leg", "one-leg stand"),
    ),
    "walk_4m_s": ("4 m walk s", "4 m walk", "walk of 4 m s", "walk of 4 m"),
    "grip_kg": ("grip kg", "grip", "grip strength"),
    "resting_bp": ("resting pressure mmHg", "resting pressure", "resting blood pressure"),
    "standing_bp": ("standing pressure mmHg", "standing pressure", "standing blood pressure"),
    "unable": ("not possible", "attempted, not possible", "tried and not possible"),
}


def _columns(of: type[Any], names: Mapping[str, tuple[str, ...]]) -> tuple[Column, ...]:
    declared = asks(of)
    return tuple(
        Column(code, head, tuple(also), declared[code]) for code, (head, *also) in names.items()
    )


_SCAN = _columns(Scan, _SCAN_NAMES)
LAYOUTS: Mapping[str, Layout] = MappingProxyType(
    {
        "scan": Layout(
            "scan",
            "DXA scans",
            Scan,
            (*_SCAN[:2], _SIDE, _VERTEBRAE, *_SCAN[2:]),
            ("date", "site", "side"),
            ("side", "vertebrae"),
        ),
        "marker": Layout(
            "marker",
            "Bone markers",
            Turnover,
            _columns(Turnover, _MARKER_NAMES),
            ("date", "marker"),
        ),
        "tests": Layout("tests", "Function tests", Tests, _columns(Tests, _TEST_NAMES), ("date",)),
    }
)
_KNOWN = frozenset(
    name
    for columns in (WHO, *(layout.columns for layout in LAYOUTS.values()))
    for column in columns
    for name in column.names
)


def is_known(head: str) -> bool:
    """Tell whether a head names any column."""
    return fold(head) in _KNOWN


def heads_of(head: Sequence[str]) -> Heads:
    """Return which column is what.

    Raises Unfit where the kind of file cannot be told, a column comes twice, or one that is
    needed is missing.
    """
    layout = _layout(head)
    named = {name: c.code for c in (*WHO, *layout.columns) for name in c.names}
    places: dict[str, int] = {}
    for place, code in enumerate(named.get(fold(name)) for name in head):
        if code is not None and places.setdefault(code, place) != place:
            raise Unfit(f"Two columns are both read as “{column_of(layout, code).head}”.")
    _nothing_missing(layout, places)
    ignored = tuple(name for name in head if fold(name) not in named)
    return Heads(layout, MappingProxyType(places), ignored)


def column_of(layout: Layout, code: str) -> Column:
    """Return a column of a layout by its code."""
    return next(c for c in (*WHO, *layout.columns) if c.code == code)


def _layout(head: Iterable[str]) -> Layout:
    names = set(map(fold, head))
    kinds = [kind for kind in ("scan", "marker") if _says(kind, names)]
    if len(kinds) > 1:
        raise Unfit("Scans and markers are in one file. Send each kind in a file of its own.")
    return LAYOUTS[kinds[0] if kinds else "tests"]


def _says(kind: str, names: set[str]) -> bool:
    telling = {"scan": "site", "marker": "marker"}[kind]
    return bool(column_of(LAYOUTS[kind], telling).names & names)


def _nothing_missing(layout: Layout, places: Mapping[str, int]) -> None:
    if not {"patient_id", "record_number"} & places.keys():
        raise Unfit("No column says whose rows these are. Name one “record number”.")
    needed = [c for c in layout.columns if c.ask.required or c.code == "date"]
    missing = [c.head for c in needed if c.code not in places]
    if layout.kind == "tests" and len(places.keys() - {c.code for c in WHO}) < 2:
        missing.append("any test")
    if missing:
        raise Unfit(
            f"Read as {layout.title.lower()}, but these columns are missing: {', '.join(missing)}."
        )
