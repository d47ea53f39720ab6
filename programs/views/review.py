"""The Review page: what the log leads to, what is decided, and on to the next draft."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from patients import audit
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction, Entered, entered
from patients.views.common import (
    contradiction_page,
    sent_token,
    signed_in,
    today,
)
from programs.actions.read_plan import beside_facts
from programs.actions.refusals import NotDone, Stale
from programs.actions.reviewing import Outlook, ends_the_program, hold_review, outlook
from programs.forms.review import ReviewForm
from programs.models.program import Review, SignedPlan
from programs.review.adherence import Session
from programs.review.charts import bar, effort_strip, pain_strip, rows
from programs.review.near_falls_and_illness import told_beside
from programs.review.next_steps import WORDS, Next
from programs.views.discharge import discharge_of, onward_of, onward_words
from programs.views.program_page import Kept, newest_signed, program_page

#: Sections that a review asks anew, and why.
ASK_ANEW = {
    "symptoms": "Red flags",
    "falls": "Falls",
    "tests": "Blood pressure",
    "conditions": "New illnesses",
}


@dataclass(frozen=True, kw_only=True)
class OldFact:
    """A fact that is older than the review; None was never asked."""

    code: str
    title: str
    asked_on: dt.date | None


@dataclass(frozen=True, kw_only=True)
class Shown:
    """All that the page shows."""

    kept: Kept
    known: Entered
    seen: Outlook
    form: ReviewForm
    held: Sequence[Review]


@require_GET
def review(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the review of the newest signed program."""
    kept = Kept.of(patient_id)
    signed = newest_signed(kept)
    if signed is None:
        return program_page(request, "programs/review.html", kept, step="review", seen=None)
    return _shown(request, kept, signed)


@require_POST
def review_decide(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Keep the decision, and go on to the next draft where there is one."""
    kept = Kept.of(patient_id)
    if (before := audit.done_before(sent_token(request))) is not None:
        return _onward(audit.row_made(before, Review))
    signed = newest_signed(kept)
    if signed is None:
        return redirect("programs:review", patient_id)
    return _shown(request, kept, signed, request.POST)


def _shown(request: HttpRequest, kept: Kept, signed: SignedPlan, data: Any = None) -> HttpResponse:
    known = entered(kept.patient, today(), also=beside_facts(kept.patient))
    held = _held(kept.patient)
    try:
        seen = outlook(signed, known.as_of, known, [row.held_on for row in held])
    except Contradiction as contradiction:
        return contradiction_page(request, kept.patient, contradiction, step="review")
    except Stale as stale:
        told: dict[str, Any] = {"seen": None, "stale": stale.reasons}
        return program_page(request, "programs/review.html", kept, step="review", **told)
    page = Shown(kept=kept, known=known, seen=seen, form=_form(seen, data), held=held)
    return _page(request, page) if data is None else _decide(request, page)


def _decide(request: HttpRequest, page: Shown) -> HttpResponse:
    form = page.form
    if not form.is_valid():
        return _page(request, page, status=422)
    try:
        held = hold_review(
            signed=page.seen.signed,
            decisions=form.decisions(),
            lifted=form.lifted(),
            seal=request.POST.get("seal", ""),
            stay="stay" in request.POST,
            note=form.cleaned_data["note"],
            onward=form.onward,
            onward_reason=form.cleaned_data.get("onward_reason", ""),
            by=signed_in(request),
            at=timezone.now(),
            token=sent_token(request),
        )
    except NotDone as refused:
        form.add_error(None, str(refused))
        return _page(request, page, status=409)
    messages.success(request, _said(held))
    return _onward(held)


def _said(held: Review) -> str:
    if ends_the_program(held):
        return "The review is kept, and the program has ended. Print the page below."
    if held.next_plan is None:
        return "The review is kept. There is no new draft."
    return f"The review is kept. Draft {held.next_plan.version} is made from it; look it through."


def _onward(held: Review) -> HttpResponse:
    page = "programs:plan" if held.next_plan_id else "programs:review"
    return redirect(page, held.patient_id)


def _form(seen: Outlook, data: Any = None) -> ReviewForm:
    return ReviewForm(data, seen=seen, born=seen.signed.patient.born, as_of=today())


def _page(request: HttpRequest, page: Shown, status: int = 200) -> HttpResponse:
    seen, proposal = page.seen, page.seen.proposal
    in_time = [one for one in seen.log if one.on <= proposal.day]
    token = sent_token(request)
    return program_page(
        request,
        "programs/review.html",
        page.kept,
        status=status,
        step="review",
        seen=seen,
        facts_today=seen.facts,
        steps_of_plan=True,
        form=page.form,
        old_facts=_old_facts(page.known),
        weeks=_weeks(seen),
        pain=pain_strip(seen.planned, proposal.day, in_time),
        effort=effort_strip(seen.planned, proposal.day, in_time),
        beside=told_beside(in_time, {m: one.gaps for m, one in seen.review.ledger.seen.items()}),
        hurt=_hurt(in_time),
        unknown_pain=sum(one.trained and one.pain is None for one in in_time),
        unknown_fall=sum(one.trained and one.fell is None for one in in_time),
        logged=sum(not one.whole_day for one in in_time),
        earlier=_earlier(page.held),
        onward=onward_of(seen),
        discharge=discharge_of(page.kept.patient, page.held),
        replaced=seen.before.lifted - seen.review.stays_lifted,
        **({"token": token} if token else {}),
    )


def _hurt(entries: Sequence[Session]) -> list[Session]:
    """Return what hurt; the pain of a day without a session once, not for each kind."""
    found: dict[object, Session] = {}
    for one in entries:
        of_day = one.whole_day and not one.pain_with
        if (one.pain or 0) > 3:
            found.setdefault((one.on, None if of_day else one.modality), one)
    return list(found.values())


def _weeks(seen: Outlook) -> list[tuple[int, list[tuple[Any, Any]]]]:
    """Return each week, newest first, with the count and the bar of each modality."""
    columns = [one.weeks for one in seen.proposal.modalities]
    found = [(week, [(count, bar(count)) for count in held]) for week, held in rows(columns)]
    return found[::-1]


def _old_facts(known: Entered) -> list[OldFact]:
    """Return what was last asked or measured before the day of the review."""
    day = known.as_of
    answered = known.assessment.answered if known.assessment else {}
    pressures = [row.date for row in known.rows["tests"] if row.resting_bp]
    on = {
        code: dt.date.fromisoformat(answered[code]) if code in answered else None
        for code in ASK_ANEW
        if code != "tests"
    }
    on["tests"] = pressures[-1] if pressures else None
    return [
        OldFact(code=code, title=title, asked_on=on[code])
        for code, title in ASK_ANEW.items()
        if on[code] is None or on[code] < day  # type: ignore[operator]
    ]


def _held(patient: Patient) -> list[Review]:
    """Return the reviews held before, newest first."""
    rows = Review.objects.filter(patient=patient).select_related("by", "signed", "next_plan")
    return list(rows.order_by("-held_on", "-id"))


def _earlier(held: Sequence[Review]) -> list[dict[str, Any]]:
    """Return the reviews held before with what was decided in words."""
    return [
        {
            "review": row,
            "by": audit.printed_name(row.by),
            "decided": [
                (name, WORDS[Next(one["chosen"])], WORDS[Next(one["proposed"])], one["reason"])
                for name, one in row.decision["modalities"].items()
            ],
            "lifted": row.decision["lifted"],
            "onward": onward_words(row),
        }
        for row in held
    ]
