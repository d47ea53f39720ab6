"""The Caseload: whom to speak to, what to sign, which review is due, everyone."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import F, Max, OuterRef, Q, QuerySet, Subquery
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from patients.models import Patient
from patients.views.common import today
from programs.due import REVIEW_WEEKS, Due, review_due
from programs.models import Plan, Review, SessionLog, SignedPlan

#: An entry of a log after which someone speaks to the person: a fall, a warning sign, pain of 6 or
#: more; of 4 or 5 where it did not settle, or nobody wrote down whether it did.
ALARMING = (
    Q(fell=True) | ~Q(red_flag="") | Q(pain__gte=6) | (Q(pain__gte=4) & ~Q(pain_settled=True))
)


@dataclass(frozen=True, kw_only=True)
class ToSpeakTo:
    """A patient with entries of the log that do not wait, the newest first."""

    patient: Patient
    entries: list[SessionLog]


@dataclass(frozen=True, kw_only=True)
class ToReview:
    """A patient whose review is due."""

    patient: Patient
    due: Due


@require_GET
def caseload(request: HttpRequest) -> HttpResponse:
    """Show the four lists."""
    context = {
        "speak_to": speak_to(),
        "to_sign": to_sign(),
        "review": to_review(today()),
        "count": Patient.objects.count(),
    }
    return render(request, "programs/caseload.html", context)


def to_sign() -> list[Plan]:
    """Return the open drafts, the oldest first."""
    rows = Plan.objects.filter(state=Plan.DRAFT).select_related("patient", "made_by")
    return list(rows.order_by("made_at").defer("facts", "weeks"))


def _last_review(field: str) -> Subquery:
    """Return the last review of the patient of the outer row."""
    held = Review.objects.filter(patient=OuterRef("patient")).values("patient")
    return Subquery(held.annotate(last=Max(field)).values("last"))


def speak_to() -> list[ToSpeakTo]:
    """Return who told of a fall, a red flag or pain since the last review, the newest first."""
    rows = (
        SessionLog.objects.filter(ALARMING, withdrawn_at=None)
        .annotate(reviewed=_last_review("at"))
        .filter(Q(reviewed=None) | Q(entered_at__gt=F("reviewed")))
        .select_related("patient")
        .order_by("-on", "-id")
    )
    by_patient: dict[int, ToSpeakTo] = {}
    for row in rows:
        one = by_patient.setdefault(row.patient_id, ToSpeakTo(patient=row.patient, entries=[]))
        one.entries.append(row)
    return list(by_patient.values())


def to_review(day: dt.date) -> list[ToReview]:
    """Return whose review is due, the longest due first."""
    found = []
    for signed in _newest_signed(day):
        due = review_due(signed.plan.starts_on, signed.held, day)  # type: ignore[attr-defined]
        if due is not None:
            found.append(ToReview(patient=signed.patient, due=due))
    return sorted(found, key=lambda one: one.due.since)


def _newest_signed(day: dt.date) -> QuerySet[SignedPlan]:
    """Return the newest signed program of each patient that is old enough for a review."""
    newest = SignedPlan.objects.filter(patient=OuterRef("patient")).values("patient")
    version = Subquery(newest.annotate(last=Max("version")).values("last"))
    return (
        SignedPlan.objects.filter(version=version)
        .filter(plan__starts_on__lte=day - dt.timedelta(weeks=REVIEW_WEEKS[0]))
        .annotate(held=_last_review("held_on"))
        .select_related("patient", "plan")
        .defer("body", "plan__facts", "plan__proposed", "plan__weeks")
    )
