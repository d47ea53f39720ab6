"""The weeks of a draft: each ramp as far as it has risen, on her days, in her minutes (row 24)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from programs.dose import balance as balance_dose
from programs.dose import impact, posture
from programs.dose.impact import ImpactStep
from programs.dose.limit import DRAFT_WEEKS
from programs.dose.plate import PlateStep
from programs.dose.resistance import LiftingStep
from programs.draft.bouts import at_least, at_most, in_bouts, usable
from programs.draft.ramps import BalanceStep, Course, PostureStep
from programs.draft.rises import Step, ascend, by_calendar
from programs.draft.share import Claims, Shape, loads, posture_days, settle
from safety.findings import Modality

_P, _R, _I, _B, _S = Modality
WEEKS = range(1, DRAFT_WEEKS + 1)


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """One week that fits: the step of each ramp, its days, and the minutes of each day.

    days          of each modality that is there
    balance_on    minutes of balance on each day
    posture_min   minutes of posture on each of its days
    """

    shape: Shape
    days: Mapping[Modality, tuple[str, ...]]
    plate: PlateStep | None = None
    lifting: LiftingStep | None = None
    impact: ImpactStep | None = None
    balance: BalanceStep | None = None
    posture: PostureStep | None = None
    minutes_on: Mapping[str, float] = field(default_factory=dict)
    balance_on: Mapping[str, int] = field(default_factory=dict)
    posture_min: int = 0

    @property
    def balance_min(self) -> int:
        """Return the minutes of balance of the whole week."""
        return sum(self.balance_on.values())

    @property
    def minutes(self) -> float:
        """Return the minutes of the whole week."""
        return sum(self.minutes_on.values())


def fit_weeks(course: Course) -> tuple[Fitted, ...]:
    """Fit each week into the days and minutes there are."""
    stretches = {
        there: _Stretch(course=course, there=there)
        for there in dict.fromkeys(course.there(week) for week in WEEKS)
    }
    steady = course.resume.is_steady
    by_week = {week: stretches[course.there(week)] for week in WEEKS}
    rising = ascend(
        lambda week: by_week[week].ramps,
        course.rank,
        lambda week, m, step, lifting: by_week[week].has_room(m, step, lifting),
        steady,
    )
    balance = by_calendar(course.balance, lambda step: (step.minutes, step.rung), steady)
    held = by_calendar(course.posture, _dose_of_posture, steady)
    laid: list[_Laid] = []
    for week, steps, b, p in zip(WEEKS, rising, balance, held, strict=True):
        # What ends in a steady week leaves the shares of the week before: nothing rises in it.
        stretch = laid[-1].stretch if laid and steady(week) else by_week[week]
        laid.append(
            _Laid(course=course, stretch=stretch, week=week, steps=steps, balance=b, posture=p)
        )
    return tuple(reversed([*_filled(laid)]))


def _filled(weeks: Sequence[_Laid]) -> Iterator[Fitted]:
    """Fill the weeks from the last to the first: balance and posture never fall later on."""
    most_balance, most_posture = balance_dose.UNSTEADY_MIN, posture.MOST_MIN_A_DAY
    for n in range(len(weeks) - 1, -1, -1):
        fitted = weeks[n].fill(most_balance, most_posture)
        if weeks[n].course.until and (before := _before_steady(weeks, n)) is not None:
            held = before.fill(most_balance, most_posture)
            fitted = weeks[n].fill(held.balance_min, held.posture_min)
        if fitted.balance is not None:
            most_balance = fitted.balance_min
        if fitted.posture is not None:
            most_posture = fitted.posture_min
        yield fitted


def _before_steady(weeks: Sequence[_Laid], n: int) -> _Laid | None:
    """Return the week before the steady weeks of which this is one; None where it is none."""
    first = n
    while first and weeks[first].course.resume.is_steady(weeks[first].week):
        first -= 1
    return weeks[first] if first != n else None


def _dose_of_posture(step: PostureStep) -> tuple[object, ...]:
    return step.minutes, step.hold_s, step.reps, step.loaded


@dataclass(frozen=True, kw_only=True)
class _Stretch:
    """The weeks in which the same kinds of loading are there."""

    course: Course
    there: frozenset[Modality]

    @cached_property
    def settled(self) -> tuple[Shape, Claims]:
        """Return the shape, and what was asked; without lifting in it impact is walking."""
        claims = self._claims(self.course.impact_for(self.there))
        shape = settle(self.course.time, claims)
        if _R in shape.dropped and self.course.counts_impact(self.there):
            claims = self._claims(self.course.walk)
            shape = settle(self.course.time, claims)
        return shape, claims

    @property
    def shape(self) -> Shape:
        return self.settled[0]

    @cached_property
    def ramps(self) -> Mapping[Modality, Sequence[Step]]:
        """Return the ramps that have room; without lifting impact is walking."""
        lifted = _R in self.there and _R not in self.shape.dropped
        steps: dict[Modality, Sequence[Step]] = {
            _P: self.course.plate,
            _R: self.course.lifting,
            _I: self.course.impact_for(self.there) if lifted else self.course.walk,
        }
        return {m: s for m, s in steps.items() if m in self.there and m not in self.shape.dropped}

    def _claims(self, impact_ramp: Sequence[ImpactStep]) -> Claims:
        course, there = self.course, self.there
        jump = impact_ramp[0] if _I in there and impact_ramp else None
        lifting = course.lifting if _R in there else ()
        return Claims(
            lifting_min=(lambda n, sets: course.lifting_peak(0, n, sets)) if lifting else None,
            lift_days=course.lift_days,
            plate_min=course.plate[0].session_min if _P in there and course.plate else None,
            plate_days=course.plate_days,
            impact_min=impact.session_min(jump) if jump else None,
            impact_days=course.impact_days[: jump.days] if jump else (),
            balance=course.balance_share(_B in there),
            posture=_S in there and bool(course.posture),
        )

    @cached_property
    def posture_on(self) -> tuple[str, ...]:
        """Return the days of posture: those with room for it in the fullest week of the start."""
        shape, claims = self.settled
        time = self.course.time
        return posture_days(time, claims, shape, time.room(loads(time, claims, shape))) or ()

    @cached_property
    def kept(self) -> tuple[int, int]:
        """Return the minutes of balance and of posture that a lesser ramp may not rise into."""
        shape, claims = self.settled
        time = self.course.time
        return self.shared(time.room(loads(time, claims, shape)), claims.balance.goal, _FULL)

    @cached_property
    def half(self) -> int:
        """Return the minutes that balance has before anything else, as bouts can fill them.

        Settled for the fullest week, so that the minutes are the same in all of them.
        """
        shape, claims = self.settled
        if not claims.balance.first or _B in shape.dropped:
            return 0
        time = self.course.time
        room = time.room(loads(time, claims, shape))
        beside = self._beside_posture(room, posture.START_MIN_A_DAY)
        return at_least(claims.balance.first, beside)

    def shared(self, room: Mapping[str, int], balance: int, posture_min: int) -> tuple[int, int]:
        """Return the minutes of balance a week and of posture a day that this room has.

        balance, posture_min   what is aimed at; the one of higher rank takes first
        """
        shape, claims = self.settled
        time = self.course.time
        most = 0 if _B in shape.dropped else balance
        if claims.balance.first and not shape.is_whole:
            most = min(most, self.half)
        if not self.posture_on:
            return min(most, self.usable(room, 0)), 0
        least = posture.START_MIN_A_DAY
        longer = range(max(posture_min, least), least, -1)
        if time.rank[_B] < time.rank[_S]:
            total = min(most, self.usable(room, least))
            fits = (p for p in longer if self._posture_fits(room, p, total))
            return total, next(fits, least)
        fits = (p for p in longer if self._posture_fits(room, p, min(most, self.half)))
        minutes = next(fits, least)
        return min(most, self.usable(room, minutes)), minutes

    def _posture_fits(self, room: Mapping[str, int], minutes: int, total: int) -> bool:
        left = self._beside_posture(room, minutes)
        return self._keeps_least(left) and at_most(total, left, self.bout) == total

    def _keeps_least(self, left: Mapping[str, int]) -> bool:
        """Tell whether no day is overfull and balance keeps its least on each, or on some day.

        More room never makes it less: a rise that fits once fits in every roomier week.
        """
        shape, claims = self.settled
        if min(left.values(), default=0) < 0:
            return False
        if _B in shape.dropped or not claims.balance.goal or claims.balance.first:
            return True
        enough = any if shape.some_days else all
        return enough(minutes >= claims.balance.least for minutes in left.values())

    def _beside_posture(self, room: Mapping[str, int], minutes: int) -> dict[str, int]:
        return {day: room[day] - minutes * (day in self.posture_on) for day in room}

    @property
    def bout(self) -> int:
        """Return the least minutes of a bout."""
        shape, claims = self.settled
        return claims.balance.least if shape.some_days else balance_dose.LEAST_BOUT_MIN

    def usable(self, room: Mapping[str, int], posture_min: int) -> int:
        """Return the minutes that balance can fill beside so much posture a day."""
        return usable(self._beside_posture(room, posture_min), self.bout)

    def has_room(self, modality: Modality, step: Step, lifting: LiftingStep | None) -> bool:
        """Tell whether a rise takes only what is free: nothing of what is worth more."""
        if isinstance(step, LiftingStep):
            return True
        rank = self.course.rank
        room = self._room_beside(modality, step, lifting)
        if min(room.values(), default=0) < 0:
            return False
        balance, minutes = self.kept
        if rank[_B] > rank[modality]:
            balance = min(balance, self.half)
        if rank[_S] > rank[modality] or not self.posture_on:
            minutes = min(minutes, posture.START_MIN_A_DAY)
        return self._posture_fits(room, minutes, balance)

    def _room_beside(
        self, modality: Modality, step: Step, lifting: LiftingStep | None
    ) -> dict[str, int]:
        """Return the room beside a rise, the fullest lifting to come, and what is worth more."""
        course, (shape, claims) = self.course, self.settled
        asked = {_P: (claims.plate_min, claims.plate_days)}
        asked[_I] = (claims.impact_min, claims.impact_days)
        other = _I if modality is _P else _P
        if course.rank[other] < course.rank[modality] and other in self.ramps:
            asked[other] = course.session(self.peaks[other], shape)
        asked[modality] = course.session(step, shape)
        lifted = None
        if claims.lifting_min is not None:
            at = 0 if lifting is None else course.place_of(lifting)
            lifted = course.lifting_peak(at, shape.exercises, shape.cut_sets)
        on = claims.lift_days[: shape.lifting_sessions]
        sessions = ((_R, lifted, on), (_P, *asked[_P]), (_I, *asked[_I]))
        return course.time.room(course.time.load(sessions, shape.dropped))

    @cached_property
    def peaks(self) -> Mapping[Modality, Step]:
        """Return the longest session that the higher of plate and impact ever rises to."""
        both = [m for m in (_P, _I) if m in self.ramps]
        last = self.course.lifting[-1] if _R in self.ramps else None
        found = {}
        for modality in sorted(both, key=lambda m: self.course.rank[m])[:1]:
            reached = [self.ramps[modality][0]]
            for step in self.ramps[modality][1:]:
                if not self.has_room(modality, step, last):
                    break
                reached.append(step)
            found[modality] = max(reached, key=_minutes_and_days)
        return found


_FULL = posture.MOST_MIN_A_DAY


def _minutes_and_days(step: Step) -> tuple[float, int]:
    if isinstance(step, PlateStep):
        return step.session_min, 0
    assert isinstance(step, ImpactStep)
    return impact.session_min(step), step.days


@dataclass(frozen=True, kw_only=True)
class _Laid:
    """One week with its ramps risen, before balance and posture fill it."""

    course: Course
    stretch: _Stretch
    week: int
    steps: Mapping[Modality, Step]
    balance: BalanceStep | None
    posture: PostureStep | None

    def fill(self, most_balance: int, most_posture: int) -> Fitted:
        """Return the week with as much balance and posture as has room, at most so much."""
        stretch = self.stretch
        load, days = self._load()
        room = self.course.time.room(load)
        posture_on = self.course.inside(_S, stretch.posture_on, self.week)
        aimed = min(self.balance.minutes, most_balance) if self.balance else 0
        longest = min(self.posture.minutes, most_posture) if self.posture else 0
        total, minutes = stretch.shared(room, aimed if _B in stretch.there else 0, longest)
        minutes = min(minutes, longest) if posture_on else 0
        left = {d: room[d] - minutes * (d in posture_on) for d in room}
        balance_on = self.course.inside(_B, self.course.days, self.week)
        left = {d: left[d] if d in balance_on else 0 for d in left}
        on = in_bouts(total, left, stretch.bout)
        days |= {_B: tuple(d for d in room if on[d]), _S: posture_on if minutes else ()}
        plate, lifting, jump = (self.steps.get(m) for m in (_P, _R, _I))
        assert plate is None or isinstance(plate, PlateStep)
        assert lifting is None or isinstance(lifting, LiftingStep)
        assert jump is None or isinstance(jump, ImpactStep)
        held = {m: days[m] for m in Modality if days.get(m)}
        return Fitted(
            shape=stretch.shape,
            days=held,
            plate=plate if _P in held else None,
            lifting=lifting if _R in held else None,
            impact=jump if _I in held else None,
            balance=self.balance if _B in held else None,
            posture=self.posture if _S in held else None,
            minutes_on={d: load[d] + on[d] + minutes * (d in posture_on) for d in load},
            balance_on=on,
            posture_min=minutes,
        )

    def _load(self) -> tuple[dict[str, float], dict[Modality, tuple[str, ...]]]:
        """Return the minutes of plate, lifting and impact on each day, and their days."""
        course, shape = self.course, self.stretch.shape
        load = dict.fromkeys(course.days, 0.0)
        days: dict[Modality, tuple[str, ...]] = {}
        for modality, step in self.steps.items():
            minutes, on = course.session(step, shape)
            days[modality] = course.inside(modality, on, self.week)
            for day in days[modality]:
                load[day] += minutes
        return load, days
