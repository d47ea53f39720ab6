"""Two versions of a program side by side, kind by kind: what is gone, what came, what differs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from programs.edit.plan_in_words import in_a_week, weeks_words
from programs.week.week import Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

NONE = "not in the week"


@dataclass(frozen=True, kw_only=True)
class Version:
    """One version: a signed one, an open draft, or a draft as it was proposed.

    standing   where each kind stands, in words
    days       what is on each weekday, in words
    findings   what the screen had found and no clearance lifts, in words
    """

    name: str
    starts_on: dt.date
    weeks: tuple[Week, ...]
    standing: Mapping[Modality, str]
    days: Mapping[str, str]
    findings: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Span:
    """Weeks of the later version in which a kind is dosed otherwise than on the same days."""

    weeks: str
    was: str
    now: str


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of loading in both; each pair is the earlier version's and the later one's.

    first, last   its dose in the first week laid beside the other, and in the last
    held          whether any week that is laid beside the other holds it
    """

    modality: Modality
    standing: tuple[str, str]
    first: tuple[str, str]
    last: tuple[str, str]
    held: tuple[bool, bool]
    spans: tuple[Span, ...]

    @property
    def name(self) -> str:
        """Return the kind in words."""
        return MODALITIES[self.modality].name

    @property
    def gone(self) -> bool:
        """Tell whether the later version no longer holds it."""
        return self.held == (True, False)

    @property
    def came(self) -> bool:
        """Tell whether only the later version holds it."""
        return self.held == (False, True)

    @property
    def differs(self) -> bool:
        """Tell whether anything of it differs."""
        pairs = (self.standing, self.first, self.last, self.held)
        return bool(self.spans) or any(was != now for was, now in pairs)


@dataclass(frozen=True, kw_only=True)
class Beside:
    """Two versions side by side.

    week      the week of the earlier version that falls on the later one's first
    beyond    the weeks of the later one for which the earlier one has none, in words
    minutes   of the first week laid beside the other
    days      each weekday that differs: its name, what was on it, what is on it now
    new, no_more   findings that only the later, only the earlier one has
    """

    before: Version
    after: Version
    week: int
    beyond: str
    kinds: tuple[Kind, ...]
    minutes: tuple[float, float]
    days: tuple[tuple[str, str, str], ...]
    new: tuple[str, ...]
    no_more: tuple[str, ...]

    @property
    def gone(self) -> tuple[Kind, ...]:
        """Return the kinds that the later version no longer holds."""
        return tuple(kind for kind in self.kinds if kind.gone)

    @property
    def came(self) -> tuple[Kind, ...]:
        """Return the kinds that only the later version holds."""
        return tuple(kind for kind in self.kinds if kind.came)

    @property
    def differs(self) -> bool:
        """Tell whether anything that is shown differs."""
        told = (self.days, self.new, self.no_more)
        return any(told) or any(kind.differs for kind in self.kinds)


def beside(before: Version, after: Version) -> Beside:
    """Lay a version beside an earlier one, the days on which both would be done together.

    Where the earlier one is over by then, its last week stands for it.
    """
    offset = _offset(before, after)
    was, now = before.weeks[offset:], after.weeks
    days = dict.fromkeys((*before.days, *after.days))
    pairs = [(day, before.days.get(day, ""), after.days.get(day, "")) for day in days]
    return Beside(
        before=before,
        after=after,
        week=offset + 1,
        beyond=_beyond(len(was), len(now)),
        kinds=tuple(_kind(m, before, after, offset) for m in Modality),
        minutes=(_minutes(was), _minutes(now)),
        days=tuple(pair for pair in pairs if pair[1] != pair[2]),
        new=tuple(one for one in after.findings if one not in before.findings),
        no_more=tuple(one for one in before.findings if one not in after.findings),
    )


def _offset(before: Version, after: Version) -> int:
    weeks = (after.starts_on - before.starts_on).days // 7
    return max(0, min(weeks, len(before.weeks) - 1))


def _beyond(was: int, now: int) -> str:
    return weeks_words(was + 1, now) if was and now > was else ""


def _minutes(weeks: Sequence[Week]) -> float:
    return weeks[0].minutes if weeks else 0.0


def _kind(modality: Modality, before: Version, after: Version, offset: int) -> Kind:
    was, now = before.weeks[offset:], after.weeks
    return Kind(
        modality=modality,
        standing=(before.standing[modality], after.standing[modality]),
        first=(_dose(was[:1], modality), _dose(now[:1], modality)),
        last=(_dose(was[-1:], modality), _dose(now[-1:], modality)),
        held=(_holds(was, modality), _holds(now, modality)),
        spans=tuple(_spans(was, now, modality)),
    )


def _dose(weeks: Sequence[Week], modality: Modality) -> str:
    return (in_a_week(weeks[0], modality) if weeks else "") or NONE


def _holds(weeks: Sequence[Week], modality: Modality) -> bool:
    return any(part_of(week, modality) is not None for week in weeks)


def _spans(was: Sequence[Week], now: Sequence[Week], modality: Modality) -> Iterator[Span]:
    told = [
        (number, _dose([old], modality), _dose([new], modality))
        for number, (old, new) in enumerate(zip(was, now, strict=False), 1)
    ]
    for (old, new), same in groupby(told, key=lambda one: one[1:]):
        numbers = [number for number, *_ in same]
        if old != new:
            yield Span(weeks=weeks_words(numbers[0], numbers[-1]), was=old, now=new)
