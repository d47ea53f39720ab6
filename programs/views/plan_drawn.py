"""The plan as pictures on its page: the ramps, one week, and the form that changes a week."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from programs.drawn import ramp_picture, week_picture
from programs.drawn.ceilings import ceiling
from programs.drawn.ramps import Ramp, ramp
from programs.drawn.timetable import Timetable, timetable
from programs.edit import plan_in_words
from programs.edit.base_draft import Basis
from programs.edit.changes import FIELDS
from programs.models.program import Plan
from programs.views.program_page import by_rank, weeks_of
from programs.week.week import Week
from safety.findings import Modality
from safety.modalities import MODALITIES


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A ramp with its picture, and where its weeks are changed; empty where they cannot be."""

    ramp: Ramp
    picture: str
    link: str


def drawn(
    request: HttpRequest, plan: Plan, basis: Basis | None, *, may_change: bool
) -> dict[str, Any]:
    """Return what the template draws; nothing where the plan has no weeks."""
    weeks, proposed = weeks_of(plan)
    if not weeks:
        return {}
    ramps = [
        one
        for code, _ in by_rank(plan.proposed)
        if (one := _drawn(plan, Modality(code), basis, weeks, proposed, may_change=may_change))
    ]
    shown = week_asked(request, len(weeks))
    table = _timetable(plan, basis, weeks, shown)
    return {
        "ramps": ramps,
        "undrawn": _undrawn(plan, [one.ramp.modality for one in ramps]),
        "week_shown": table,
        "week_picture": week_picture.picture(table) if table.days else "",
    }


def _undrawn(plan: Plan, there: Sequence[Modality]) -> list[tuple[str, str]]:
    """Return each kind that no week holds, and how it stands."""
    held = plan.proposed["modalities"]
    return [
        (MODALITIES[m].name, _standing_words(held[m]["status"], m in plan.left_out_by_clinician))
        for m in Modality
        if m not in there
    ]


def _standing_words(status: str, left_out: bool) -> str:
    if left_out:
        return "left out by the clinician"
    return "no room" if status == "included" else status.replace("_", " ")


def _drawn(
    plan: Plan,
    modality: Modality,
    basis: Basis | None,
    weeks: Sequence[Week],
    proposed: Sequence[Week],
    *,
    may_change: bool,
) -> Drawn | None:
    before = proposed if weeks != proposed else ()
    found = _ramp(plan, modality, basis, weeks, before)
    if found is None:
        return None
    page = reverse("programs:plan", args=[plan.patient_id])
    link = f"{page}?change={modality}" if may_change else ""
    return Drawn(ramp=found, picture=ramp_picture.picture(found, link), link=link)


def _ramp(
    plan: Plan,
    modality: Modality,
    basis: Basis | None,
    weeks: Sequence[Week],
    before: Sequence[Week],
) -> Ramp | None:
    until = plan.proposed["modalities"][modality].get("until")
    return ramp(
        weeks,
        modality,
        starts_on=plan.starts_on,
        ceiling=ceiling(modality, basis) if basis and modality in basis.included else None,
        until=until and dt.date.fromisoformat(until),
        before=before,
    )


def redrawn(
    plan: Plan, modality: Modality, basis: Basis, after: Sequence[Week], now: Sequence[Week]
) -> str:
    """Return the ramp as it would be, with the one that is now behind it; empty without weeks."""
    found = _ramp(plan, modality, basis, after, now)
    return ramp_picture.picture(found) if found else ""


def week_asked(request: HttpRequest, weeks: int) -> int:
    """Return the week that the address asks for, the first where it names none there is."""
    sent = request.GET.get("week", "")
    week = int(sent) if sent.isdecimal() and len(sent) < 4 else 1
    return week if 1 <= week <= weeks else 1


def change_asked(request: HttpRequest, plan: Plan) -> Modality | None:
    """Return the kind whose weeks the address asks to change; None where it names none."""
    code = request.GET.get("change", "")
    may = code in FIELDS and code not in plan.left_out_by_clinician
    included = may and plan.proposed["modalities"][code]["status"] == "included"
    return Modality(code) if included else None


def _timetable(plan: Plan, basis: Basis | None, weeks: Sequence[Week], number: int) -> Timetable:
    resources: Mapping[str, Any] = plan.facts.get("resources") or {}
    week = weeks[number - 1]
    first = next((one.week for one in weeks if one.plate is not None), None)
    return timetable(
        week,
        included=[m for m in included(plan) if not ended(plan, m, number)],
        drafted=plan.proposed["timetable"],
        basis=basis,
        supervised=resources.get("supervised") == "yes",
        watcher=resources.get("watcher") == "yes",
        first_on_plate=first == number,
    )


def ended(plan: Plan, modality: Modality, week: int) -> bool:
    """Tell whether the clearance that carries a kind ends in a week, or before it."""
    until = plan.proposed["modalities"][modality].get("until")
    following = plan_in_words.week_starts(plan.starts_on, week + 1)
    return until is not None and dt.date.fromisoformat(until) < following


def included(plan: Plan) -> list[Modality]:
    """Return the kinds that may stand in the weeks and that nobody left out."""
    held = plan.proposed["modalities"]
    return [
        m
        for m in Modality
        if held[m]["status"] == "included" and m not in plan.left_out_by_clinician
    ]


def first_week(plan: Plan, basis: Basis | None) -> Timetable | None:
    """Return week 1 of a plan; None where it has no weeks."""
    weeks, _ = weeks_of(plan)
    return _timetable(plan, basis, weeks, 1) if weeks else None
