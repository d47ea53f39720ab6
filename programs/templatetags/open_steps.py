"""What is still open on each step, for the pages of every app."""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.template import Context

from patients.facts.declared import Facts
from patients.views.common import today
from programs.models.program import Plan
from programs.views.open_steps import newest_plans, open_on_facts, open_on_plans
from programs.views.program_page import Kept, facts_now
from safety.facts_with_clearances import standing, with_clearances

register = template.Library()


@register.simple_tag(takes_context=True)
def open_steps(context: Context) -> dict[str, str]:
    """Return the words of each step of the patient.

    What the page has read already is not read again: facts_today (with clearances and the falls
    of the log), facts_known (with clearances), facts_entered (without), plans_known, and kept. On
    a page that would read too much for it (steps_of_plan), Facts and Screen say nothing.
    """
    found = open_on_plans(_plans(context), today())
    return found if context.get("steps_of_plan") else open_on_facts(_facts(context)) | found


def _plans(context: Context) -> Iterable[Plan]:
    kept = context.get("kept")
    if isinstance(kept, Kept):
        return kept.newest
    known: Iterable[Plan] | None = context.get("plans_known")
    return newest_plans(context["patient"]) if known is None else known


def _facts(context: Context) -> Facts | None:
    known: Facts | None = context.get("facts_known") or context.get("facts_today")
    if known is not None:
        return known
    patient, found = context["patient"], context.get("facts_entered")
    if found is not None:
        return with_clearances(found, standing(patient))
    return facts_now(patient)
