"""A program as it was signed, with types: what papers, log, review and calendar are made from.

Whatever format its text was written in, a reader (format_1.py) gives this. It holds what was
true on the day of signing; nothing in it is recalculated.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from programs.week.week import Week
from safety.findings import Level, Modality


@dataclass(frozen=True, kw_only=True)
class Who:
    """The person, as her record named her on the day.

    born   as it was told: 1960-08-14, or 1960-08 or 1960 where no more was known
    born_estimated   the year was worked out from an age; texts tell it only where it is so
    """

    id: int
    record_number: str
    given_name: str
    family_name: str
    born: str
    sex: str
    born_estimated: bool = False


@dataclass(frozen=True, kw_only=True)
class Signer:
    """Who signed, when, and what the signature means. A draft's has no name and no time."""

    username: str
    name: str
    at: dt.datetime | None
    meaning: str


@dataclass(frozen=True, kw_only=True)
class Clinic:
    """What a paper says of the clinic; what it has not is empty.

    emergency   its own words on emergencies
    number      whom to call in one; no signed text holds it, papers take that of their day
    """

    name: str
    phone: str
    address: str
    emergency: str
    number: str = ""


@dataclass(frozen=True, kw_only=True)
class Density:
    """Bone density as judged: the category, and the score at a site, T or Z, behind it."""

    category: str
    site: str
    score: float | None
    by: str


@dataclass(frozen=True, kw_only=True)
class Assessed:
    """What the program was drafted on; age in years, risks by the name of their level.

    low_function, training_posture   None: not in this format
    """

    age: int
    density: Density
    fracture_risk: str
    fall_risk: str
    low_function: str | None
    training_posture: str | None


@dataclass(frozen=True, kw_only=True)
class SignedFinding:
    """One thing the screen had found.

    subject   what it is about whichever the modality: the rule without its modality
    about     a modality, or "all"
    cleared   a clearance, or a review, had lifted what it asks
    dosed     the plan was dosed by it though the answer was missing, or though it was cleared
    """

    rule: str
    subject: str
    about: str
    level: Level
    text: str
    cleared: bool
    dosed: bool


@dataclass(frozen=True, kw_only=True)
class SignedEdit:
    """A change that the clinician had made; old and new are as JSON holds them."""

    seq: int
    week_from: int
    week_to: int
    path: str
    old: object
    new: object
    reason: str
    limit_passed: str
    by: str
    at: dt.datetime


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where a modality stood: its status, and its place in value for the aims, from 1.

    until   the last day of the clearance that carried it; None where it needed none, or the
            format does not say
    why     the reasons as they stood on the plan; the first tells of its place
    """

    status: str
    rank: int
    until: dt.date | None
    why: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PlannedReview:
    """A review to come: its week, and what it looks at."""

    week: int
    what: str


@dataclass(frozen=True, kw_only=True)
class SignedProgram:
    """All of a program that anything is made from after the signature.

    replaces    the version before it
    starts_on   first day of week 1
    motions     how each of her plates moves, by its name; the first where two share one
    left_out    why the clinician took a modality out
    weeks       the changes applied
    timetable   weekday to what it may hold
    anticoagulant   she takes one; None where that was not recorded
    medicines       codes of those she takes, of patients.facts.codes
    supervised      trained staff oversee her sessions; None: not recorded
    watcher         another adult at home has been shown how; None: not recorded
    next_dose_due   of denosumab; None where she has none, or it was overdue
    aims            what matters to her, the most first; none where that was not asked
    own_goal        what she would like to be able to do, as it was typed; empty where not asked
    known           the facts document that it was drafted from, as it was signed
    """

    who: Who
    version: int
    replaces: int | None
    starts_on: dt.date
    rulebook: str
    motions: Mapping[str, str]
    assessed: Assessed
    standings: Mapping[Modality, Standing]
    findings: tuple[SignedFinding, ...]
    edits: tuple[SignedEdit, ...]
    left_out: Mapping[Modality, str]
    weeks: tuple[Week, ...]
    timetable: Mapping[str, tuple[Modality, ...]]
    reviews: tuple[PlannedReview, ...]
    signer: Signer
    clinic: Clinic
    anticoagulant: bool | None
    medicines: frozenset[str]
    supervised: bool | None
    watcher: bool | None
    next_dose_due: dt.date | None
    aims: tuple[str, ...]
    own_goal: str
    known: Mapping[str, Any]
