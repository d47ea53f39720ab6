"""Drafts of one day's facts for a review: each screen, draft and first week is made once."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from patients.facts.declared import Facts
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.draft.draft import Draft, draft_of, first_week_of
from programs.draft.resume import Resume
from programs.week.week import Week
from safety.screen import Screen, screen

_Made = TypeVar("_Made")


class Drafts:
    """What the facts of one day lead to, by what is lifted and where it takes up."""

    def __init__(self, facts: Facts, limits: Clinic = AS_PUBLISHED) -> None:
        self.facts, self.limits = facts, limits
        self._screens: dict[frozenset[str], Screen] = {}
        # A resume holds mappings and has no hash; a review asks for a dozen at most.
        self._drafts: list[tuple[Resume, Draft]] = []
        self._first_weeks: list[tuple[Resume, Week | None]] = []

    def screen(self, lifted: frozenset[str] = frozenset()) -> Screen:
        """Return the screen with these rules lifted."""
        if lifted not in self._screens:
            self._screens[lifted] = screen(self.facts, lifted)
        return self._screens[lifted]

    def draft(self, resume: Resume) -> Draft:
        """Return the draft that takes up there."""
        return self._once(self._drafts, draft_of, resume)

    def first_week(self, resume: Resume) -> Week | None:
        """Return week 1 alone of the same; None where nothing is drafted."""
        return self._once(self._first_weeks, first_week_of, resume)

    def _once(
        self,
        known: list[tuple[Resume, _Made]],
        make: Callable[[Screen, Resume, Clinic], _Made],
        resume: Resume,
    ) -> _Made:
        for at, made in known:
            if at == resume:
                return made
        made = make(self.screen(resume.lifted), resume, self.limits)
        known.append((resume, made))
        return made
