"""The log by its days: rows of sessions and of whole days, as entries and as the review reads them.

What is told of a day counts for its sessions: pain for each kind done that day, unless it was said
with which kind it hurt; a fall, an illness, a warning sign for all of them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from programs.log.day import (
    CELLS,
    KG,
    LEFT,
    OF_DAY,
    PAIN,
    PAIN_SETTLED,
    PAIN_WHERE,
    PAIN_WITH,
    Of,
)
from programs.log.entries import Entry
from programs.review.adherence import LiftedSet, Session
from safety.findings import Modality

_OF_PAIN = (PAIN.name, PAIN_SETTLED.name, PAIN_WHERE.name)
#: What a session of the day is told as well where it does not tell it itself.
_OF_ALL = tuple(cell.name for cell in OF_DAY if cell.name not in (*_OF_PAIN, PAIN_WITH.name))
_OF_KIND = tuple(cell.name for cell in CELLS if cell.of is Of.KIND)
_NOT_TOLD: tuple[Any, ...] = (None, "", ())


# --- Entries and sessions ---------------------------------------------------------------------


def session_of_entry(entry: Entry, carrier: Modality) -> Session:
    """Return an entry as a session.

    carrier   the kind under which a whole day is kept
    """
    told = {key: value for key, value in entry.told.items() if ":" not in key}
    if entry.kind is None:
        return Session(on=entry.on, modality=carrier, done="none", whole_day=True, **told)
    return Session(on=entry.on, modality=entry.kind, sets=_sets(entry.told), **told)


def _sets(told: Mapping[str, Any]) -> tuple[LiftedSet, ...]:
    lifts: dict[str, dict[str, Any]] = {}
    for key, value in told.items():
        name, _, lift = key.partition(":")
        if lift:
            lifts.setdefault(lift, {})[name] = value
    return tuple(LiftedSet(lift=lift, **held) for lift, held in lifts.items())


def entries_of_day(sessions: Sequence[Session]) -> dict[Modality | None, Entry]:
    """Return what the sessions of one day tell, by kind; the day as a whole under None.

    What earlier forms kept with each session, such as pain, is read as told of the day.
    """
    own = [one for one in sessions if not one.whole_day]
    found: dict[Modality | None, Entry] = {
        one.modality: Entry(on=one.on, kind=one.modality, told=_kind_told(one)) for one in own
    }
    told = _day_told(sessions, own)
    if told:
        found[None] = Entry(on=sessions[0].on, kind=None, told=told)
    return found


def _kind_told(one: Session) -> dict[str, Any]:
    told: dict[str, Any] = {name: getattr(one, name) for name in _OF_KIND}
    for held in one.sets:
        told[f"{KG.name}:{held.lift}"] = held.kg
        told[f"{LEFT.name}:{held.lift}"] = held.left
    return {key: value for key, value in told.items() if value not in _NOT_TOLD}


def _day_told(sessions: Sequence[Session], own: Sequence[Session]) -> dict[str, Any]:
    days = [one for one in sessions if one.whole_day]
    told = {cell.name: _of_several(cell.name, sessions) for cell in OF_DAY}
    of_day = [one for one in days if one.pain is not None]
    if felt := of_day or [one for one in own if one.pain is not None]:
        worst = max(one.pain or 0 for one in felt)
        hurt = [one for one in felt if one.pain == worst]
        told |= {PAIN.name: worst, PAIN_SETTLED.name: _settled(hurt)}
        told[PAIN_WITH.name] = of_day[0].pain_with if of_day else _hurt_with(hurt, own, worst)
    return {key: value for key, value in told.items() if value not in _NOT_TOLD}


def _of_several(name: str, sessions: Sequence[Session]) -> Any:
    """Return what several tell of their day: words joined, and a yes before a no."""
    told = [value for one in sessions if (value := getattr(one, name)) not in _NOT_TOLD]
    if told and isinstance(told[0], str):
        return "; ".join(dict.fromkeys(told))
    return max(told, default=None) if name != PAIN_WITH.name else ()


def _settled(hurt: Sequence[Session]) -> bool | None:
    """Return whether it settled everywhere; not known of one, and it is not known."""
    answers = {one.pain_settled for one in hurt}
    if False in answers:
        return False
    return None if None in answers else True


def _hurt_with(hurt: Sequence[Session], own: Sequence[Session], worst: int) -> tuple[Modality, ...]:
    trained = {one.modality for one in own if one.trained}
    kinds = tuple(one.modality for one in hurt)
    return () if not worst or set(kinds) >= trained else kinds


# --- As the review reads it -------------------------------------------------------------------


def as_read(sessions: Iterable[Session]) -> list[Session]:
    """Return the log with what is told of a day laid on the sessions of that day, by day."""
    by_day: dict[dt.date, list[Session]] = {}
    for one in sessions:
        by_day.setdefault(one.on, []).append(one)
    return [one for day in sorted(by_day) for one in _day_as_read(by_day[day])]


def _day_as_read(held: Sequence[Session]) -> Iterator[Session]:
    own = [one for one in held if not one.whole_day]
    days = [one for one in held if one.whole_day]
    if not days:
        yield from own
        return
    (day,) = days[-1:]
    hurt = _kinds_of_pain(day, own)
    for one in own:
        yield _laid_on(one, day, pain=one.modality in hurt)
    missing = [kind for kind in hurt if kind not in {one.modality for one in own}]
    for kind in missing or ([] if own else [day.modality]):
        yield replace(day, modality=kind)


def _kinds_of_pain(day: Session, own: Sequence[Session]) -> tuple[Modality, ...]:
    """Return the kinds for which the pain of a day counts."""
    if day.pain is None:
        return ()
    trained = tuple(one.modality for one in own if one.trained)
    # Nothing was done, and nobody said with what it hurt: it may be any.
    return day.pain_with or trained or tuple(Modality)


def _laid_on(one: Session, day: Session, *, pain: bool) -> Session:
    names = (*_OF_ALL, *(_OF_PAIN if pain and one.pain is None else ()))
    blank = [name for name in names if getattr(one, name) in _NOT_TOLD]
    told = {name: getattr(day, name) for name in blank}
    return replace(one, entered_on=max(one.known_on, day.known_on), **told)


# --- Changes ----------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Row:
    """A session with the number of its row."""

    pk: int
    session: Session


@dataclass(frozen=True, kw_only=True)
class Changes:
    """What is struck out of a day and what is written instead."""

    struck: tuple[int, ...]
    entries: tuple[Entry, ...]


def changes(rows: Sequence[Row], typed: Mapping[Modality | None, Entry]) -> Changes:
    """Return what turns the rows of a day into what was typed; what is the same stays."""
    held = entries_of_day([row.session for row in rows])
    new_day = held.get(None) != typed.get(None)
    kinds = {kind for kind in {*held, *typed} - {None} if held.get(kind) != typed.get(kind)}
    moved = any(_tells_of_day(row.session) for row in rows if row.session.modality in kinds)
    struck = [row for row in rows if _is_struck(row.session, kinds, new_day=new_day or moved)]
    kinds |= {row.session.modality for row in struck if not row.session.whole_day}
    written = [entry for kind, entry in typed.items() if kind in kinds]
    if (new_day or moved) and None in typed:
        written.append(typed[None])
    return Changes(struck=tuple(row.pk for row in struck), entries=tuple(written))


def _is_struck(one: Session, kinds: set[Modality | None], *, new_day: bool) -> bool:
    if one.whole_day:
        return new_day
    return one.modality in kinds or (new_day and _tells_of_day(one))


def _tells_of_day(one: Session) -> bool:
    """Tell whether a session keeps what is told of its day, as earlier forms wrote it."""
    told = (getattr(one, cell.name) for cell in OF_DAY)
    return not one.whole_day and any(value not in _NOT_TOLD for value in told)
