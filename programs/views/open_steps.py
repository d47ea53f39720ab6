"""What is still open on each step of a patient, in words, for the row at the top of her pages."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from django.db.models import Exists, Max, OuterRef, QuerySet, Subquery

from patients.facts.declared import Facts
from patients.facts.in_words import readings
from patients.models.patient import Patient
from programs.actions.rulebook_check import plan_columns
from programs.models.beside import KindSaid
from programs.models.program import Handout, Plan, Review, SessionLog
from programs.review.due import due_of
from programs.views.caseload_lists import ALARMING, episode_of
from safety.screen import screen
from safety.screen_page import open_words


def open_on_facts(facts: Facts | None) -> dict[str, str]:
    """Return what is open on Facts and Screen; None is what cannot stand together."""
    if facts is None:
        return {"facts": "do not fit together"}
    count = sum(len(reading.open) for reading in readings(facts, {}))
    return {
        "facts": f"{count} not recorded" if count else "",
        "screen": open_words(screen(facts)),
    }


def newest_plans(patient: Patient) -> QuerySet[Plan]:
    """Return the open draft and the newest signed plan, with what came after its signing.

    anything_said   she has said something of a kind of loading
    """
    log = SessionLog.objects.filter(patient=patient, withdrawn_at=None)
    reviews = Review.objects.filter(patient=patient)
    rows = Plan.objects.filter(patient=patient, state__in=(Plan.DRAFT, Plan.SIGNED))
    return rows.order_by("-version").annotate(
        printed=Exists(Handout.objects.filter(signed__plan=OuterRef("pk"))),
        logged_on=_last(log.filter(signed__plan=OuterRef("pk")), "on"),
        alarm_at=_last(log.filter(ALARMING), "entered_at"),
        reviewed_at=_last(reviews, "at"),
        reviewed_on=_last(reviews, "held_on"),
        episode=episode_of(OuterRef("patient")),
        anything_said=Exists(KindSaid.objects.filter(patient=OuterRef("patient"))),
        **plan_columns(),
    )[:2]


def _last(rows: QuerySet[Any], field: str) -> Subquery:
    return Subquery(rows.values("patient").annotate(last=Max(field)).values("last"))


def open_on_plans(plans: Iterable[Any], today: dt.date) -> dict[str, str]:
    """Return what is open from Plan to Review, of the newest plans."""
    found = {plan.state: plan for plan in plans}
    draft, signed = found.get(Plan.DRAFT), found.get(Plan.SIGNED)
    after = _after_signing(signed, today) if signed else {}
    if draft is None:
        return after if signed else {"plan": "not drafted"}
    if not draft.proposed.get("issuable"):
        return after | {"plan": "stopped"}
    return after | {"plan": f"version {draft.version}, a draft", "sign": "to sign"}


def _after_signing(plan: Any, today: dt.date) -> dict[str, str]:
    due = due_of(plan.episode, plan.reviewed_on, today)
    return {
        "handout": "" if plan.printed else "to print",
        "log": _log(plan, today),
        "review": "due" if due else "",
    }


def _log(plan: Any, today: dt.date) -> str:
    """Return that something wants a talk, else the last full week if nothing of it is logged."""
    alarm, reviewed = plan.alarm_at, plan.reviewed_at
    if alarm is not None and (reviewed is None or alarm > reviewed):
        return "speak to"
    week = (today - plan.starts_on).days // 7
    first = plan.starts_on + dt.timedelta(weeks=week - 1)
    quiet = week > 0 and (plan.logged_on is None or plan.logged_on < first)
    return f"nothing for week {week}" if quiet else ""
