"""How long records are kept: the clinic's own years, and whose time is over. Nothing is deleted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from uuid import UUID

from django.contrib.auth.models import User
from django.db import models
from django.db.models import Max, QuerySet
from django.utils import timezone

from patients import audit
from patients.models.finding import CLOSED, JOINED
from patients.models.patient import KINDS, Assessment, Patient
from patients.models.standing import Closing
from patients.standing import closings_of, joins_in_force
from programs.actions.refusals import NotDone
from programs.models.asked_doctors import DoctorAsked
from programs.models.beside import KindSaid, PromptAnswer
from programs.models.clinic import YearsKept
from programs.models.program import Plan, Review, SessionLog, SignedPlan
from programs.retention import over_on, why_not_years
from safety.models import Clearance

#: What is entered of a person, by the column that tells when.
ENTRIES: Mapping[type[models.Model], str] = MappingProxyType(
    {
        **dict.fromkeys(KINDS.values(), "entered_at"),
        Assessment: "made_at",
        Clearance: "recorded_at",
        DoctorAsked: "at",
        KindSaid: "at",
        PromptAnswer: "at",
        Plan: "made_at",
        SignedPlan: "signed_at",
        SessionLog: "entered_at",
        Review: "at",
    }
)


@dataclass(frozen=True, kw_only=True)
class Over:
    """A closed record whose time is over.

    last   the later of the day for which it was closed and the day of its last entry
    since  the first day on which it need no longer be kept
    """

    patient: Patient
    closing: Closing
    last: dt.date
    since: dt.date


def years_in_force() -> YearsKept | None:
    """Return what was last set, or None where nothing ever was."""
    return YearsKept.objects.select_related("by").last()


def set_years_kept(
    *, years: int | None, by: User, at: dt.datetime, token: UUID | None = None
) -> None:
    """Set for how many years records are kept; None for no time. Raises NotDone for another.

    Nothing happens where it is so already.
    """
    if problem := why_not_years(years):
        raise NotDone(problem)
    with audit.writing():
        row = years_in_force()
        before = row.years if row else None
        if audit.done_before(token) is not None or before == years:
            return
        made = YearsKept.objects.create(years=years, by=by, at=at)
        audit.record(
            by=by,
            at=at,
            action="set years kept",
            on=made,
            old={"years": before},
            new={"years": years},
            token=token,
        )


def people_over(years: int, today: dt.date) -> list[Over]:
    """Return the closed records whose time is over, the longest over first.

    The same number of queries however many there are. A record that stands under another counts
    with that one.
    """
    last = _last_entries()
    closed = {one.pk: one for one in Patient.objects.filter(findable__state=CLOSED)}
    closings = closings_of(closed)
    found = [
        Over(patient=closed[number], closing=closing, last=day, since=over_on(day, years))
        for number, closing in closings.items()
        for day in [max(closing.on, last.get(number, closing.on))]
    ]
    return sorted(
        (one for one in found if one.since <= today), key=lambda one: (one.since, one.patient.pk)
    )


def _last_entries() -> dict[int, dt.date]:
    """Return the day of the last entry of each record that is closed, or joined to one."""
    into = dict(joins_in_force().values_list("double_id", "into_id"))
    found: dict[int, dt.date] = {}
    for rows in _of_closed_records():
        for number, at in rows:
            hers, day = into.get(number, number), timezone.localdate(at)
            found[hers] = max(day, found.get(hers, day))
    return found


def _of_closed_records() -> Iterator[QuerySet[models.Model, tuple[int, dt.datetime]]]:
    for model, column in ENTRIES.items():
        rows = model._default_manager.filter(patient__findable__state__in=(CLOSED, JOINED))
        newest = rows.order_by().values("patient_id").annotate(newest=Max(column))
        yield newest.values_list("patient_id", "newest")
