"""The ways to fit the week side by side: one row for each number, one column for each way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from patients.facts.codes import DAYS
from programs.compare.numbers_of_each_way import AMOUNTS, Amount, differences, numbers, verdict
from programs.compare.ways_to_fit import Fit
from safety.findings import Modality
from safety.screen import Status


@dataclass(frozen=True, kw_only=True)
class Cell:
    """What stands in one way; `against` is one word where it differs from the first."""

    text: str
    against: str = ""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row, the present way first."""

    name: str
    cells: tuple[Cell, ...]


def table(fits: Sequence[Fit], number: int) -> tuple[Row, ...]:
    """Return the rows of one week. `fits` has the present way first and must not be empty."""
    return (*_time(fits, number), *_amounts(fits, number))


def _time(fits: Sequence[Fit], number: int) -> Iterator[Row]:
    now = fits[0]
    others = [verdict(differences(fit, now)) for fit in fits[1:]]
    yield _row("Against now", ["–", *others])
    yield _row("Days", [_short_days(fit.days) for fit in fits])
    yield _row("Minutes on each", [_minutes_on_each(fit) for fit in fits])
    used = [fit.made.weeks[number - 1].minutes for fit in fits]
    texts = [
        f"{minutes:.0f} of {fit.minutes_a_week}" for minutes, fit in zip(used, fits, strict=True)
    ]
    yield _row("Minutes used in the week", texts)
    longest = [fit.longest_min(number) for fit in fits]
    yield Row(
        name="Longest session, min",
        cells=tuple(
            Cell(text=f"{one:.0f}", against=_word(one, longest[0], "longer", "shorter"))
            for one in longest
        ),
    )


def _row(name: str, texts: Sequence[str]) -> Row:
    return Row(name=name, cells=tuple(Cell(text=text) for text in texts))


def _short_days(days: Sequence[str]) -> str:
    return ", ".join(DAYS[day][:3] for day in days) or "none"


def _minutes_on_each(fit: Fit) -> str:
    return f"{fit.minutes_a_day} in two sessions" if fit.in_two else f"{fit.minutes_a_day}"


def _amounts(fits: Sequence[Fit], number: int) -> Iterator[Row]:
    """Yield the numbers of what is included, by rank; one that no way has is left away."""
    held = [numbers(fit, number) for fit in fits]
    standings = fits[0].made.standings
    first_of = {one.modality: one for one in reversed(AMOUNTS)}
    for one in sorted(AMOUNTS, key=lambda one: standings[one.modality].rank):
        included = standings[one.modality].status is Status.INCLUDED
        tells_room = first_of[one.modality] is one
        if included and (tells_room or any(one.code in week for week in held)):
            found = [week.get(one.code) for week in held]
            cells = (_cell(one, value, found[0], tells_room=tells_room) for value in found)
            yield Row(name=one.name, cells=tuple(cells))


def _cell(one: Amount, value: float | None, now: float | None, *, tells_room: bool) -> Cell:
    if value is None:
        return Cell(text="no room" if tells_room else "–", against="" if now is None else "less")
    return Cell(text=one.told(value), against=_word(value, now or 0.0, "more", "less", one))


def _word(value: float, now: float, more: str, less: str, one: Amount | None = None) -> str:
    told = one.told if one else "{:.0f}".format
    if told(value) == told(now):
        return ""
    return more if value > now else less


def beyond_time(fit: Fit) -> tuple[tuple[Modality, Status], ...]:
    """Return what no time brings in: on hold, or excluded."""
    standings = fit.made.standings.items()
    return tuple((m, one.status) for m, one in standings if one.status is not Status.INCLUDED)
