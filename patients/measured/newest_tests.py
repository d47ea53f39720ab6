"""Of each function test and pressure the newest result, and whether it still counts on a day.

Rulebook row 0: tests are read one by one. A normal result that is too old is as never measured;
an abnormal one still counts, and is asked for again: like an old scan it can raise a risk, never
lower one. A test without its day is read as old.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from patients.facts.ages import add_months
from patients.facts.declared import Tests
from patients.facts.question import asks
from patients.measured.function_tests import (
    LABELS,
    abnormal_codes,
    abnormal_words,
    postural_drop,
    pressure_abnormal,
    sppb,
)

OLD_AFTER_MONTHS = 12
OLD_PRESSURE_AFTER_MONTHS = 6
RESTING, STANDING = "resting_bp", "standing_bp"
TIMED = tuple(asks(Tests)["unable"].choices or {})
#: Tests of which more is better; of the others less is.
_MORE_IS_BETTER = (
    "chair_stands_30s",
    "side_by_side_s",
    "semi_tandem_s",
    "tandem_s",
    "one_leg_s",
    "grip_kg",
)
_WORST: Mapping[str, Callable[[list[Any]], Any]] = {
    code: min if code in (*_MORE_IS_BETTER, STANDING) else max
    for code in (*TIMED, RESTING, STANDING)
}
#: Tests for which she stands or walks.
STANDING_TESTS = tuple(code for code in TIMED if code != "grip_kg")


@dataclass(frozen=True, kw_only=True)
class TestsOnDay:
    """What the function tests say on a day.

    newest    of each test the newest result, however old
    read      the same without normal results that are too old
    days      the day of each newest result; None where it was not recorded
    stale     the codes of those that are too old
    pair      both pressures of the newest row that has both, as far as they still count
    sppb      points of the three newest parts, as far as they still count
    old       what is too old, in words, and is asked for again
    abnormal  each result that counts as abnormal for falls, in words
    """

    newest: Tests
    read: Tests
    days: Mapping[str, dt.date | None]
    stale: frozenset[str]
    pair: Tests | None
    sppb: int | None
    old: tuple[str, ...]
    abnormal: tuple[str, ...]

    @property
    def drops(self) -> bool | None:
        """Tell whether pressure falls on standing; None where it was not measured together."""
        return None if self.pair is None else postural_drop(self.pair)

    def unable(self, *codes: str) -> bool:
        """Tell whether one of these was attempted, not possible."""
        refused = self.read.unable
        return refused is not None and any(code in refused for code in codes)

    def known(self, *codes: str) -> bool:
        """Tell whether any of these has a result that is not too old, not possible included."""
        fresh = [code for code in codes if code not in self.stale]
        return self.unable(*fresh) or any(getattr(self.read, code) is not None for code in fresh)


def tests_on(tests: Iterable[Tests] | None, day: dt.date, age: int, sex: str) -> TestsOnDay:
    """Return what the tests of all rows say on a day, for a person of this age and sex."""
    rows = tuple(tests or ())
    newest, days = _newest(rows)
    stale = tuple(code for code, on in days.items() if _too_old(code, on, day))
    beyond = abnormal_codes(newest, age, sex) if stale else frozenset()
    dropped = {code: None for code in stale if not _counts(code, newest, beyond)}
    points = sppb(newest).total
    aged = any(code in dropped for code in ("five_stands_s", "walk_4m_s", *_STANCES))
    points = None if points is not None and points > LOW_SPPB and aged else points
    read = replace(newest, **dropped) if dropped else newest
    pair = _pair(rows, day)
    return TestsOnDay(
        newest=newest,
        read=read,
        days=days,
        stale=frozenset(stale),
        pair=pair,
        sppb=points,
        old=tuple(f"a newer {_WORDS[code]}" for code in stale),
        abnormal=abnormal_words(read, age, sex, points, pair),
    )


LOW_SPPB = 8
_STANCES = ("side_by_side_s", "semi_tandem_s", "tandem_s")
_WORDS = {**LABELS, RESTING: "resting blood pressure", STANDING: "pressure after standing up"}


def _counts(code: str, newest: Tests, beyond: frozenset[str]) -> bool:
    """Tell whether a result counts however old it is: it is abnormal."""
    if code in (RESTING, STANDING):
        pressure = getattr(newest, code)
        return pressure is not None and pressure_abnormal(code, pressure)
    return code in beyond


@lru_cache(maxsize=256)
def _too_old(code: str, on: dt.date | None, day: dt.date) -> bool:
    months = OLD_PRESSURE_AFTER_MONTHS if code == RESTING else OLD_AFTER_MONTHS
    return on is None or day > add_months(on, months)


def _newest(rows: tuple[Tests, ...]) -> tuple[Tests, dict[str, dt.date | None]]:
    if len(rows) == 1 and rows[0].unable is None:
        (only,) = rows
        return only, {code: only.date for code in _WORST if getattr(only, code) is not None}
    values: dict[str, Any] = {}
    days: dict[str, dt.date | None] = {}
    unable, refused = [], {code for row in rows for code in row.unable or ()}
    for code in _WORST:
        held = [
            row
            for row in rows
            if getattr(row, code) is not None or (code in refused and _cannot(row, code))
        ]
        if not held:
            continue
        days[code], last = _last(held)
        if code in refused and any(_cannot(row, code) for row in last):
            unable.append(code)
        else:
            values[code] = _WORST[code]([getattr(row, code) for row in last])
    asked = any(row.unable is not None for row in rows)
    newest_day = max((row.date for row in rows if row.date), default=None)
    made = Tests(date=newest_day, unable=tuple(unable) if asked else None, **values)
    return made, days


def _cannot(row: Tests, code: str) -> bool:
    return row.unable is not None and code in row.unable


def _last(held: list[Tests]) -> tuple[dt.date | None, list[Tests]]:
    """Return the newest day and its rows; rows without a day may be the newest, all are read."""
    if len(held) == 1:
        return held[0].date, held
    day = max((row.date for row in held if row.date), default=None)
    return day, [row for row in held if row.date in (None, day)]


def _pair(rows: tuple[Tests, ...], day: dt.date) -> Tests | None:
    """Return the newest row that holds both pressures; None where it is too old and fine."""
    both = [row for row in rows if row.resting_bp is not None and row.standing_bp is not None]
    if not both:
        return None
    _, last = _last(both)
    found = next((row for row in last if postural_drop(row)), last[0])
    if not postural_drop(found) and _too_old(STANDING, found.date, day):
        return None
    return Tests(date=found.date, resting_bp=found.resting_bp, standing_bp=found.standing_bp)
