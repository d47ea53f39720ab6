"""One week of a plan as a timetable: each session on its day, with its minutes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from patients.facts.codes import DAYS
from programs.draft.fit_into_days import Fitted
from programs.edit.base_draft import Basis
from programs.edit.place_on_days import days_of
from programs.week.minutes import session_min
from programs.week.week import WEEK, BalanceWeek, Part, Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

STAFF = "Trained staff are beside the plate."
HELPER = "Somebody at home who was shown how is beside the plate."
AT_CLINIC = (
    "Nobody who was shown how is on record: the first session on the plate is done at the clinic."
)
SOMEBODY = "Somebody who was shown how must be beside the plate, and nobody is on record."


@dataclass(frozen=True, kw_only=True)
class Session:
    """One session of a day; `watched` where somebody must be beside her."""

    modality: Modality
    minutes: float
    watched: bool

    @property
    def name(self) -> str:
        """Return the kind in words."""
        return MODALITIES[self.modality].name


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the week with its sessions, in their order."""

    code: str
    sessions: tuple[Session, ...]

    @property
    def name(self) -> str:
        """Return the name of the day."""
        return DAYS[self.code]

    @property
    def minutes(self) -> float:
        """Return the minutes of all its sessions."""
        return sum(one.minutes for one in self.sessions)


@dataclass(frozen=True, kw_only=True)
class Timetable:
    """One week: its days, what finds no room in it, and who must be there.

    most_min   the minutes that she has on a day; None where that is not known
    """

    week: int
    days: tuple[Day, ...]
    no_room: tuple[str, ...]
    present: str
    most_min: float | None

    @property
    def minutes(self) -> float:
        """Return the minutes of the whole week."""
        return sum(day.minutes for day in self.days)

    @property
    def notes(self) -> tuple[str, ...]:
        """Return what stands below the days."""
        room = f"No room in this week: {', '.join(self.no_room)}." if self.no_room else ""
        return tuple(filter(None, (self.present, room)))


def timetable(
    week: Week,
    *,
    included: Sequence[Modality],
    drafted: Mapping[str, Sequence[str]],
    basis: Basis | None,
    supervised: bool,
    watcher: bool,
    first_on_plate: bool,
) -> Timetable:
    """Lay a week out over her days.

    included   the kinds that may stand in the week
    drafted    the days of each kind over all weeks, for a plan that is drafted no more
    """
    on = _minutes_on(week, basis, drafted)
    held = {m: part for m in Modality if (part := part_of(week, m)) is not None}
    watched = week.plate is not None and week.plate.supervised
    return Timetable(
        week=week.week,
        days=tuple(_day(code, on, watched=watched) for code in WEEK if _any(code, on)),
        no_room=tuple(MODALITIES[m].name.lower() for m in included if m not in held),
        present=_present(supervised, watcher, first_on_plate) if watched else "",
        most_min=basis.course.minutes_a_day if basis else None,
    )


def _present(supervised: bool, watcher: bool, first: bool) -> str:
    if supervised:
        return STAFF
    if watcher:
        return HELPER
    return AT_CLINIC if first else SOMEBODY


On = Mapping[Modality, Mapping[str, float]]


def _any(code: str, on: On) -> bool:
    return any(code in days for days in on.values())


def _day(code: str, on: On, *, watched: bool) -> Day:
    return Day(
        code=code,
        sessions=tuple(
            Session(modality=m, minutes=days[code], watched=watched and m is Modality.PLATE)
            for m, days in on.items()
            if code in days
        ),
    )


def _minutes_on(week: Week, basis: Basis | None, drafted: Mapping[str, Sequence[str]]) -> On:
    placed = days_of(week, basis) if basis else {}
    found: dict[Modality, Mapping[str, float]] = {}
    for modality in Modality:
        part = part_of(week, modality)
        if part is None:
            continue
        as_fitted = _fitted(week, part, modality, basis)
        if as_fitted is not None:
            found[modality] = as_fitted
        else:
            by_day = [day for day in WEEK if modality in drafted.get(day, ())]
            days = placed.get(modality) or by_day[: part.sessions]
            found[modality] = dict.fromkeys(days, session_min(part))
    return found


def _fitted(
    week: Week, part: Part, modality: Modality, basis: Basis | None
) -> Mapping[str, float] | None:
    """Return the drafted days of a kind with their minutes; None where its sessions changed."""
    if basis is None:
        return None
    fitted: Fitted = basis.made.fitted[week.week - 1]
    was = part_of(basis.made.weeks[week.week - 1], modality)
    if was is None or was.sessions != part.sessions:
        return None
    if isinstance(part, BalanceWeek) and fitted.balance_min == part.minutes:
        return {day: minutes for day, minutes in fitted.balance_on.items() if minutes}
    return dict.fromkeys(fitted.days[modality], session_min(part))
