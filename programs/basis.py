"""What the changes of one plan are made on and held against: the draft and where it resumes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from patients.facts import Facts, Plate, Resources
from programs import course as courses
from programs.clinic_limits import AS_PUBLISHED, Clinic
from programs.course import Course, Resume
from programs.plan import Draft
from programs.plan import draft as make_draft
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

    @cached_property
    def course(self) -> Course:
        """Return the ramps and the days that the draft was made from."""
        made = self.made
        return courses.course(made.screen, self.included, made.plate_fit, self.resume, made.clinic)

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
    def capped(self) -> bool:
        """Tell whether the plate is held to 1 g."""
        return courses.capped(self.made.screen, self.resume)
