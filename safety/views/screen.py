"""The Screen page, clearances, and the rulebook."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.facts.sections import SECTIONS
from patients.forms.person import WithdrawForm
from patients.measured.density import asked_of_newest
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction, facts_of
from patients.views.common import (
    contradiction_page,
    patient_page,
    sent_token,
    signed_in,
    today,
)
from safety import actions, by_cause, words
from safety import screen_page as reading
from safety.facts_with_clearances import with_clearances
from safety.forms import ClearanceForm, started
from safety.models import Clearance
from safety.rulebook_page import chapters, overdue
from safety.rules.all_rules import RULEBOOK, RULES
from safety.rules.rule import REVIEW_BY, REVIEWED_ON
from safety.screen import Screen
from safety.screen import screen as look


@require_http_methods(["GET", "POST"])
def screen(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the screen of today, or keep it as it was read."""
    patient = get_object_or_404(Patient, pk=patient_id)
    if request.method == "GET":
        return screen_page(request, patient)
    try:
        actions.screen_patient(
            patient=patient, as_of=today(), by=signed_in(request), at=timezone.now()
        )
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction, step="screen")
    messages.success(request, "Kept as you read it.")
    # Where something stops all there is nothing to draft.
    return redirect("safety:screen" if "stay" in request.POST else "programs:plan", patient.pk)


def screen_page(
    request: HttpRequest, patient: Patient, sent: ClearanceForm | None = None
) -> HttpResponse:
    """Return the page; `sent` is a clearance that could not be recorded as typed."""
    clearances = _clearances(patient)
    try:
        facts = with_clearances(
            facts_of(patient, today()), [c for c in clearances if c.withdrawn_at is None]
        )
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction, step="screen")
    seen = look(facts)
    forms = _forms(seen, patient, sent)
    placed = {one.rule for one in by_cause.asked(seen)}
    return patient_page(
        request,
        "safety/screen.html",
        patient,
        status=422 if sent else 200,
        step="screen",
        facts_known=facts,
        **_read(seen),
        **_kept(patient, seen),
        clearances=[(c, _validity(c, today())) for c in clearances],
        forms=forms,
        sent=sent,
        # What it was asked for may be settled meanwhile; what was typed is shown all the same.
        unplaced=[rule for rule, form in forms.items() if form is sent and rule not in placed],
        sections=SECTIONS,
    )


def _clearances(patient: Patient) -> Sequence[Clearance]:
    rows = Clearance.objects.filter(patient=patient)
    return list(rows.select_related("recorded_by", "withdrawn_by"))


def _read(seen: Screen) -> dict[str, Any]:
    s = seen.situation
    return {
        "stop": reading.stop(seen),
        "groups": reading.groups(seen),
        "causes": by_cause.causes(seen),
        "open_answers": by_cause.open_answers(seen),
        "risks": reading.risks(seen),
        "category": words.CATEGORY_WORDS[s.density.category],
        "density": words.density_words(s),
        "why_this_score": words.why_this_score(s),
        "slips": asked_of_newest(s.facts),
        "fragile": s.fragile,
        "next_dose": words.next_dose_words(s),
    }


def _kept(patient: Patient, seen: Screen) -> dict[str, Any]:
    newest = actions.newest_screening(patient, today())
    same = newest is not None and newest.findings_digest == actions.findings_digest(seen)
    return {"kept": newest, "kept_is_same": same, "rulebook": RULEBOOK, "review_by": REVIEW_BY}


def _forms(seen: Screen, patient: Patient, sent: ClearanceForm | None) -> dict[str, ClearanceForm]:
    """Return the form of each clearance that is asked for, by the rule that it stands beside.

    One that could not be recorded as typed stands where its subject is asked for.
    """
    forms = {
        one.rule: started(
            one.subject, one.rule, list(map(str, one.modalities)), born=patient.born, as_of=today()
        )
        for one in by_cause.asked(seen)
    }
    if sent is not None:
        subject = sent.data.get("subject", "")
        beside = (one.rule for one in by_cause.asked(seen) if one.subject == subject)
        forms[next(beside, sent.data.get("finding", ""))] = sent
    return forms


def _validity(row: Clearance, day: dt.date) -> str:
    if row.withdrawn_at is not None:
        return "struck out"
    return "begins later" if row.on > day else "ended" if row.until < day else "holds"


@require_POST
def clearance_add(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Record a clearance."""
    patient = get_object_or_404(Patient, pk=patient_id)
    beside = request.POST.get("finding", "")
    if beside and beside not in {rule.code for rule in RULES}:
        raise Http404("No such finding.")
    form = ClearanceForm(request.POST, beside=beside, born=patient.born, as_of=today())
    if not form.is_valid():
        return screen_page(request, patient, form)
    try:
        row = actions.add_clearance(
            patient=patient,
            **form.clearance(),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except Refused as refused:
        form.add_error(None, str(refused))
        return screen_page(request, patient, form)
    messages.success(request, f"Recorded: cleared by {row.given_by} for {row.modality_names}.")
    return redirect("safety:screen", patient.pk)


@require_http_methods(["GET", "POST"])
def clearance_withdraw(request: HttpRequest, patient_id: int, row_id: int) -> HttpResponse:
    """Strike a clearance out, with a reason."""
    patient = get_object_or_404(Patient, pk=patient_id)
    row = get_object_or_404(Clearance.objects.filter(patient=patient), pk=row_id)
    form = WithdrawForm(request.POST or None, born=patient.born, as_of=today())
    if request.method == "GET" or not form.is_valid():
        return patient_page(
            request, "safety/clearance_withdraw.html", patient, step="screen", form=form, row=row
        )
    reason = form.cleaned_data["reason"]
    withdraw(row=row, reason=reason, by=signed_in(request), at=timezone.now())
    messages.success(request, "Struck out. It no longer lifts anything.")
    return redirect("safety:screen", patient.pk)


@require_GET
def rulebook(request: HttpRequest) -> HttpResponse:
    """Show every rule and every limit, for reading and printing."""
    context = {
        "rulebook": RULEBOOK,
        "chapters": chapters(RULES, today()),
        "count": len(RULES),
        "overdue": overdue(RULES, today()),
        "reviewed_on": REVIEWED_ON,
        "review_by": REVIEW_BY,
    }
    return render(request, "safety/rulebook.html", context)
