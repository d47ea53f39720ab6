"""Two drafts side by side: what one change of the facts brings."""

from __future__ import annotations

from dataclasses import dataclass

from programs.draft.draft import Draft
from programs.week.one_line import NOTHING, short_dose
from programs.week.week import Week, part_of
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Side:
    """One modality in one of two drafts.

    first, last   its dose in the first and the last week that hold it, in words
    left_out      why it finds no room in some weeks, or nothing
    """

    status: str
    rank: int
    first: str
    last: str
    left_out: str

    @property
    def status_words(self) -> str:
        """Return the status in words."""
        return self.status.replace("_", " ")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One modality in both drafts."""

    modality: Modality
    before: Side
    after: Side

    @property
    def differs(self) -> bool:
        """Tell whether anything of it differs."""
        return self.before != self.after

    @property
    def words(self) -> tuple[str, ...]:
        """Return what differs, one phrase each."""
        was, now = self.before, self.after
        said = []
        if was.status != now.status:
            said.append(f"{now.status_words}, not {was.status_words}")
        if was.rank != now.rank:
            said.append(f"number {now.rank} of 5 in value, not {was.rank}")
        said += _moved("starts", was.first, now.first)
        said += _moved("ends", was.last, now.last)
        if was.left_out != now.left_out:
            said.append(now.left_out.rstrip(".") or "room in every week")
        if now.first == NOTHING != was.first and was.status == now.status and not now.left_out:
            said.append("in no week")
        return tuple(said)


def _moved(verb: str, was: str, now: str) -> list[str]:
    if now == NOTHING or was == now:
        return []
    return [f"{verb} {now}" + ("" if was == NOTHING else f", not {was}")]


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Two drafts side by side.

    minutes   least and most minutes of a week, in each
    """

    rows: tuple[Row, ...]
    issuable: tuple[bool, bool]
    group: tuple[str, str]
    minutes: tuple[tuple[float, float], tuple[float, float]]

    @property
    def differs(self) -> bool:
        """Tell whether the drafts differ in anything shown."""
        pairs = (self.issuable, self.group, self.minutes)
        return any(a != b for a, b in pairs) or any(row.differs for row in self.rows)

    @property
    def changed(self) -> tuple[Row, ...]:
        """Return the modalities that differ."""
        return tuple(row for row in self.rows if row.differs)


def compare(before: Draft, after: Draft) -> Comparison:
    """Return both drafts side by side, modality by modality."""
    return Comparison(
        rows=tuple(
            Row(modality=m, before=_side(before, m), after=_side(after, m)) for m in Modality
        ),
        issuable=(before.issuable, after.issuable),
        group=(before.group, after.group),
        minutes=(_minutes(before), _minutes(after)),
    )


def _side(made: Draft, modality: Modality) -> Side:
    standing = made.standings[modality]
    held = [week for week in made.weeks if part_of(week, modality) is not None]
    first, last = (held[0], held[-1]) if held else (None, None)
    return Side(
        status=str(standing.status),
        rank=standing.rank,
        first=_dose(first, modality),
        last=_dose(last, modality),
        left_out=next((one.why for one in made.left_out if one.about is modality), ""),
    )


def _dose(week: Week | None, modality: Modality) -> str:
    return short_dose(None if week is None else part_of(week, modality))


def _minutes(made: Draft) -> tuple[float, float]:
    held = [week.minutes for week in made.weeks]
    return (min(held), max(held)) if held else (0.0, 0.0)
