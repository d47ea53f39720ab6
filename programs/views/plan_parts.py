"""A plan laid out for reading: each modality with its weeks, its changes and its reasons."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from patients import audit
from patients.models.patient import Patient
from programs.actions.as_signed import program_of, signature_of
from programs.actions.beside import said_of_kinds
from programs.actions.read_plan import as_edit, standing
from programs.beside.said import Said
from programs.draft.later_half_years import NEW_SET
from programs.edit import plan_in_words
from programs.edit.changes import Edit
from programs.edit.plan_in_words import Listed, Run
from programs.models.program import Plan, PlanEdit
from programs.signed.program import SignedEdit
from programs.views.program_page import by_rank, weeks_of
from programs.week.week import Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

STATUS = {
    "included": ("fine", "Included"),
    "on_hold": ("missing", "On hold"),
    "excluded": ("contraindicated", "Excluded"),
    "left_out": ("precaution", "Left out by the clinician"),
    "no_room": ("precaution", "No room"),
}
NOTHING_SAID: Mapping[str, Said] = MappingProxyType({})
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
    """One modality of a plan.

    until   the last day of the clearance that carries it; None where it needs none
    said    what she said of it, where anything holds
    """

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
    until: dt.date | None
    said: Said | None

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


def said_beside(plan: Plan, patient: Patient) -> Mapping[str, Said]:
    """Return what she said of kinds; asked only where the plan was read with something said."""
    return said_of_kinds(patient) if getattr(plan, "anything_said", True) else NOTHING_SAID


def parts(
    plan: Plan, changes: Sequence[Change], said: Mapping[str, Said] = NOTHING_SAID
) -> list[Part]:
    """Return the modalities of a plan, the most valuable first.

    said   what she said of kinds of loading, by code
    """
    weeks, proposed = weeks_of(plan)
    return [
        replace(_part(plan, code, held, weeks, proposed, changes), said=said.get(code))
        for code, held in by_rank(plan.proposed)
    ]


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
    nowhere = bool(weeks) and all(part_of(week, modality) is None for week in weeks)
    no_room = held["status"] == "included" and nowhere
    level, status = STATUS["left_out" if left_out else "no_room" if no_room else held["status"]]
    rows = plan_in_words.runs(weeks, proposed, modality)
    there = held["status"] == "included" and not left_out
    return Part(
        code=code,
        name=MODALITIES[modality].name,
        rank=held["rank"],
        level=level,
        status=status,
        why=held["why"],
        sources=held["sources"],
        strength=MODALITIES[modality].strength,
        runs=rows if there else (),
        exercises=plan_in_words.exercises(weeks, proposed, modality) if there else (),
        changes=[one for one in told if one.path.split(".")[0] == code],
        left_out=left_out,
        until=_day(held.get("until")) if there else None,
        said=None,
    )


def _day(told: str | None) -> dt.date | None:
    """Return a day of a draft document; drafts of older rulebooks have none."""
    return None if told is None else dt.date.fromisoformat(told)


def change(row: PlanEdit) -> Change:
    """Return a kept change in words."""
    edit = as_edit(row)
    return Change(
        path=row.path,
        name=MODALITIES[edit.modality].name,
        weeks=plan_in_words.weeks_words(row.week_from, row.week_to),
        words=plan_in_words.change_words(edit),
        reason=row.reason,
        limit_passed=row.limit_passed,
        by=audit.printed_name(row.by),
        at=row.at,
    )


def changes_of(plan: Plan) -> list[Change]:
    """Return the changes that stand of a plan; of a signed one those that were signed."""
    if plan.state != Plan.SIGNED:
        return [change(row) for row in standing(plan)]
    return [_signed_change(edit) for edit in program_of(signature_of(plan)).edits]


def _signed_change(signed: SignedEdit) -> Change:
    edit = Edit(
        path=signed.path,
        new=signed.new,
        old=signed.old,
        week_from=signed.week_from,
        week_to=signed.week_to,
    )
    return Change(
        path=signed.path,
        name=MODALITIES[edit.modality].name,
        weeks=plan_in_words.weeks_words(signed.week_from, signed.week_to),
        words=plan_in_words.change_words(edit),
        reason=signed.reason,
        limit_passed=signed.limit_passed,
        by=signed.by,
        at=signed.at,
    )


LOW_FUNCTION = {"yes": "low", "no": "normal", "unknown": "not known"}
TRAINS = {"standing": "standing", "seated": "sitting", "lying": "lying, or propped in bed"}


def assessment(proposed: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return what she was assessed as, in words.

    What an older rulebook did not look at is not told.
    """
    held = proposed["assessment"]
    told = (
        ("Fracture risk", held["fracture_risk"].replace("_", " ")),
        ("Fall risk", held["fall_risk"]),
        ("Function", LOW_FUNCTION.get(held.get("low_function"), "")),
        ("Trains", TRAINS.get(held.get("training_posture"), "")),
    )
    return [(label, words) for label, words in told if words]


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
            about="" if one["about"] == "all" else MODALITIES[Modality(one["about"])].name,
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
            starts=plan_in_words.week_starts(plan.starts_on, week.week),
            cells=[plan_in_words.in_a_week(week, m) for m in Modality],
            minutes=week.minutes,
        )
        for week in weeks
    ]


def new_set(proposed: Mapping[str, Any]) -> str:
    """Return what asks for a new set to fatigue; empty where nothing does."""
    asked = (one["text"] for one in proposed["findings"] if one["rule"] == NEW_SET)
    return str(next(asked, ""))
