"""Function tests: the newest result of each beside its cuts, norm and change, SPPB worked out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts.ages import age_on
from patients.facts.declared import Facts, Tests
from patients.facts.units import show_number
from patients.measured import chance_of_change, function_tests
from patients.measured.chart import Mark, chart
from patients.measured.function_norms import Norm, norm
from patients.measured.function_tests import Against, Sppb, measures
from patients.measured.page.density import Held
from patients.measured.page.seen import SeenBlock, seen_block
from patients.measured.page.words import VERDICTS, signed
from patients.measured.series import Series, function_series

_FALL = (
    f"{function_tests.FALL_SYSTOLIC_MMHG} systolic or "
    f"{function_tests.FALL_DIASTOLIC_MMHG} diastolic"
)
_DROPS = MappingProxyType(
    {
        True: f"a fall that counts ({_FALL}, or more)",
        False: f"no fall that counts ({_FALL})",
        None: "no fall can be read from one alone",
    }
)


@dataclass(frozen=True)
class CutLine:
    """A published cut in words, and whether the result lies beyond it."""

    words: str
    met: bool


@dataclass(frozen=True)
class FunctionRow:
    """One measure for reading: its newest result and all that stands beside it.

    picture  SVG over time; "" with a single result
    values   day and result, newest first
    """

    measure: str
    label: str
    on: dt.date
    value: str
    cuts: tuple[CutLine, ...]
    norm: str
    change: Held | None
    change_since: dt.date | None
    counts_from: str
    values: tuple[tuple[dt.date, str], ...]
    picture: str


@dataclass(frozen=True)
class FunctionPage:
    """All function tests for reading.

    sppb      how its points come about; "" where no part was tested
    pressure  resting and standing pressure of the newest tests, in words
    unable    what was tried on that day and not possible
    seen      which true changes show, of each test whose error is known
    """

    rows: tuple[FunctionRow, ...]
    sppb: str
    pressure: str
    unable: tuple[str, ...]
    seen: tuple[SeenBlock, ...]


def function_page(facts: Facts, tests: Sequence[Tests], marks: Sequence[Mark] = ()) -> FunctionPage:
    """Return the function tests of all days for reading; tests are oldest first."""
    wanted = list(measures(Tests()))
    found = (_row(measure, facts, tests, marks) for measure in wanted)
    newest = tests[-1] if tests else Tests()
    return FunctionPage(
        rows=tuple(row for row in found if row is not None),
        sppb=_sppb(function_tests.sppb(newest)),
        pressure=_pressure(newest),
        unable=tuple(function_tests.LABELS[code] for code in newest.unable or ()),
        seen=tuple(block for measure in wanted if (block := _seen(tests, measure)) is not None),
    )


def _seen(tests: Sequence[Tests], measure: str) -> SeenBlock | None:
    series = function_series(tests, measure)
    if series is None:
        return None
    found = chance_of_change.of_test(measure, series.points[-1].value)
    if found is None:
        return None
    source = chance_of_change.DETECTABLE[measure].source
    label = series.label
    return seen_block(measure, label, [("A better result", found)], series.unit or "stands", source)


def _row(
    measure: str, facts: Facts, tests: Sequence[Tests], marks: Sequence[Mark]
) -> FunctionRow | None:
    series = function_series(tests, measure)
    if series is None:
        return None
    newest = series.points[-1]
    age = age_on(facts.person.born, newest.on)
    of_day = next(t for t in reversed(tests) if t.date == newest.on and _has(t, measure))
    counts = function_tests.CHANGE_THAT_COUNTS.get(measure)
    return FunctionRow(
        measure=measure,
        label=series.label,
        on=newest.on,
        value=_with_unit(newest.value, series),
        cuts=tuple(_cuts(of_day, measure, age, facts.person.sex_of_tables)),
        norm=_norm(norm(measure, age, facts.person.sex_of_tables)),
        change=_change(series),
        change_since=series.against_last.since if series.against_last else None,
        counts_from=f"counts from {_joined(counts[0], series.unit)}" if counts else "",
        values=tuple((p.on, _with_unit(p.value, series)) for p in reversed(series.points)),
        picture=chart(series, marks, name=f"chart-{measure}") if len(series.points) > 1 else "",
    )


def _has(tests: Tests, measure: str) -> bool:
    return measures(tests)[measure] is not None


def _with_unit(value: float, series: Series) -> str:
    return f"{show_number(value, series.decimals)} {series.unit}".rstrip()


def _joined(size: float, unit: str) -> str:
    # No break between a number and its unit, in a narrow column.
    return f"{size:g}\u00a0{unit}".rstrip()


def _cuts(tests: Tests, measure: str, age: int, sex: str) -> Iterable[CutLine]:
    for found in function_tests.against(tests, function_tests.cuts(age, sex)):
        if found.cut.measure == measure:
            yield CutLine(_cut_words(found), found.met)


def _cut_words(found: Against) -> str:
    cut = found.cut
    # Only where the rounded result seems to lie on the other side.
    plain = show_number(found.value, cut.decimals)
    more = f", measured {found.shown}" if found.shown != plain else ""
    return f"{cut.words}: {cut.meaning} ({cut.source}){more}"


def _norm(found: Norm | None) -> str:
    if found is None:
        return ""
    size = f"{found.low:g}" if found.low == found.high else f"{found.low:g} to {found.high:g}"
    return f"{size} {found.unit}".rstrip() + f" ({found.source})"


def _change(series: Series) -> Held | None:
    step = series.against_last
    if step is None:
        return None
    word, sign = VERDICTS[step.verdict]
    before, last = series.points[-2].value, series.points[-1].value
    return Held(f"{signed(last - before, series.decimals)} {series.unit}".rstrip(), word, sign, ())


def _sppb(points: Sppb) -> str:
    given = {name: getattr(points, name) for name in ("balance", "gait", "chair")}
    if all(value is None for value in given.values()):
        return ""
    shown = " + ".join(f"{name} {'?' if v is None else v}" for name, v in given.items())
    if points.total is None:
        return f"{shown}: no total, a part was not tested."
    return f"{shown} = {points.total} of 12, {points.band}."


def _pressure(tests: Tests) -> str:
    resting, standing = _bp(tests.resting_bp), _bp(tests.standing_bp)
    if tests.resting_bp is None and tests.standing_bp is None:
        return ""
    drop = function_tests.postural_drop(tests)
    return f"resting {resting}, standing {standing}: {_DROPS[drop]}."


def _bp(pressure: tuple[int, int] | None) -> str:
    return "not recorded" if pressure is None else f"{pressure[0]}/{pressure[1]} mmHg"
