"""The heads of an accelerometer's file, as telephones' programs and loggers write them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from programs.plates.recording.refused import BadRecording

TIME, LONE = "time", "a"
AXES = ("x", "y", "z", LONE)
#: Seconds of a unit of time; None is a time of day as written on a clock.
TIME_UNITS = MappingProxyType({"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9})
TIME_NAMES = MappingProxyType(
    {"s": "seconds", "ms": "milliseconds", "us": "microseconds", "ns": "nanoseconds"}
)
#: m/s2 of a unit of acceleration.
UNITS = MappingProxyType({"m/s2": 1.0, "g": 9.80665, "mg": 9.80665e-3})
UNIT_NAMES = MappingProxyType({"m/s2": "m/s²", "g": "g", "mg": "thousandths of g"})

_UNIT_WORDS: Mapping[str, str] = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("ms", "msec", "millis", "millisecond", "milliseconds"), "ms"),
    **dict.fromkeys(("us", "µs", "μs", "micros", "microsecond", "microseconds"), "us"),
    **dict.fromkeys(("ns", "nanos", "nanosecond", "nanoseconds"), "ns"),
    **dict.fromkeys(("m/s2", "m/s^2", "m/s²", "m/s/s", "ms-2", "ms^-2", "m s-2", "mps2"), "m/s2"),
    **dict.fromkeys(("g", "gs", "gee"), "g"),
    **dict.fromkeys(("mg", "milli-g"), "mg"),
}
_IN_BRACKETS = re.compile(r"^(?P<name>.*?)[\s_]*[(\[](?P<unit>[^()\[\]]*)[)\]]\s*$")
_TIME_WORDS = frozenset({"time", "t", "timestamp", "elapsed", "stamp", "sample", "epoch", "unix"})
_ACCELERATION_WORDS = frozenset(
    {
        *("acc", "accel", "acceleration", "accelerometer", "accelerations", "axis", "value"),
        *("linear", "user", "total", "raw", "calibrated", "with", "without", "gravity", "force"),
    }
)
_JOINED = re.compile(r"^(?:a|acc|accel|acceleration|gf)(?P<axis>[xyz])$")


@dataclass(frozen=True, kw_only=True)
class Head:
    """What one column is: time, an axis, or neither; its unit where its head says one."""

    what: str | None
    unit: str | None


@dataclass(frozen=True, kw_only=True)
class Heads:
    """Which column is what.

    line     the line of the file on which the heads stand, from 1
    ignored  heads that are not read
    """

    line: int
    places: Mapping[str, int]
    units: Mapping[str, str | None]
    names: Mapping[str, str]
    ignored: tuple[str, ...]

    @property
    def axes(self) -> tuple[str, ...]:
        """Return the axes there are, in order."""
        return tuple(axis for axis in AXES if axis in self.places)


def head(written: str) -> Head:
    """Return what a head names."""
    name, unit = _parted(written)
    words = re.findall(r"[a-zµμ]+", name.replace("_", " "))
    if unit is None and len(words) > 1 and words[-1] in _UNIT_WORDS:
        unit, words = _UNIT_WORDS[words[-1]], words[:-1]
    if unit is None and len(words) > 1 and words[0] in ("seconds", "millis", "milliseconds"):
        unit, words = _UNIT_WORDS[words[0]], words[1:]
    if words and set(words) <= _TIME_WORDS:
        return Head(what=TIME, unit=unit if unit in TIME_UNITS else None)
    axis = _axis(words)
    if axis is None:
        return Head(what=None, unit=None)
    if words[0].startswith("gf") and unit is None:
        unit = "g"
    return Head(what=axis, unit=unit if unit in UNITS else None)


def _parted(written: str) -> tuple[str, str | None]:
    """Return the name and the unit in brackets; the unit of a name in it is left to its words."""
    plain = " ".join(written.casefold().strip().strip('"').split())
    found = _IN_BRACKETS.match(plain)
    if found is None:
        return plain, None
    return found["name"], _UNIT_WORDS.get(found["unit"].strip())


def _axis(words: Sequence[str]) -> str | None:
    left = [word for word in words if word not in _ACCELERATION_WORDS]
    if len(left) == 1:
        joined = _JOINED.match(left[0])
        named = joined["axis"] if joined else left[0]
        return named if named in AXES else None
    return LONE if words and not left and set(words) & {"acc", "accel", "acceleration"} else None


def heads_of(cells: Sequence[str], line: int) -> Heads:
    """Return which column is what. Raises BadRecording where one comes twice or is missing."""
    found = [head(cell) for cell in cells]
    places: dict[str, int] = {}
    for place, one in enumerate(found):
        if one.what is not None and places.setdefault(one.what, place) != place:
            raise BadRecording(
                f"Two columns are both read as {one.what}: “{cells[places[one.what]]}” and "
                f"“{cells[place]}”. Send a file with one accelerometer."
            )
    _nothing_missing(places)
    return Heads(
        line=line,
        places=places,
        units={what: found[place].unit for what, place in places.items()},
        names={what: cells[place].strip() for what, place in places.items()},
        ignored=tuple(
            cell.strip() for cell, one in zip(cells, found, strict=True) if one.what is None
        ),
    )


def known_heads(cells: Sequence[str]) -> int:
    """Return how many of these cells are heads that are read."""
    return sum(head(cell).what is not None for cell in cells)


def _nothing_missing(places: Mapping[str, int]) -> None:
    if TIME not in places:
        raise BadRecording(
            "No column of times: without them the sampling is not known. Export the recording "
            "with its times."
        )
    if not set(AXES) & places.keys():
        raise BadRecording("No column of acceleration: x, y and z, or one axis, are expected.")
    if LONE in places and len(places) > 2:
        raise BadRecording("An axis without a name stands beside x, y or z: which is it?")
