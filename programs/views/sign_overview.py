"""What stands on the Sign page before the password: what differs, has no room, or is blank."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from programs.compare.two_versions import beside
from programs.draft.standings import weeks_named
from programs.exercises import EXERCISES
from programs.models.program import Plan
from programs.views.plan_drawn import ended, first_week, included
from programs.views.program_page import Kept, weeks_of
from programs.views.versions import as_proposed, version_of
from programs.week.week import Week, part_of
from safety.modalities import MODALITIES

#: What stands where the clinic has no name.
_NO_NAME = "The clinic has no name, so the paper has none at its head."


@dataclass(frozen=True, kw_only=True)
class Point:
    """One thing to be seen before signing, and the page on which it is mended.

    right   the right without which the page is not opened; nothing where whoever reads may
    """

    head: str
    text: str
    link: str
    link_words: str
    right: str = ""


def overview(kept: Kept, plan: Plan, clinic_name: str) -> dict[str, Any]:
    """Return what the template shows."""
    now = version_of(plan)
    from_draft = beside(as_proposed(plan), now)
    return {
        "against": beside(version_of(kept.signed), now) if kept.signed else None,
        "from_draft": from_draft if from_draft.differs else None,
        "points": [*_no_room(plan), *_present(plan), *_until(plan), *_blank(plan, clinic_name)],
    }


def _page(name: str, plan: Plan, *more: object) -> str:
    return reverse(name, args=[plan.patient_id, *more])


def _no_room(plan: Plan) -> Iterator[Point]:
    """Yield each kind that may be there and finds no room in some weeks."""
    weeks, _ = weeks_of(plan)
    why = {one["about"]: one["why"] for one in plan.proposed["left_out"]}
    for modality in included(plan):
        absent = [
            week.week
            for week in weeks
            if part_of(week, modality) is None and not ended(plan, modality, week.week)
        ]
        if absent:
            yield Point(
                head=f"{MODALITIES[modality].name} does not fit",
                text=why.get(modality) or f"No room in {weeks_named(absent)}.",
                link=_page("programs:fits", plan),
                link_words="Ways to fit the week",
            )


def _present(plan: Plan) -> Iterator[Point]:
    week = first_week(plan, None)
    if week is not None and week.present:
        yield Point(
            head="Who must be there in week 1",
            text=week.present,
            link=_page("patients:section", plan, "aims"),
            link_words="Who is there",
            right="enter",
        )


def _until(plan: Plan) -> Iterator[Point]:
    weeks, _ = weeks_of(plan)
    for modality in included(plan):
        until = plan.proposed["modalities"][modality].get("until")
        if until and any(part_of(week, modality) for week in weeks):
            day = dt.date.fromisoformat(until)
            yield Point(
                head=f"{MODALITIES[modality].name} only until {day:%-d %B %Y}",
                text="That is the last day of its clearance; then it stops.",
                link=_page("safety:screen", plan) + "#clearances",
                link_words="Clearances on record",
            )


def _blank(plan: Plan, clinic_name: str) -> Iterator[Point]:
    """Yield what the paper would leave blank; the page tells of numbers by itself."""
    if not clinic_name.strip():
        yield Point(
            head="Blank on the paper",
            text=_NO_NAME,
            link=reverse("programs:clinic_details"),
            link_words="Set it",
            right="settings",
        )
    if lifts := _without_kg(weeks_of(plan)[0]):
        of = ", ".join(lifts)
        yield Point(
            head="Blank on the paper",
            text=f"No weight in kg is known for {of}; the paper says how to find it.",
            link=_page("patients:section", plan, "lifts"),
            link_words="Write down a set lifted to fatigue",
            right="enter",
        )


def _without_kg(weeks: tuple[Week, ...]) -> list[str]:
    """Return the lifts that take a load of which no kg is known, each once."""
    held = (one for week in weeks if week.resistance for one in week.resistance.exercises)
    codes = dict.fromkeys(one.exercise for one in held if one.load_kg is None)
    known = (EXERCISES[code] for code in codes if code in EXERCISES)
    return [one.name.lower() for one in known if one.loadable]
