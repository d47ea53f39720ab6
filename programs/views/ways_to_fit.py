"""Ways to fit the week: the draft as it is beside those of more, fewer or longer days."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from patients.facts.codes import DAYS
from patients.facts.declared import Facts, Resources
from patients.rows_to_facts import Contradiction
from patients.views.common import contradiction_page, today
from programs.actions.read_plan import facts_for, limits_in_force, resume_of, stale_reasons
from programs.compare.numbers_of_each_way import differences, left_out
from programs.compare.table_of_ways import beyond_time, table
from programs.compare.two_sessions_a_day import Item, bouts
from programs.compare.ways_to_fit import Fit, find_fits
from programs.dose import two_bouts
from programs.draft.resume import FROM_THE_START
from programs.views.plan_parts import STATUS
from programs.views.program_page import Kept, program_page
from safety.modalities import MODALITIES

#: The weeks that the table can show: the first, that of the second review, the last.
WEEKS = (1, 12, 26)


@require_GET
def fits(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the ways side by side in one week, and what each gains and loses over all of them."""
    kept = Kept.of(patient_id)
    try:
        facts = facts_for(kept.patient, today())
    except Contradiction as contradiction:
        return contradiction_page(request, kept.patient, contradiction, step="plan", status=409)
    limits = limits_in_force()
    found = find_fits(facts, resume_of(kept.open) if kept.open else FROM_THE_START, limits)
    return program_page(
        request,
        "programs/fits.html",
        kept,
        step="plan",
        facts_today=facts,
        stale=stale_reasons(kept.open, today(), limits, facts) if kept.open else (),
        assumed=_assumed(facts),
        **(_side_by_side(found, _week(request)) if found else {}),
    )


def _week(request: HttpRequest) -> int:
    """Return the week that is asked for; the last where none of them is."""
    asked = request.GET.get("week", "")
    return next((week for week in WEEKS if str(week) == asked), WEEKS[-1])


def _assumed(facts: Facts) -> list[str]:
    """Return what of the time is not recorded."""
    held = facts.resources or Resources()
    asked = {"the days": held.days, "the minutes a day": held.minutes_per_day}
    return [words for words, answer in asked.items() if answer is None]


def _side_by_side(found: tuple[Fit, ...], week: int) -> dict[str, Any]:
    now = found[0]
    return {
        "fits": found,
        "rows": table(found, week),
        "week": week,
        "weeks": WEEKS,
        "beyond": [
            (MODALITIES[m].name, STATUS[status][1].lower()) for m, status in beyond_time(now)
        ],
        "each": [_told(fit, now) for fit in found],
        "bouts": bouts(now.made.weeks[week - 1].impact),
        "least_gap": two_bouts.LEAST_GAP_H,
        "sources": two_bouts.SOURCES,
        "in_two": [
            (DAYS[day.day], _session(day.first), _session(day.second)) for day in now.sessions(week)
        ],
    }


def _told(fit: Fit, now: Fit) -> dict[str, Any]:
    return {
        "fit": fit,
        "days": ", ".join(DAYS[day] for day in fit.days),
        "differs": [(MODALITIES[one.modality].name, one) for one in differences(fit, now)],
        "left_out": [(MODALITIES[modality].name, weeks) for modality, weeks in left_out(fit)],
    }


def _session(items: tuple[Item, ...]) -> str:
    """Return what a session holds, with all its minutes where it holds more than one thing."""
    total = sum(item.minutes for item in items)
    in_all = f": {total:.0f} min in all" if len(items) > 1 else ""
    return ", ".join(_item(item) for item in items) + in_all


def _item(item: Item) -> str:
    count = "" if item.impacts is None else f" ({item.impacts})"
    return f"{MODALITIES[item.modality].name.lower()}{count} {item.minutes:.0f} min"
