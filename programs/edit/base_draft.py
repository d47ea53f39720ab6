"""What the changes of one plan are made on and held against: the draft and where it resumes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from patients.facts.declared import Facts, Resources
from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft import person
from programs.draft import ramps as courses
from programs.draft.draft import Draft
from programs.draft.draft import draft as make_draft
from programs.draft.ramps import Course
from programs.draft.resume import Resume
from safety.findings import Modality
from safety.screen import Status


@dataclass(frozen=True, kw_only=True)
class Basis:
    """A draft, with what it was resumed from."""

    made: Draft
    resume: Resume

    @classmethod
    def of(cls, facts: Facts, resume: Resume, limits: Clinic = AS_PUBLISHED) -> Basis:
        """Draft from the facts, under the limits in force at the clinic."""
        return cls(made=make_draft(facts, resume, limits), resume=resume)

    def is_of(self, facts: Facts, resume: Resume, limits: Clinic) -> bool:
        """Tell whether drafting from these would come to the same."""
        mine = (self.made.screen.situation.facts, self.resume, self.made.clinic)
        return mine == (facts, resume, limits)

    @cached_property
    def course(self) -> Course:
        """Return the ramps and the days that the draft was made from."""
        made = self.made
        rank = {m: one.rank for m, one in made.standings.items()}
        return courses.course(
            made.screen, self.included, made.plate_fit, rank, self.resume, made.clinic
        )

    @property
    def included(self) -> frozenset[Modality]:
        """Return the modalities that may stand in the weeks."""
        standings = self.made.standings.items()
        return frozenset(m for m, one in standings if one.status is Status.INCLUDED)

    @property
    def resources(self) -> Resources:
        """Return her days, minutes, helpers and equipment."""
        return self.made.screen.situation.facts.resources or Resources()

    @property
    def plate(self) -> Plate:
        """Return the plate that the draft is for. Raises ValueError where it has none."""
        if self.made.plate_fit is None:
            raise ValueError("There is no plate.")
        return self.made.plate_fit.plate

    @property
    def cap_g(self) -> float | None:
        """Return what the plate is held to, in g; None where it is not."""
        return person.plate_cap_g(self.made.screen, self.resume, self.made.clinic)
