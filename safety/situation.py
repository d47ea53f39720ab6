"""All that the rules look at: the facts and what follows from them, worked out once."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from patients.ages import age_on
from patients.density import Density, density
from patients.facts import Facts
from safety import history
from safety.risk import Risk, fall_risk, fracture_risk


@dataclass(frozen=True, kw_only=True)
class Situation:
    """One person on one day, as the rules see her."""

    facts: Facts
    age: int
    density: Density
    fracture_risk: Risk
    fall_risk: Risk
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

    @property
    def fragile(self) -> bool:
        """Tell whether the plate is held to 1 g: rulebook row 14."""
        return (
            self.fall_risk.drafted_as == "high"
            or bool(history.vertebral(self.facts.fractures))
            or self.fracture_risk.drafted_as == "very_high"
            or self.age >= 80
        )

    def cleared(self, subject: str, modality: str, who: tuple[str, ...] = ()) -> str:
        """Return who cleared the modality of the subject for this day, or nothing.

        `who` asks that a word of the giver's name or role begins with one of these.
        """
        given = [
            *(self.facts.condition(subject).cleared or ()),
            *(c for c in self.facts.clearances or () if c.subject == subject),
        ]
        for clearance in given:
            words = re.split(r"\W+", clearance.by.casefold())
            fits = not who or any(word.startswith(who) for word in words)
            if fits and clearance.covers(modality, self.day):
                return f"{clearance.by}, {clearance.on:%-d %B %Y} to {clearance.until:%-d %B %Y}"
        return ""


def situation(facts: Facts) -> Situation:
    """Work out what the rules look at."""
    found = density(facts)
    age = age_on(facts.person.born, facts.as_of)
    return Situation(
        facts=facts,
        age=age,
        density=found,
        fracture_risk=fracture_risk(facts, found),
        fall_risk=fall_risk(facts, age),
        image_reasons=history.image_reasons(facts),
    )
