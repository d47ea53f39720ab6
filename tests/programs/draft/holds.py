"""What must hold of the draft of anybody: each check yields what is wrong in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from patients.facts.declared import Facts, Resources
from programs.draft import person
from programs.draft.draft import Draft
from programs.draft.ramps import ASSUMED_DAYS, ASSUMED_MINUTES
from programs.exercises import EXERCISES, SPARE_SPINE_BARS
from programs.week.week import ImpactWeek, Part, PlateWeek, ResistanceWeek, Week, part_of
from safety.findings import LOADED, WALKING_BW, Modality
from safety.screen import Status

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
#: Percent of the 1RM of a weight that could be lifted so often: rulebook row 19a, by hand.
PERCENT = dict(
    zip(
        (8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 25, 30),
        (86, 84, 82, 80, 78, 76, 74, 73, 71, 70, 69, 68, 67, 64, 60, 55),
        strict=True,
    )
)
#: The smallest N of each group, and of B where sessions are overseen (rulebook row 19b).
LEAST_N = {"A": 11, "B": 14, "B overseen": 11, "C": 17}
IMPACT_BW = {"A": 4.0, "B": 3.0, "C": WALKING_BW}


@dataclass(frozen=True)
class Drafted:
    """One draft and the facts it was made from."""

    facts: Facts
    made: Draft

    @property
    def weeks(self) -> tuple[Week, ...]:
        return self.made.weeks

    @property
    def resources(self) -> Resources:
        return self.facts.resources or Resources()

    @property
    def days(self) -> tuple[str, ...]:
        days = self.resources.days
        return ASSUMED_DAYS if days is None else days

    @property
    def minutes(self) -> int:
        return self.resources.minutes_per_day or ASSUMED_MINUTES

    @cached_property
    def fall_risk(self) -> str:
        return self.made.screen.situation.fall_risk.drafted_as

    def until(self, modality: Modality) -> dt.date | None:
        return self.made.standings[modality].until

    def is_whole(self, modality: Modality, week: int) -> bool:
        """Tell whether no day of a week lies after the modality's clearance."""
        until = self.until(modality)
        return until is None or self.facts.as_of + dt.timedelta(days=7 * week - 1) <= until

    def rank(self, modality: Modality) -> int:
        return self.made.standings[modality].rank

    def minutes_of(self, modality: Modality) -> list[float]:
        """Return the minutes of each week, read off what falls on which day."""
        found = []
        for week, fit in zip(self.weeks, self.made.fitted, strict=True):
            part = part_of(week, modality)
            found.append(_minutes(part, len(fit.days.get(modality, ()))))
        return found


def _minutes(part: Part | None, sessions: int) -> float:
    """Return the minutes of a week by rulebook rows 12, 20 and 24, worked out by hand."""
    match part:
        case None:
            return 0.0
        case PlateWeek(bouts=None):
            return part.vibration_min * sessions
        case PlateWeek():
            bouts, bout_s, rest_s = part.bouts or 0, part.bout_s or 0, part.rest_s or 0
            return (bouts * bout_s + (bouts - 1) * rest_s) / 60 * sessions
        case ResistanceWeek():
            reps = [one.reps or part.reps for one in part.exercises]
            return (2 + part.sets * sum(4 * each + 60 for each in reps) / 60) * sessions
        case _ if getattr(part, "impacts", None):
            impacts = part.impacts  # type: ignore[union-attr]
            return (impacts * 3 + -(-impacts // 10) * 60) / 60 * sessions
        case _ if hasattr(part, "peak_bw"):
            return float(part.minutes or 0) * sessions
        case _:
            return float(part.minutes or 0)


def what_is_wrong(one: Drafted) -> Iterator[str]:
    """Yield every breach of what holds for all."""
    for check in CHECKS:
        yield from check(one)


def _one_dose_one_load(one: Drafted) -> Iterator[str]:
    """Percent is P(N), reserve is N - repetitions, no load is above P x 1RM (row 19a)."""
    one_rms = person.one_rms(one.made.screen)
    for week in one.weeks:
        if week.resistance and week.resistance.could_lift is None:
            yield from _no_load_and_no_percent(week.resistance)
        elif week.resistance:
            yield from _agrees(week.resistance, week.resistance.could_lift or 0, one_rms)


def _no_load_and_no_percent(part: ResistanceWeek) -> Iterator[str]:
    told = part.percent_1rm is not None or part.reps_in_reserve is not None
    if told or any(EXERCISES[one.exercise].loadable for one in part.exercises):
        yield f"dose: no N, but {part}"


def _agrees(part: ResistanceWeek, n: int, one_rms: Mapping[str, float]) -> Iterator[str]:
    if part.percent_1rm != PERCENT[n]:
        yield f"dose: N {n} is not {part.percent_1rm} %"
    if part.reps_in_reserve != n - part.reps or part.reps_in_reserve < 2:
        yield f"dose: N {n}, {part.reps} done, {part.reps_in_reserve} left"
    for lift in part.exercises:
        exercise = EXERCISES[lift.exercise]
        most = one_rms.get(exercise.lift or lift.exercise, 0.0) * PERCENT[n] / 100
        if lift.load_kg is not None and lift.load_kg > most + 1e-6:
            yield f"dose: {lift.load_kg} kg of {lift.exercise}, at most {most}"
        if exercise.loadable is (lift.reps is not None):
            yield f"dose: {lift} has its own repetitions or lacks them"


def _ceilings(one: Drafted) -> Iterator[str]:
    """No week tells a load, force or plate above what her findings and her group allow."""
    lifting, made = one.made.screen.limits(LIFTING), one.made
    overseen = " overseen" if made.group == "B" and one.resources.supervised else ""
    floor = max(LEAST_N[made.group + overseen], lifting.least_could_lift or 0)
    cap = min(IMPACT_BW[made.group], made.screen.limits(IMPACT).impact_bw or 9)
    cap = min(cap, 3.0 if made.group == "A" and one.fall_risk != "low" else 9)
    for week in one.weeks:
        if week.resistance and (week.resistance.could_lift or 99) < floor:
            yield f"ceiling: N {week.resistance.could_lift} under {floor}"
        if week.impact and week.impact.peak_bw > (cap if week.resistance else WALKING_BW):
            yield f"ceiling: {week.impact.peak_bw} BW over {cap}"
        if week.impact and ((week.impact.impacts or 0) > 50 or (week.impact.minutes or 0) > 20):
            yield f"ceiling: {week.impact}"
        if week.balance and week.balance.minutes > 180:
            yield "ceiling: balance"
        if week.posture and week.posture.minutes > 10 * week.posture.sessions:
            yield "ceiling: posture"
        if week.plate:
            yield from _plate_ceilings(one, week.plate)


def _plate_ceilings(one: Drafted, week: PlateWeek) -> Iterator[str]:
    fit = one.made.plate_fit
    gentle = week.displacement_mm is None
    if week.peak_g > (1.0 if one.made.screen.situation.fragile else 4.0) + 0.005:
        yield f"ceiling: plate {week.peak_g} g"
    if week.vibration_min > (20 if gentle else 15) or week.sessions > (5 if gentle else 3):
        yield f"ceiling: plate {week}"
    if fit is not None and fit.plate.motion == "vertical":
        vertical = 20 <= week.frequency_hz <= 40 and (week.displacement_mm or 0) <= 2.5 + 1e-9
        if not vertical:
            yield f"ceiling: plate {week}"
    if one.made.screen.situation.watched_each_session and not week.supervised:
        yield "ceiling: nobody watches the plate"


def _only_her_time(one: Drafted) -> Iterator[str]:
    """Never more days or minutes than she has; the parts add up to the week."""
    for week, fit in zip(one.weeks, one.made.fitted, strict=True):
        if any(used > one.minutes + 1e-6 for used in fit.minutes_on.values()):
            yield f"time: week {week.week} {fit.minutes_on}"
        held = {day for on in fit.days.values() for day in on}
        if not held <= set(one.days):
            yield f"time: days {held}"
        added = 0.0
        for modality in Modality:
            part, on = part_of(week, modality), fit.days.get(modality, ())
            if (part is None) != (not on) or (part is not None and part.sessions != len(on)):
                yield f"time: {modality} in week {week.week} {on}"
            added += _minutes(part, len(on))
        if abs(week.minutes - added) > 0.06:
            yield f"time: week {week.week} says {week.minutes}, holds {added}"


def _only_what_is_included(one: Drafted) -> Iterator[str]:
    """Each included modality has a week, or the plan says why; nothing else has one."""
    made, told = one.made, {left.about: left for left in one.made.left_out}
    if made.screen.blocked and (made.weeks or made.issuable):
        yield "included: weeks though nothing may be issued"
    for modality, standing in made.standings.items():
        there = [part_of(week, modality) is not None for week in made.weeks]
        included = standing.status is Status.INCLUDED
        if any(there) and not included:
            yield f"included: {modality} is {standing.status} and in the weeks"
        gap = next((n for n, is_there in enumerate(there, 1) if not is_there), None)
        if included and there and gap is not None:
            if modality not in told or told[modality].from_week > gap or not told[modality].why:
                yield f"included: {modality} has no week {gap} and nothing says why"
        elif modality in told:
            yield f"included: {modality} is told as left out"


def _has_what_its_shape_keeps(one: Drafted) -> Iterator[str]:
    """What is kept when her time is shared out is not eaten up by a rise later on (row 24)."""
    for week, fit in enumerate(one.made.fitted if one.days and one.minutes >= 5 else (), 1):
        for modality, standing in one.made.standings.items():
            kept = standing.status is Status.INCLUDED and modality not in fit.shape.dropped
            if kept and one.is_whole(modality, week) and modality not in fit.days:
                yield f"kept: {modality} is kept and has no day in week {week}"


def _ends_with_its_clearance(one: Drafted) -> Iterator[str]:
    for modality in Modality:
        until = one.until(modality)
        for week, fit in enumerate(one.made.fitted if until else (), 1):
            first = one.facts.as_of + dt.timedelta(days=7 * (week - 1))
            for n in range(7):
                day = first + dt.timedelta(days=n)
                if until < day and WEEKDAYS[day.weekday()] in fit.days.get(modality, ()):  # type: ignore[operator]
                    yield f"clearance: {modality} on {day}, cleared to {until}"


def _nothing_barred(one: Drafted) -> Iterator[str]:
    """The spine is spared, what is barred is not done, equipment is there (rows 3b, 4, 5a)."""
    barred = {modality: _bars(one, modality) for modality in Modality}
    seated = one.made.screen.situation.seated
    there = {*(one.resources.equipment or ()), "plate", *(["chair"] if seated else ())}
    spared = one.made.screen.limits(POSTURE).spare_spine
    for week in one.weeks:
        for modality, code in _exercises(week):
            exercise = EXERCISES[code]
            if exercise.bars & barred[modality]:
                yield f"barred: {code} {exercise.bars & barred[modality]}"
            if not exercise.equipment <= there:
                yield f"barred: no equipment for {code}"
            if modality is POSTURE and spared and not exercise.fragile_spine:
                yield f"barred: {code} for a spared spine"


def _bars(one: Drafted, modality: Modality) -> set[str]:
    """Return what her findings bar in a modality, read off the rules themselves."""
    screen, s = one.made.screen, one.made.screen.situation
    limits = screen.limits(modality)
    spared = any(screen.limits(each).spare_spine for each in (LIFTING, POSTURE))
    rules = (
        (modality is LIFTING and (spared or limits.group_c), SPARE_SPINE_BARS),
        (limits.no_arms, {"arms"}),
        (modality is IMPACT and (limits.impact_bw or 9) <= 2, {"jump"}),
        (one.fall_risk == "high", {"free_hands", "backward", "head_turn"}),
        (s.seated, {"standing"}),
        (s.training_posture == "lying", {"sitting"}),
        (limits.no_toe_stands, {"toe_stand"}),
        (limits.no_arching, {"arching"}),
    )
    return {bar for holds, bars in rules if holds for bar in bars}


def _stands_only_who_can(one: Drafted) -> Iterator[str]:
    """No standing work in a seated program; near support where it is asked (rows 3b, 21)."""
    screen = one.made.screen
    support = screen.limits(BALANCE).near_support or one.fall_risk == "high"
    for week in one.weeks:
        stands = week.plate or week.impact or (week.balance and week.balance.rung)
        if screen.situation.seated and stands:
            yield "standing: work for who cannot stand"
        if week.balance and week.balance.near_support is not support:
            yield "standing: near support"


def _exercises(week: Week) -> Iterator[tuple[Modality, str]]:
    lifts = week.resistance.exercises if week.resistance else ()
    yield from ((LIFTING, lift.exercise) for lift in lifts)
    others = ((IMPACT, week.impact), (BALANCE, week.balance), (POSTURE, week.posture))
    yield from ((modality, code) for modality, part in others if part for code in part.exercises)


def _two_rise_and_none_in_a_steady_week(one: Drafted) -> Iterator[str]:
    """Rows 22a and 25."""
    for before, after in pairwise(one.weeks):
        risen = [m for m in LOADED if _has_risen(part_of(before, m), part_of(after, m))]
        if len(risen) > 2:
            yield f"rises: {risen} in week {after.week}"
        if after.week % 4:
            continue
        if risen:
            yield f"rises: {risen} in steady week {after.week}"
        for modality in Modality:
            was, now = part_of(before, modality), part_of(after, modality)
            if modality is IMPACT and _walks(was) is not _walks(now):
                # A fall to walking, where lifting ends (row 22b), is another exercise.
                continue
            # Balance is dosed by its minutes, on whichever days have room.
            if was and now and now.sessions > was.sessions and modality is not BALANCE:
                yield f"rises: {modality} has a day more in steady week {after.week}"
            timed = modality in (BALANCE, POSTURE) or (
                modality is IMPACT and getattr(now, "minutes", None)
            )
            if was and now and timed and (now.minutes or 0) > (was.minutes or 0):  # type: ignore[union-attr]
                yield f"rises: minutes of {modality} in steady week {after.week}"


def _walks(part: Part | None) -> bool:
    """Tell whether a part is walking: impact that is dosed by its minutes."""
    return isinstance(part, ImpactWeek) and part.impacts is None


def _has_risen(was: Part | None, now: Part | None) -> bool:
    """Tell whether any variable of row 26 is above the week before; days, and walking, are not."""
    if was is None or now is None:
        return False
    if isinstance(was, PlateWeek) and isinstance(now, PlateWeek):
        numbers = ("frequency_hz", "displacement_mm", "bouts", "bout_s", "vibration_min")
        return any((getattr(now, n) or 0) > (getattr(was, n) or 0) for n in numbers)
    if isinstance(was, ResistanceWeek) and isinstance(now, ResistanceWeek):
        own = zip(was.exercises, now.exercises, strict=False)
        more = any((b.reps or 0) > (a.reps or 0) for a, b in own)
        heavier = (now.could_lift or 0) < (was.could_lift or 0)
        same = now.could_lift == was.could_lift
        return more or heavier or now.sets > was.sets or (same and now.reps > was.reps)
    assert hasattr(was, "peak_bw")
    assert hasattr(now, "peak_bw")
    return (now.impacts or 0) > (was.impacts or 0) or now.peak_bw > was.peak_bw  # type: ignore[union-attr]


def _balance_keeps(one: Drafted) -> Iterator[str]:
    """Balance has its half where row 24 gives it one, and never falls later on."""
    first = person.balance_has_half(one.made.screen)
    half = -(-len(one.days) * one.minutes // 2) if one.minutes >= 5 else 0
    for before, after in pairwise(one.weeks):
        if not one.is_whole(BALANCE, after.week):
            return
        was, now = (week.balance.minutes if week.balance else 0 for week in (before, after))
        if now < was:
            yield f"balance: {was} falls to {now} in week {after.week}"
    for fit in (
        one.made.fitted if first and one.made.standings[BALANCE].status == "included" else ()
    ):
        aimed = fit.balance.minutes if fit.balance else 75
        if fit.balance_min < min(half, aimed):
            yield f"balance: {fit.balance_min} of half {half}"
        if any(0 < minutes < 5 for minutes in fit.balance_on.values()):
            yield f"balance: a bout under 5 min {fit.balance_on}"


def _nothing_rises_by_taking(one: Drafted) -> Iterator[str]:
    """No lower rank gains minutes in a week in which a higher one loses some for lack of room."""
    for week, (before, after) in enumerate(pairwise(one.weeks), 2):
        lost = [m for m in Modality if one.is_whole(m, week) and _has_lost(before, after, m)]
        for modality in Modality:
            minutes = one.minutes_of(modality) if lost else [0.0] * 26
            gained = minutes[week - 1] > minutes[week - 2] + 1e-6
            if gained and any(one.rank(m) < one.rank(modality) for m in lost):
                yield f"taking: {modality} gains in week {week}, {lost} lose"


def _has_lost(before: Week, after: Week, modality: Modality) -> bool:
    """Tell whether it has less for lack of room: not by its own ramp's new rung or load."""
    was, now = part_of(before, modality), part_of(after, modality)
    if was is None or now is None:
        return was is not None
    if isinstance(was, ResistanceWeek) and isinstance(now, ResistanceWeek):
        fewer = len(now.exercises) < len(was.exercises) or now.sets < was.sets
        return fewer or now.sessions < was.sessions
    if modality in (BALANCE, POSTURE):
        return (now.minutes or 0) < (was.minutes or 0)  # type: ignore[union-attr]
    walks = getattr(now, "minutes", None) is not None
    changed = modality is IMPACT and walks != (getattr(was, "minutes", None) is not None)
    return now.sessions < was.sessions and not changed


CHECKS = (
    _one_dose_one_load,
    _ceilings,
    _only_her_time,
    _only_what_is_included,
    _ends_with_its_clearance,
    _has_what_its_shape_keeps,
    _nothing_barred,
    _stands_only_who_can,
    _two_rise_and_none_in_a_steady_week,
    _balance_keeps,
    _nothing_rises_by_taking,
)
