"""Where the next program takes up each modality: never above what was last done (row 26)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from patients.facts.declared import Facts
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft import person
from programs.draft.draft import Draft
from programs.draft.resume import Resume
from programs.review.drafts import Drafts
from programs.review.half_year import Half, Onward, next_half
from programs.review.heavier import heavier
from programs.review.ladder import Ladder, Ladders
from programs.review.ledger import Ledger
from programs.review.lift_loads import kg_done, maxima, maxima_done, own_starts, rising, step_up
from programs.review.next_steps import STEPS_BACK, Next
from programs.review.plate_cap import stances_no_worse
from programs.week.plate_as_moved import as_moved
from programs.week.week import Part, ResistanceWeek, Week, exercise_codes, part_of
from safety.findings import Modality
from safety.screen import Status


@dataclass(frozen=True, kw_only=True)
class Today:
    """What the next draft is made from: the facts, with what the log tells, and what is lifted.

    lifted, cap_g   precautions lifted, and what the plate of a fragile person is held to
    starts_on       first day of its week 1
    onward          what follows the review; None: as the program in force would go on
    """

    facts: Facts
    lifted: frozenset[str]
    cap_g: float | None
    starts_on: dt.date
    limits: Clinic = AS_PUBLISHED
    onward: Onward | None = Onward.NEXT_DRAFT


class Restart:
    """The places of the next draft, once what comes next of each modality is decided.

    decided   what comes next; one that is not named starts at its start
    drafts    those already made of these facts
    """

    def __init__(
        self,
        ledger: Ledger,
        given: Today,
        decided: Mapping[Modality, Next],
        drafts: Drafts | None = None,
    ) -> None:
        self.ledger, self.given, self.decided = ledger, given, decided
        self._drafts = drafts or Drafts(given.facts, given.limits)

    @cached_property
    def start(self) -> Resume:
        """Return the resume with nothing behind her yet."""
        held = self.ledger.held.resume
        again = self.decided.get(Modality.PLATE) is Next.START_AGAIN
        return Resume(
            lifted=self.given.lifted,
            plate_cap_g=self.given.cap_g,
            watched=frozenset() if again else self.ledger.watched,
            stopped=frozenset(m for m, one in self.decided.items() if one is Next.STOP),
            one_rm_kg={k: kg for k, kg in held.one_rm_kg.items() if k not in self._tested},
            first_rung=self._first_rung,
            half_year=self.half.year,
            half_weeks=self.half.weeks,
            changed=self.changed,
            maintains=self._maintains,
        )

    # --- Half years -----------------------------------------------------------------------

    @cached_property
    def half(self) -> Half:
        """Return the half year that the next draft is in."""
        going = any(self._goes_on(m) for m in Modality)
        given = self.given
        return next_half(self.ledger.held, given.starts_on, going=going, onward=given.onward)

    @property
    def _maintains(self) -> bool:
        """Tell whether one dose holds; without a decision, as in the program in force."""
        if self.given.onward is None:
            return self.ledger.held.resume.maintains
        return self.given.onward is Onward.MAINTENANCE

    @property
    def _takes_up(self) -> bool:
        """Tell whether she takes up just where she is: a half year that begins, or maintenance."""
        return self.half.begins or self._maintains

    def _goes_on(self, modality: Modality) -> bool:
        """Tell whether a modality goes on from what was done of it."""
        chosen = self.decided.get(modality, Next.STOP)
        return chosen not in (Next.STOP, Next.START_AGAIN) and bool(self._last_dose(modality))

    @cached_property
    def changed(self) -> frozenset[str]:
        """Return the exercises that give place: those last done, where a half year begins."""
        if not self.half.begins:
            return self.ledger.held.resume.changed if self.half.year > 1 else frozenset()
        going = [m for m in (Modality.RESISTANCE, Modality.IMPACT) if self._goes_on(m)]
        return frozenset(code for m in going for code in exercise_codes(self._last_dose(m)))

    def _steps_back(self, modality: Modality) -> int:
        """Return the steps back that were decided, one more where a lift is changed (row 29a)."""
        steps = STEPS_BACK.get(self.decided[modality], 0)
        return steps + (modality is Modality.RESISTANCE and self._changes_a_lift)

    @cached_property
    def _changes_a_lift(self) -> bool:
        if not self.half.begins or not self.base.weeks:
            return False
        new = exercise_codes(self.base.weeks[0].resistance)
        return bool(set(new) - set(exercise_codes(self._last_dose(Modality.RESISTANCE))))

    def _first_of_its_rung(self, modality: Modality, place: int) -> int:
        """Return the first place of an impact that takes the place of another (project choice)."""
        done, doses = self._last_dose(modality), self.ladder(modality).doses
        if not self.half.begins or modality is not Modality.IMPACT or not doses:
            return place
        code = doses[place - 1][0]
        same = [n for n, dose in enumerate(doses, 1) if dose[0] == code]
        return place if code in exercise_codes(done) else same[0]

    @cached_property
    def _tested(self) -> frozenset[str]:
        """Return the lifts with a set to fatigue since the program in force was drafted."""
        signed, lifts = self.ledger.held.facts.as_of, self.given.facts.lifts or ()
        return frozenset(one.lift for one in lifts if one.on is not None and one.on > signed)

    @cached_property
    def base(self) -> Draft:
        """Return the draft from the start of every ramp."""
        return self._drafts.draft(self.start)

    @cached_property
    def ladders(self) -> Ladders:
        """Return today's ladders."""
        return Ladders.by(self.base, self.start)

    def _first_week_at(self, places: Mapping[Modality, int]) -> Week | None:
        return self._drafts.first_week(self._at(places))

    def includes(self, modality: Modality) -> bool:
        """Tell whether a modality is in the next draft."""
        return not self.base.screen.blocked and (
            self.base.standings[modality].status is Status.INCLUDED
        )

    # --- Ladders --------------------------------------------------------------------------

    def ladder(self, modality: Modality) -> Ladder:
        """Return today's ladder; impact without lifting is walking."""
        return self.ladders.ladder(modality, lifting=self.includes(Modality.RESISTANCE))

    def _last_dose(self, modality: Modality) -> Part | None:
        return self._last_doses[modality]

    @cached_property
    def _last_doses(self) -> Mapping[Modality, Part | None]:
        return {m: self._as_moved(self.ledger.last_dose(m)) for m in Modality}

    def _as_moved(self, part: Part | None) -> Part | None:
        """Return what was done as it really was: a plate may have been measured since (row 17)."""
        return None if part is None else as_moved(part, self._drafts.screen().situation.facts)

    def another(self, modality: Modality) -> bool:
        """Tell whether today's ramp is another, up to the place reached (row 26)."""
        was, reached = self.ledger.ladder(modality), self.ledger.reached(modality)
        return self.other_plate(modality) or not self.ladder(modality).same_to(was, reached)

    def other_plate(self, modality: Modality) -> bool:
        """Tell whether it is the plate, and another one (row 26h)."""
        held = self.ledger.held.ladders.plate
        return modality is Modality.PLATE and self.ladders.plate != held

    def _from_the_start(self, modality: Modality) -> bool:
        """Tell whether it can only start at place 1.

        Another plate (row 26h), and walking where impacts were counted before (row 22b).
        """
        again = self.decided[modality] is Next.START_AGAIN or not self._last_dose(modality)
        was, now = self.ledger.ladder(modality), self.ladder(modality)
        return again or self.other_plate(modality) or (was.counted and not now.counted)

    # --- Places ---------------------------------------------------------------------------

    @cached_property
    def going(self) -> tuple[Modality, ...]:
        """Return what goes on."""
        return tuple(
            m for m, one in self.decided.items() if one is not Next.STOP and self.includes(m)
        )

    @cached_property
    def safe(self) -> Mapping[Modality, int]:
        """Return the highest places, up to what was decided, that are not above what was done."""
        places = {m: self._top(m) for m in self.going}
        while above := [m for m in self._above(places) if places[m] > 1]:
            places |= {m: places[m] - 1 for m in above}
        return {m: self._first_of_its_rung(m, place) for m, place in places.items()}

    def _above(self, places: Mapping[Modality, int]) -> list[Modality]:
        """Return what would restart above what was done, or has no room, at these places."""
        week = self._first_week_at(places)
        return [m for m in places if any(_is_above(week, m, bound) for bound in self._bounds[m])]

    @cached_property
    def without_place(self) -> frozenset[Modality]:
        """Return what has no place within what was done: it takes place 1, and no next one."""
        return frozenset(self._above(self.safe))

    def _top(self, modality: Modality) -> int:
        """Return the place that was decided, or the end of another ramp; an advance comes after."""
        if self._from_the_start(modality):
            return 1
        if self.another(modality):
            return self.ladder(modality).end
        reached = self.ledger.reached(modality)
        return self.ledger.ladder(modality).back(reached, self._steps_back(modality))

    @cached_property
    def _bounds(self) -> Mapping[Modality, tuple[Part, ...]]:
        return {m: tuple(self._bounds_of(m)) for m in self.going}

    def _bounds_of(self, modality: Modality) -> Iterator[Part]:
        """Yield the doses not to be passed: the one last done, and on another ramp the one back."""
        steps = self._steps_back(modality)
        parts = [self._last_dose(modality)]
        if steps and self.another(modality):
            place = self.ledger.ladder(modality).back(self.ledger.reached(modality), steps)
            parts.append(self._as_moved(self.ledger.held.part_at(modality, place)))
        yield from (part for part in parts if part is not None)

    def _at(self, places: Mapping[Modality, int]) -> Resume:
        """Return the resume of these places; of what stops, what is behind her is kept."""
        stopped = {m: self.ledger.reached(m) for m in self.start.stopped}
        done = {m: place - 1 for m, place in places.items()}
        return replace(self.start, done_weeks=stopped | done)

    @cached_property
    def places(self) -> Mapping[Modality, int]:
        """Return the place that week 1 takes: one on where it advances on the same ramp.

        What advances, and the lifts as they are taken up, may leave more time to the others: of
        these none takes more of it than was done.
        """
        places = {
            m: self.ladder(m).place(place + 1) if self._advances(m) else place
            for m, place in self.safe.items()
        }
        while above := self._given_more(places):
            places |= {m: places[m] - 1 for m in above}
        return places

    def _given_more(self, places: Mapping[Modality, int]) -> list[Modality]:
        """Return what does not advance and would be above what was done as it is taken up."""
        week = self._drafts.first_week(self._taken_up(places, self.raised))
        stays = [m for m, place in places.items() if place > 1 and not self._advances(m)]
        return [
            m
            for m in stays
            if week
            and part_of(week, m)
            and any(_is_above(week, m, bound) for bound in self._bounds[m])
        ]

    def _advances(self, modality: Modality) -> bool:
        stays = self.another(modality) or modality in self.without_place
        # In a steady week nothing rises, and nothing where she takes up just where she is.
        stays = stays or self._takes_up or self.start.is_steady(1)
        return self.decided[modality] is Next.ADVANCE and not stays

    def lower(self, modality: Modality) -> bool:
        """Tell whether another ramp today gives less than what was done (row 26e)."""
        done = self._last_dose(modality)
        week = self._first_week_at(self.safe)
        new = part_of(week, modality) if week else None
        return done is not None and new is not None and heavier(done, new)

    # --- Balance and single lifts -----------------------------------------------------------

    @property
    def _first_rung(self) -> int | None:
        """Return the rung of place 1 of balance: as it was, unless the stances have got worse."""
        held, s = self.ledger.held, self.ledger.held.made.screen.situation
        opened = held.resume.first_rung
        was = person.first_rung(held.made.screen) if opened is None else opened
        now = self._drafts.screen()
        same = s.seated is now.situation.seated
        worse = person.first_rung(now) < person.first_rung(held.made.screen)
        return was if same and not worse and self.ledger.reached(Modality.BALANCE) else None

    def _raised_rung(self) -> int | None:
        """Return the same one higher, at an advance with the stances repeated (row 21)."""
        rung, held = self.start.first_rung, self.ledger.held
        rises = self.base.screen.situation.fall_risk.drafted_as == "low"
        repeated = stances_no_worse(
            held.made.screen.situation.tests, self.base.screen.situation.tests, held.facts.as_of
        )
        if rung is None or rises or not repeated or Modality.BALANCE not in self.safe:
            return rung
        return rung + 1 if self._advances(Modality.BALANCE) else rung

    @property
    def raised(self) -> frozenset[str]:
        """Return the exercises that go up by the log (row 26a)."""
        chosen = self.decided.get(Modality.RESISTANCE, Next.STOP)
        done = self._last_dose(Modality.RESISTANCE)
        if (
            self._takes_up
            or chosen not in (Next.ADVANCE, Next.HOLD)
            or not isinstance(done, ResistanceWeek)
        ):
            return frozenset()
        return rising(done, self.ledger.seen[Modality.RESISTANCE].entries)

    def resume(self, *, raising: bool = True) -> Resume:
        """Return where the next program takes up.

        raising   lifts may go up by the log
        """
        return self._taken_up(self.places, self.raised if raising else frozenset())

    def _taken_up(self, places: Mapping[Modality, int], raised: frozenset[str]) -> Resume:
        """Return the resume of these places with rung and lifts as they are taken up.

        raised   exercises whose load goes up
        """
        at = replace(self._at(places), first_rung=self._raised_rung())
        done = self._last_dose(Modality.RESISTANCE)
        if at.goes_on_from_done and isinstance(done, ResistanceWeek):
            at = replace(at, one_rm_kg={**at.one_rm_kg, **self._maxima_of(done)})
        week = self._drafts.first_week(at)
        new = week.resistance if week else None
        if new is None or not isinstance(done, ResistanceWeek):
            return at
        allowed = self._kg_allowed(done, raised)
        return replace(
            at,
            one_rm_kg={**at.one_rm_kg, **maxima(new, allowed, raised)},
            own_start=own_starts(new, self._reps_allowed(done, new), at),
        )

    def _maxima_of(self, done: ResistanceWeek) -> dict[str, float]:
        """Return the maxima that what was lifted comes to, where no newer set was given."""
        entries = self.ledger.seen[Modality.RESISTANCE].entries
        found = maxima_done(done, entries) if self._goes_on(Modality.RESISTANCE) else {}
        return {lift: kg for lift, kg in found.items() if lift not in self._tested}

    def _kg_allowed(self, done: ResistanceWeek, raised: frozenset[str]) -> dict[str, float]:
        entries = self.ledger.seen[Modality.RESISTANCE].entries
        resources = self.given.facts.resources
        step = (resources.load_step_kg if resources else None) or 1.0
        on = self._advances(Modality.RESISTANCE)
        held = {one.exercise: kg_done(one, entries) for one in done.exercises}
        return {
            code: step_up(kg, step) if on or code in raised else kg
            for code, kg in held.items()
            if kg is not None
        }

    def _reps_allowed(self, done: ResistanceWeek, new: ResistanceWeek) -> dict[str, int]:
        """Return the most repetitions of each exercise without a load; a new one at its start."""
        on = self._advances(Modality.RESISTANCE)
        held = {one.exercise: one.reps + on for one in done.exercises if one.reps is not None}
        first = self.base.weeks[0].resistance
        start = {one.exercise: one.reps for one in first.exercises} if first else {}
        return {
            one.exercise: held.get(one.exercise, start.get(one.exercise) or one.reps)
            for one in new.exercises
            if one.reps is not None
        }


def _is_above(week: Week | None, modality: Modality, bound: Part) -> bool:
    """Tell whether a week is above a dose; a place without room is no place to keep."""
    new = part_of(week, modality) if week else None
    return new is None or heavier(new, bound)
