"""A plan laid out for reading: each modality with its weeks, its changes and its reasons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patients import audit
from programs import plan_words
from programs.actions.known import as_edit
from programs.models import Plan, PlanEdit
from programs.plan_words import NAMES, STRENGTH, Listed, Run
from programs.views.kept import by_rank, weeks_of
from programs.week import Week
from safety.findings import Modality

STATUS = {
    "included": ("fine", "Included"),
    "on_hold": ("missing", "On hold"),
    "excluded": ("contraindicated", "Excluded"),
    "left_out": ("precaution", "Left out by the clinician"),
}
LEVELS = {
    "contraindicated": "Contraindicated",
    "needs_clearance": "Needs clearance",
    "missing": "Not recorded",
    "precaution": "Precaution",
    "refer": "Refer",
}


@dataclass(frozen=True, kw_only=True)
class Change:
    """One change that stands, in words."""

    path: str
    name: str
    weeks: str
    words: str
    reason: str
    limit_passed: str
    by: str
    at: dt.datetime


@dataclass(frozen=True, kw_only=True)
class Part:
    """One modality of a plan."""

    code: str
    name: str
    rank: int
    level: str
    status: str
    why: Sequence[str]
    sources: Sequence[str]
    strength: str
    runs: Sequence[Run]
    exercises: Sequence[Listed]
    changes: Sequence[Change]
    left_out: str

    @property
    def ends(self) -> tuple[Run, Run]:
        """Return the first and the last row of the weeks; there must be one."""
        return self.runs[0], self.runs[-1]

    @property
    def reason(self) -> str:
        """Return the reason to be shown where there are no weeks."""
        return next(iter(self.why[1:] or self.why), "")

    @property
    def included(self) -> bool:
        """Tell whether the modality may stand in the weeks."""
        return self.level in ("fine", "precaution")


def parts(plan: Plan, changes: Sequence[PlanEdit]) -> list[Part]:
    """Return the modalities of a plan, the most valuable first."""
    weeks, proposed = weeks_of(plan)
    told = [change(row) for row in changes]
    return [_part(plan, code, held, weeks, proposed, told) for code, held in by_rank(plan.proposed)]


def _part(
    plan: Plan,
    code: str,
    held: Mapping[str, Any],
    weeks: Sequence[Week],
    proposed: Sequence[Week],
    told: Sequence[Change],
) -> Part:
    modality = Modality(code)
    left_out = plan.left_out_by_clinician.get(code, "")
    level, status = STATUS["left_out" if left_out else held["status"]]
    rows = plan_words.runs(weeks, proposed, modality)
    there = held["status"] == "included" and not left_out
    return Part(
        code=code,
        name=NAMES[modality],
        rank=held["rank"],
        level=level,
        status=status,
        why=held["why"],
        sources=held["sources"],
        strength=STRENGTH[modality],
        runs=rows if there else (),
        exercises=plan_words.exercises(weeks, proposed, modality) if there else (),
        changes=[one for one in told if one.path.split(".")[0] == code],
        left_out=left_out,
    )


def change(row: PlanEdit) -> Change:
    """Return a kept change in words."""
    edit = as_edit(row)
    return Change(
        path=row.path,
        name=NAMES[edit.modality],
        weeks=plan_words.weeks_words(row.week_from, row.week_to),
        words=plan_words.change_words(edit),
        reason=row.reason,
        limit_passed=row.limit_passed,
        by=audit.printed_name(row.by),
        at=row.at,
    )


@dataclass(frozen=True, kw_only=True)
class Told:
    """A finding as it is shown: a word for its level, its text and its sources."""

    level: str
    word: str
    about: str
    text: str
    sources: Sequence[str]
    cleared: bool


def findings(proposed: Mapping[str, Any]) -> list[Told]:
    """Return the findings of a draft, most serious first."""
    return [
        Told(
            level=one["level"],
            word=LEVELS[one["level"]],
            about="" if one["about"] == "all" else NAMES[Modality(one["about"])],
            text=one["text"],
            sources=one["sources"],
            cleared=one["cleared"],
        )
        for one in proposed["findings"]
    ]


@dataclass(frozen=True, kw_only=True)
class WholeWeek:
    """One week across all modalities."""

    number: int
    starts: dt.date
    cells: Sequence[str]
    minutes: float


def whole(plan: Plan) -> list[WholeWeek]:
    """Return every week of a plan with the dose of each modality in words."""
    weeks, _ = weeks_of(plan)
    return [
        WholeWeek(
            number=week.week,
            starts=plan_words.week_starts(plan.starts_on, week.week),
            cells=[plan_words.in_a_week(week, m) for m in Modality],
            minutes=week.minutes,
        )
        for week in weeks
    ]
