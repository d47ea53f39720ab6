"""Programs, papers and log kept under a record, for the page that lists what stands there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from patients.facts.in_words import day_text
from patients.models.patient import Patient
from patients.views.kept_under import KeptLine
from programs.models.program import Handout, Plan, Review, SessionLog, SignedPlan
from programs.papers.kinds import kept_title


def programs(patient: Patient) -> list[KeptLine]:
    """Return a line for each signed program and paper, and for the log, drafts and reviews."""
    return [*_signed(patient), *_papers(patient), *_log(patient), *_rest(patient)]


def _signed(patient: Patient) -> Iterator[KeptLine]:
    for row in SignedPlan.objects.filter(patient=patient).order_by("version"):
        yield KeptLine(
            title="Signed program",
            text=f"version {row.version}, {_day(row.signed_at)}, {row.signed_name}",
            address=reverse("programs:plan_version", args=[patient.pk, row.version]),
        )


def _papers(patient: Patient) -> Iterator[KeptLine]:
    rows = Handout.objects.filter(signed__patient=patient).defer("pdf").select_related("signed")
    for row in rows.order_by("pk"):
        yield KeptLine(
            title="Paper",
            text=f"{kept_title(row.kind)}, of version {row.signed.version}, {_day(row.made_at)}",
            address=reverse("programs:handout_pdf", args=[patient.pk, row.pk]),
        )


def _log(patient: Patient) -> Iterator[KeptLine]:
    rows = SessionLog.objects.filter(patient=patient, withdrawn_at=None)
    if not (count := rows.count()):
        return
    falls, flags = rows.filter(fell=True).count(), rows.filter(~Q(red_flag="")).count()
    yield KeptLine(
        title="Log",
        text=f"entries: {count}; falls: {falls}; warning signs: {flags}",
        address=f"{reverse('programs:log', args=[patient.pk])}?kept=1",
    )


def _rest(patient: Patient) -> Iterator[KeptLine]:
    draft = Plan.objects.filter(patient=patient, state=Plan.DRAFT).first()
    if draft is not None:
        yield KeptLine(
            title="Open draft", text=f"version {draft.version}, never signed; it goes no further"
        )
    for row in Review.objects.filter(patient=patient).order_by("pk"):
        yield KeptLine(title="Review", text=f"held on {day_text(row.held_on)}")


def _day(at: dt.datetime) -> str:
    return day_text(timezone.localdate(at))
