"""What one week of a signed program tells above what today's screen and rulebook allow.

Held are the ceilings: of load, force, rung, exercise, plate, watching. Where she stands on a ramp
is not: that is for the review.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from patients.facts.declared import Resources
from patients.facts.declared_plate import Plate
from programs.dose import plate
from programs.dose.could_lift import EQUATION_REPS, percent_of
from programs.dose.plate_fit import top_g
from programs.dose.plate_limits import (
    LOW_TOP_MIN,
    SESSION_VIBRATION_MIN,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_HZ,
    TOP_MM,
)
from programs.dose.plate_settings import LOW_MAGNITUDE, SIDE_ALTERNATING, VERTICAL
from programs.draft import person
from programs.draft.draft import Draft
from programs.draft.resume import FROM_THE_START, Resume
from programs.exercises import EXERCISES, Exercise
from programs.week.plate_as_moved import as_moved
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    ResistanceWeek,
    exercise_codes,
)
from safety.findings import WALKING_BW, Modality
from safety.screen import Status

#: Of what may be barred for a person: why an exercise that involves it is none for her.
BARRED_FOR = {
    "flexion": "bends the spine under load or to its end",
    "twist": "twists the spine under load or to its end",
    "overhead": "presses a weight overhead",
    "floor_lift": "lifts from the floor",
    "jump": "is a jump",
    "arching": "arches the low back to its end",
    "floor": "is done on the floor",
    "kneeling": "is done kneeling",
    "standing": "is done on the feet",
    "sitting": "is done sitting",
    "arms": "uses an arm, or holds a weight in a hand",
    "toe_stand": "stands on the toes",
    "unsupported": "has no hand on anything fixed",
    "free_hands": "stands on one leg with free hands",
    "backward": "walks backward",
    "head_turn": "turns the head without support",
    "barbell": "needs a barbell, and nobody oversees it",
}
#: Highest frequency and largest displacement of each kind of plate that has them.
_TOPS = {VERTICAL: (TOP_HZ, TOP_MM), SIDE_ALTERNATING: (TILT_TOP_HZ, TILT_TOP_MM)}
#: Room for rounding in a comparison of loads and settings.
_CLOSE = 0.005


@dataclass(frozen=True, kw_only=True)
class Above:
    """One thing of one week that is above what is allowed.

    by   how far, so that of several weeks the furthest is told
    """

    what: str
    told: str
    allowed: str
    by: float = 0.0


@dataclass(frozen=True)
class Today:
    """Today's draft of her facts, and where the signed program took up itself."""

    made: Draft
    resume: Resume = field(default=FROM_THE_START)

    def above(self, week: int, part: Part) -> Iterator[Above]:
        """Yield what a part of a week tells above what is allowed."""
        match part:
            case PlateWeek():
                yield from self._plate(part)
            case ResistanceWeek():
                yield from self._lifting(part)
            case ImpactWeek():
                yield from self._impact(part)
            case BalanceWeek():
                yield from self._balance(week, part)
        yield from self._exercises(part)

    # --- Lifting --------------------------------------------------------------------------

    def _floor(self) -> int:
        return person.least_could_lift(self.made.screen, self.made.group, self.made.clinic)

    def _lifting(self, part: ResistanceWeek) -> Iterator[Above]:
        if any(exercise.loadable for exercise in _known(exercise_codes(part))):
            yield from self._load(part)
        yield from self._kilograms(part)

    def _load(self, part: ResistanceWeek) -> Iterator[Above]:
        floor, could_lift = self._floor(), told_could_lift(part)
        most: float = percent_of(floor)
        told: list[tuple[float, str]] = []
        if could_lift is not None and could_lift < floor:
            percent: float = percent_of(max(could_lift, EQUATION_REPS[0]))
            told.append((percent, f"a weight that could be lifted {could_lift} times: {percent} %"))
        if part.percent_1rm is not None and part.percent_1rm > most:
            told.append((part.percent_1rm, f"{part.percent_1rm:g} % of the most she can lift once"))
        if told:
            percent, words = max(told)
            allowed = f"a weight that could be lifted {floor} times or more: at most {most} %"
            yield Above(what="load", told=words, allowed=allowed, by=percent - most)

    def _kilograms(self, part: ResistanceWeek) -> Iterator[Above]:
        found, percent = self._one_rms(), percent_of(self._floor())
        for lift in part.exercises:
            exercise = EXERCISES.get(lift.exercise)
            if lift.load_kg is None or exercise is None:
                continue
            told = f"{lift.load_kg:g} kg"
            one_rm = found.get(lift.exercise, found.get(exercise.lift or ""))
            what = f"load of “{exercise.name}”"
            if one_rm is None:
                yield Above(what=what, told=told, allowed="no kilograms: no test counts today")
            elif lift.load_kg > one_rm * percent / 100 + _CLOSE:
                most = one_rm * percent / 100
                allowed = f"at most {most:.1f} kg, {percent} % of {one_rm:.1f} kg"
                yield Above(what=what, told=told, allowed=allowed, by=lift.load_kg - most)

    def _one_rms(self) -> dict[str, float]:
        """Return the maxima that count today, those made from what was lifted among them."""
        found = person.one_rms(self.made.screen)
        if not self.resume.goes_on_from_done:
            return found
        counted = person.lifted_before(self.made.screen)
        return {**found, **{k: v for k, v in self.resume.one_rm_kg.items() if k in counted}}

    # --- Impact, balance, exercises -------------------------------------------------------

    def _impact(self, part: ImpactWeek) -> Iterator[Above]:
        most = person.impact_cap_bw(self.made.screen, self.made.group, self.made.clinic)
        if self.made.standings[Modality.RESISTANCE].status is not Status.INCLUDED:
            most = min(most, WALKING_BW)
        forces = [one.peak_bw or 0.0 for one in _known(part.exercises)]
        force = max((part.peak_bw, *forces))
        if force > most:
            told = f"about {force:g} times body weight"
            allowed = f"at most {most:g}" + (", walking" if most <= WALKING_BW else "")
            yield Above(what="force of an impact", told=told, allowed=allowed, by=force - most)

    def _balance(self, week: int, part: BalanceWeek) -> Iterator[Above]:
        screen, place = self.made.screen, week + self.resume.done(Modality.BALANCE)
        most = person.balance_rungs(screen, place)[-1]
        rung = max((part.rung or 0, *(one.rung or 0 for one in _known(part.exercises))))
        if rung > (most or 0):
            allowed = "exercises done sitting" if most is None else f"level {most} at most"
            yield Above(what="level", told=f"level {rung}", allowed=allowed, by=rung - (most or 0))
        if person.near_support(screen) and not screen.situation.seated and not part.near_support:
            yield Above(
                what="support",
                told="no support within reach",
                allowed="each exercise within a hand’s reach of support",
            )

    def _exercises(self, part: Part) -> Iterator[Above]:
        for code in exercise_codes(part):
            exercise = EXERCISES.get(code)
            why = "it is in the catalogue no more" if exercise is None else self._why_not(exercise)
            if why:
                name = code if exercise is None else exercise.name
                yield Above(what="exercise", told=f"“{name}”", allowed=f"none of it: {why}")

    def _why_not(self, exercise: Exercise) -> str:
        """Return why an exercise is none for her today; empty where it is."""
        screen = self.made.screen
        barred = sorted(exercise.bars & person.barred(screen))
        if barred:
            return "it " + ", and ".join(BARRED_FOR[bar] for bar in barred)
        if screen.limits(exercise.modality).spare_spine and not exercise.fragile_spine:
            return "the spine is spared"
        return ""

    # --- Plate ----------------------------------------------------------------------------

    def _plate(self, told: PlateWeek) -> Iterator[Above]:
        part, fit = as_moved(told, self.made.screen.situation.facts), self._fit(told.plate)
        assert isinstance(part, PlateWeek)
        if fit is None:
            allowed = "no plate of this name is on record"
            yield Above(what="plate", told=f"“{part.plate}”", allowed=allowed)
            return
        if fit.fit is not plate.Fit.FIT:
            allowed = " ".join(fit.reasons) or "it is not known whether it is fit"
            yield Above(what="plate", told=f"“{part.plate}”", allowed=allowed)
        yield from self._setting(part, fit)
        if self.made.screen.situation.watched_each_session and not part.supervised:
            allowed = "each session watched by someone who has been shown how"
            yield Above(what="watching", told="sessions that nobody watches", allowed=allowed)

    def _fit(self, name: str) -> plate.PlateFit | None:
        s = self.made.screen.situation
        resources = s.facts.resources or Resources()
        named: Iterable[Plate] = (one for one in resources.plates or () if one.name == name)
        return plate.choose_plate(
            named,
            weight_kg=s.facts.person.weight_kg,
            support_rail=resources.support_rail,
            watch=s.fragile,
            watched=s.company,
            cap_g=self._cap_g(),
            clinic=self.made.clinic,
        )

    def _cap_g(self) -> float | None:
        """Return the cap of the fragile, in g, with the steps that reviews have lifted it by.

        An older rulebook lifted it whole at one review; now each lifts it by one step (row 14).
        """
        resume = Resume(plate_cap_g=self.resume.plate_cap_g)
        return person.plate_cap_g(self.made.screen, resume, self.made.clinic)

    def _setting(self, part: PlateWeek, fit: plate.PlateFit) -> Iterator[Above]:
        start_only = self.made.screen.limits(Modality.PLATE).plate_start_dose
        why = " (the start dose)" if start_only else ""
        for what, told, most, unit in self._ceilings(part, fit, start_only=start_only):
            if told is not None and told > most + _CLOSE:
                yield Above(
                    what=what,
                    told=f"{told:.3g} {unit}",
                    allowed=f"at most {most:.3g} {unit}{why}",
                    by=told - most,
                )

    def _ceilings(
        self, part: PlateWeek, fit: plate.PlateFit, *, start_only: bool
    ) -> Iterator[tuple[str, float | None, float, str]]:
        """Yield each variable of the plate, what the paper tells, the most of it, its unit."""
        clinic, motion = self.made.clinic, fit.plate.motion
        minutes = LOW_TOP_MIN if motion == LOW_MAGNITUDE else SESSION_VIBRATION_MIN
        most_g, most_min = top_g(self._cap_g(), clinic), clinic.value(minutes)
        if start_only and fit.start is not None:
            first = replace(fit, fit=plate.Fit.FIT)
            start = plate.ramp(first, cap_g=None, start_dose_only=True, places=1, clinic=clinic)[0]
            most_g = min(most_g, start.setting.peak_g)
            most_min = min(most_min, start.vibration_min)
        yield "peak of the plate", part.peak_g, most_g, "g"
        yield "vibration of a session", part.vibration_min, most_min, "min"
        if motion in _TOPS:
            top_hz, top_mm = _TOPS[motion]
            yield "frequency of the plate", part.frequency_hz, clinic.value(top_hz), "Hz"
            yield "displacement of the plate", part.displacement_mm, clinic.value(top_mm), "mm"


def _known(codes: Iterable[str]) -> list[Exercise]:
    """Return those of the exercises that the catalogue still has."""
    return [EXERCISES[code] for code in codes if code in EXERCISES]


def told_could_lift(part: ResistanceWeek) -> int | None:
    """Return how often a paper of the week says that the weight could be lifted.

    Format 1 told it by repetitions and those left in reserve. None: it told neither.
    """
    if part.could_lift is not None or part.reps_in_reserve is None:
        return part.could_lift
    return part.reps + round(part.reps_in_reserve)
