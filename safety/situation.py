"""All that the rules look at: the facts and what follows from them, worked out once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from patients.facts.ages import add_months
from patients.facts.declared import Clearance, Facts, Fracture, Scan
from patients.facts.partial_dates import ages_on
from patients.measured.density import Density, density, scores_read
from patients.measured.newest_tests import TestsOnDay, tests_on
from safety import fracture_history
from safety.risk import Risk, fall_risk, fracture_risk, low_function, recent_fractures

FRAGILE_AGE = 80
VERY_HIGH_T, VERY_LOW_T = -3.0, -3.5
RADIUS = "distal_third_radius"


class TrainingPosture(StrEnum):
    """How she trains: rulebook row 3b."""

    STANDING = "standing"
    SEATED = "seated"
    LYING = "lying"


@dataclass(frozen=True, kw_only=True)
class Situation:
    """One person on one day, as the rules see her.

    age, youngest   the greatest and the least age that her date of birth can mean
    fractures       each once (rulebook row 2); None where they were not asked
    tests           the newest result of each, as far as it still counts (row 0)
    low_function    yes, no or unknown; not read in a seated program (rows 3a, 3b)
    """

    facts: Facts
    age: int
    youngest: int
    fractures: tuple[Fracture, ...] | None
    tests: TestsOnDay
    density: Density
    fracture_risk: Risk
    fall_risk: Risk
    low_function: Risk
    image_reasons: tuple[str, ...]

    @property
    def day(self) -> dt.date:
        """Return the day of the assessment."""
        return self.facts.as_of

    @property
    def company(self) -> bool | None:
        """Tell whether somebody is beside her: trained staff, or a shown adult at home."""
        resources = self.facts.resources
        answers = (resources.supervised, resources.watcher) if resources else (None,)
        if True in answers:
            return True
        return None if None in answers else False

    @cached_property
    def training_posture(self) -> TrainingPosture:
        """Return how she trains: who cannot stand or walk does it sitting, or lying."""
        mobility = self.facts.person.mobility
        if mobility == "bed":
            return TrainingPosture.LYING
        cannot = mobility == "wheelchair" or self.tests.unable("side_by_side_s")
        return TrainingPosture.SEATED if cannot else TrainingPosture.STANDING

    @cached_property
    def seated(self) -> bool:
        """Tell whether she cannot stand or walk: the program is a seated or a lying one."""
        return self.training_posture is not TrainingPosture.STANDING

    @property
    def function_is_low(self) -> bool:
        """Tell whether she is drafted as of low function."""
        return not self.seated and self.low_function.drafted_as == "yes"

    @property
    def function_level(self) -> str:
        """Return yes, no or unknown."""
        return "unknown" if self.seated else self.low_function.level

    @cached_property
    def very_high_reasons(self) -> frozenset[str]:
        """Return the codes of the criteria that make the fracture risk very high."""
        met = (c for c in self.fracture_risk.criteria if c.met and c.level == "very_high")
        return frozenset(c.code.removeprefix("fracture_risk.") for c in met)

    @property
    def very_high_only_by_arm(self) -> bool:
        """Tell whether only fractures of an arm make the risk very high."""
        recent = recent_fractures(self.facts)
        arms = all(one.site in fracture_history.ARM_SITES for one in recent)
        return self.very_high_reasons == {"recent_fracture"} and arms

    @property
    def very_high_only_by_radius(self) -> bool:
        """Tell whether only the T of the distal third of the radius makes the risk very high."""
        if self.very_high_reasons != {"t_3_0"} or self.density.site != RADIUS:
            return False
        scans = tuple(scan for scan in self.facts.scans or () if scan.site != RADIUS)
        elsewhere = fracture_risk(self.facts, density(_with_scans(self.facts, scans), "t"))
        return "fracture_risk.t_3_0" not in {c.code for c in elsewhere.criteria if c.met}

    @property
    def very_high_is_guarded(self) -> bool:
        """Tell whether very high risk lifts as B after all (rulebook row 19).

        Only one arm fracture 12 to 24 months old, or only T from -3.0 to -3.4 with no vertebral
        fracture and a spine image of the last 24 months; fall risk low and function normal.
        """
        steady = self.fall_risk.drafted_as == "low" and self.function_level == "no"
        return steady and (self._one_older_arm or self._only_t_and_imaged)

    @property
    def _one_older_arm(self) -> bool:
        recent = recent_fractures(self.facts)
        if not self.very_high_only_by_arm or len(recent) != 1 or recent[0].date is None:
            return False
        return self.day >= add_months(recent[0].date, 12)

    @property
    def _only_t_and_imaged(self) -> bool:
        score = self.density.score
        above = score is not None and score > VERY_LOW_T
        imaged = fracture_history.imaged_since(self.facts, add_months(self.day, -24))
        spine = fracture_history.vertebral(self.fractures)
        return self.very_high_reasons == {"t_3_0"} and above and imaged and not spine

    @cached_property
    def fragile_reasons(self) -> tuple[str, ...]:
        """Return why the plate is held to 1 g, in words: rulebook row 14."""
        steroid = fracture_history.steroid_dose(self.facts)[0] is None
        reasons = (
            (self.fall_risk.drafted_as == "high", "fall risk high"),
            (self.function_is_low, "low function"),
            (bool(fracture_history.vertebral(self.fractures)), "a vertebral fracture"),
            (self.fracture_risk.drafted_as == "very_high", "very high fracture risk"),
            # 30 mg a day would make it very high.
            (steroid, "glucocorticoid dose not recorded"),
            (self.age >= FRAGILE_AGE, "age 80 or over"),
        )
        return tuple(words for holds, words in reasons if holds)

    @property
    def fragile(self) -> bool:
        """Tell whether the plate is held to 1 g: rulebook row 14."""
        return bool(self.fragile_reasons)

    @property
    def watched_each_session(self) -> bool:
        """Tell whether each plate session is watched: rows 14 and 7 to 10. No review lifts it."""
        conditions = (self.facts.condition(code).answer for code in WATCHED)
        return self.fragile or any(answer is not False for answer in conditions)

    @property
    def walks_already(self) -> bool | None:
        """Tell whether she walks or jumps already; None where it was not recorded."""
        experience = self.facts.experience
        level = experience.impact if experience else None
        return None if level is None else level in ("some", "regular")

    @property
    def mending_arm(self) -> bool:
        """Tell whether an arm is mending: no lifting with either (rulebook row 4)."""
        arms = (f for f in self.fractures or () if f.site in fracture_history.ARM_SITES)
        return any(fracture_history.is_mending(one, self.day) for one in arms)

    @property
    def anticoagulant(self) -> bool | None:
        """Tell whether she takes one: every paper then says what to do after a knock."""
        return self.facts.medicine("anticoagulant").answer

    @property
    def next_dose_due(self) -> dt.date | None:
        """Return the day on which the next dose of denosumab is due; None once overdue."""
        return fracture_history.next_dose_due(self.facts)

    def cleared(self, subject: str, modality: str, by_eye_doctor: bool = False) -> Clearance | None:
        """Return the clearance of the subject for the modality that holds on this day.

        Of several the one that lasts longest; of two that end together the one with a limit.
        """
        given = [
            *(self.facts.condition(subject).cleared or ()),
            *(c for c in self.facts.clearances or () if c.subject == subject),
        ]
        valid = [
            one
            for one in given
            if one.covers(modality, self.day) and (one.eye_specialist or not by_eye_doctor)
        ]
        return max(valid, key=lambda one: (one.until, one.limits != "none"), default=None)


#: Conditions under which each plate session is watched.
WATCHED = ("epilepsy", "movement_disorder", "cognitive_impairment")


def situation(facts: Facts) -> Situation:
    """Work out what the rules look at."""
    youngest, age = ages_on(facts.person.born, facts.as_of)
    tests = tests_on(facts.tests, facts.as_of, youngest, facts.person.sex_of_tables)
    found, risk = _density_and_risk(facts)
    held = facts.fractures
    return Situation(
        facts=facts,
        age=age,
        youngest=youngest,
        fractures=None if held is None else fracture_history.each_once(held),
        tests=tests,
        density=found,
        fracture_risk=risk,
        fall_risk=fall_risk(facts, tests),
        low_function=low_function(tests, age),
        image_reasons=fracture_history.image_reasons(facts),
    )


def _density_and_risk(facts: Facts) -> tuple[Density, Risk]:
    """Return both by the score that is read; where either may be, by the one of higher risk."""
    read = [density(facts, by) for by in scores_read(facts)]
    both = [(found, fracture_risk(facts, found)) for found in read]
    return max(both, key=lambda pair: _RISING.index(pair[1].drafted_as))


_RISING = ("low", "moderate", "high", "very_high")


def _with_scans(facts: Facts, scans: tuple[Scan, ...]) -> Facts:
    return replace(facts, scans=scans)
