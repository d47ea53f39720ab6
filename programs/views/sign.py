"""The Sign page: all that was found and changed, the password once more, one signature."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.actions.guessing import Question, TooManyTries
from patients.views.asked_again import knows_password, wait_words
from patients.views.common import sent_token, signed_in, today
from programs.actions.as_set import as_set
from programs.actions.as_signed import program_of, signature_of, signing_line
from programs.actions.clinic import details_in_force
from programs.actions.emergency_numbers import emergencies_in_force, missing_numbers
from programs.actions.languages import languages_unread
from programs.actions.papers import print_ahead
from programs.actions.printing import unprintable
from programs.actions.refusals import ChangedMeanwhile, NotDone, NotOpen
from programs.actions.signing import (
    LACKED,
    MEANING,
    sign_plan,
    why_not,
)
from programs.edit import plan_in_words
from programs.forms.sign import SignForm
from programs.models.program import Plan
from programs.papers.kinds import ENGLISH_CODE
from programs.views import plan_parts
from programs.views.plan import not_open
from programs.views.plan_sent import sent_lock, sent_plan
from programs.views.program_page import Kept, program_page
from programs.views.sign_overview import overview


@require_http_methods(["GET", "POST"])
def sign(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what is to be signed, or what was; sign."""
    kept = Kept.of(patient_id)
    if request.method == "POST":
        return _post(request, kept)
    if kept.open is not None:
        return _sign_page(request, kept, kept.open)
    if kept.signed is not None:
        return _signed_page(request, kept, kept.signed)
    return redirect("programs:plan", patient_id)


def _form(request: HttpRequest, plan: Plan, missing: tuple[str, ...]) -> SignForm:
    first = max(plan.starts_on, today())
    return SignForm(
        request.POST or None,
        initial={"starts_on": first.isoformat()},
        today=today(),
        missing=missing,
    )


def _post(request: HttpRequest, kept: Kept) -> HttpResponse:
    plan = sent_plan(request, kept)
    if plan.state == Plan.SIGNED and signature_of(plan).signed_by_id == signed_in(request).pk:
        # The second click of two: the same page.
        return redirect("programs:sign", kept.patient.pk)
    if plan.state != Plan.DRAFT:
        return not_open(request, kept, NotOpen(plan))
    form = _form(request, plan, missing_numbers())
    if form.is_valid() and _known(request, plan, form):
        return _sign(request, kept, plan, form)
    return _sign_page(request, kept, plan, form, status=422)


def _known(request: HttpRequest, plan: Plan, form: SignForm) -> bool:
    """Tell whether the password is right; wrong ones are followed by a pause."""
    try:
        known = knows_password(
            request, form.cleaned_data["password"], question=Question.SIGNING, on=plan
        )
    except TooManyTries as refused:
        form.add_error("password", wait_words(refused))
        return False
    if not known:
        form.add_error("password", "This is not your password. Nothing is signed.")
    return known


def _sign(request: HttpRequest, kept: Kept, plan: Plan, form: SignForm) -> HttpResponse:
    try:
        signed = sign_plan(
            plan=plan,
            lock=sent_lock(request),
            by=signed_in(request),
            at=timezone.now(),
            today=today(),
            starts_on=form.cleaned_data["starts_on"],
            clinic=clinic_now(),
            without_number=form.cleaned_data.get("without_number", ""),
            token=sent_token(request),
        )
    except NotOpen as refused:
        return not_open(request, kept, refused)
    except ChangedMeanwhile:
        text = "The plan was changed after you had opened it. Look at it as it is now, then sign."
        messages.error(request, text)
        return redirect("programs:sign", kept.patient.pk)
    except NotDone:
        return _sign_page(request, kept, plan, form, status=409)
    print_ahead(signed=signed, at=timezone.now())
    messages.success(request, f"Signed: version {signed.version}.")
    return redirect("programs:sign", kept.patient.pk)


def clinic_now() -> dict[str, str]:
    """Return how the clinic is called and reached, as a program is signed with it."""
    held, emergency = details_in_force(), emergencies_in_force()[ENGLISH_CODE]
    told = ": ".join(filter(None, (emergency.number, emergency.words)))
    named = {key: getattr(held, key) for key in ("name", "phone", "address")}
    return named | {"emergency": told}


def _sign_page(
    request: HttpRequest, kept: Kept, plan: Plan, form: SignForm | None = None, status: int = 200
) -> HttpResponse:
    told = plan_parts.findings(plan.proposed)
    now = as_set()
    parts = plan_parts.parts(plan, (), plan_parts.said_beside(plan, kept.patient))
    return program_page(
        request,
        "programs/sign.html",
        kept,
        step="sign",
        status=status,
        plan=plan,
        findings=[one for one in told if not one.cleared],
        cleared=[one for one in told if one.cleared],
        changes=[plan_parts.change(row) for row in kept.changes],
        parts=parts,
        said_of_any=any(part.said for part in parts),
        unprintable=unprintable(
            kept.patient.name + kept.patient.goes_by + (plan.facts.get("own_goal") or "")
        ),
        unread=languages_unread(now.languages),
        why_not=why_not(plan, today(), kept.changes, kept.facts_known),
        facts_known=kept.facts_known,
        form=form or _form(request, plan, now.missing),
        meaning=MEANING,
        signer=signed_in(request).get_full_name().strip(),
        **_first_and_last(plan),
        **overview(kept, plan, now.details.name),
    )


def _first_and_last(plan: Plan) -> dict[str, Any]:
    """Return the start and the end of each modality, for a last look."""
    rows = [
        (part.name, part.runs[0], part.runs[-1]) for part in plan_parts.parts(plan, ()) if part.runs
    ]
    return {"ends": rows, "weeks": len(plan.weeks)}


def _signed_page(request: HttpRequest, kept: Kept, plan: Plan) -> HttpResponse:
    signed = signature_of(plan)
    told = program_of(signed)
    line = signing_line(signed)
    return program_page(
        request,
        "programs/signed.html",
        kept,
        step="sign",
        plan=plan,
        signed=signed,
        told=told,
        digest=signed.digest[:12],
        ends_on=plan_in_words.week_starts(plan.starts_on, len(plan.weeks) + 1)
        - dt.timedelta(days=1),
        line=line,
        lacked=json.loads(line.new or "{}").get(LACKED, ()) if line else (),
    )
