"""The clinical safety file as a page and a paper lay it out."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from safety.hazards.all_hazards import CHAPTERS
from safety.hazards.hazard import (
    ABOUT_THE_SCALE,
    LIKELIHOODS,
    MATRIX,
    SEVERITIES,
    Chapter,
    Hazard,
    Likelihood,
    Severity,
    Standing,
    spelt,
)
from safety.hazards.intended_use import INTENDED_USE, KNOWN_LIMITS, VERSION, Statement
from safety.rules.all_rules import RULEBOOK

#: When the whole of it was last looked through, and by when it is to be again.
LOOKED_OVER_ON, LOOK_OVER_BY = dt.date(2026, 11, 28), dt.date(2027, 11, 28)


@dataclass(frozen=True, kw_only=True)
class Scale:
    """The words of the scale, and the ratings: a row a severity, gravest first."""

    about: str
    severities: tuple[tuple[str, str], ...]
    likelihoods: tuple[tuple[str, str], ...]
    heads: tuple[str, ...]
    ratings: tuple[tuple[str, tuple[int, ...]], ...]


@dataclass(frozen=True, kw_only=True)
class SafetyFile:
    """All of it.

    counts   how many hazards stand how, in words
    lacking  the hazards that lack something, gravest first
    """

    version: str
    rulebook: str
    looked_over_on: dt.date
    look_over_by: dt.date
    intended_use: tuple[Statement, ...]
    known_limits: Statement
    scale: Scale
    counts: tuple[tuple[str, int], ...]
    tests: int
    lacking: tuple[Hazard, ...]
    chapters: tuple[Chapter, ...]


def safety_file(chapters: tuple[Chapter, ...] = CHAPTERS) -> SafetyFile:
    """Return the file."""
    hazards = [hazard for chapter in chapters for hazard in chapter.hazards]
    return SafetyFile(
        version=VERSION,
        rulebook=RULEBOOK,
        looked_over_on=LOOKED_OVER_ON,
        look_over_by=LOOK_OVER_BY,
        intended_use=INTENDED_USE,
        known_limits=KNOWN_LIMITS,
        scale=_scale(),
        counts=tuple((one.value, sum(h.standing is one for h in hazards)) for one in Standing),
        tests=len({test for hazard in hazards for test in hazard.tests}),
        lacking=tuple(sorted((h for h in hazards if h.missing), key=lambda h: -h.after.rating)),
        chapters=chapters,
    )


def _scale() -> Scale:
    return Scale(
        about=ABOUT_THE_SCALE,
        severities=tuple((spelt(one), SEVERITIES[one]) for one in reversed(Severity)),
        likelihoods=tuple((spelt(one), LIKELIHOODS[one]) for one in Likelihood),
        heads=tuple(spelt(one) for one in Likelihood),
        ratings=tuple((spelt(one), MATRIX[one]) for one in reversed(Severity)),
    )
