"""The Sign page: all that was found and changed, the password once more, one signature."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients.models import Audit
from patients.views.common import other_patient, sent_token, signed_in, today
from programs import plan_words, snapshot
from programs.actions.clinic import details_in_force
from programs.actions.printing import unprintable
from programs.actions.refusals import ChangedMeanwhile, NotDone, NotOpen
from programs.actions.signing import (
    MEANING,
    as_signed,
    note_wrong_password,
    pause_until,
    sign_plan,
    why_not,
)
from programs.forms.sign import SignForm
from programs.models import Plan
from programs.views import shown
from programs.views.kept import Kept, program_page
from programs.views.plan import not_open, sent_lock, sent_plan


@require_http_methods(["GET", "POST"])
def sign(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show what is to be signed, or what was; sign."""
    kept = Kept.of(patient_id)
    if request.method == "POST":
        return other_patient(request, kept.patient) or _post(request, kept)
    if kept.open is not None:
        return _sign_page(request, kept, kept.open, _form(request, kept.open))
    if kept.signed is not None:
        return _signed_page(request, kept, kept.signed)
    return redirect("programs:plan", patient_id)


def _form(request: HttpRequest, plan: Plan) -> SignForm:
    first = max(plan.starts_on, today())
    return SignForm(request.POST or None, initial={"starts_on": first.isoformat()}, today=today())


def _post(request: HttpRequest, kept: Kept) -> HttpResponse:
    plan = sent_plan(request, kept)
    if plan.state == Plan.SIGNED and plan.signed.signed_by_id == signed_in(request).pk:
        # The second click of two: the same page.
        return redirect("programs:sign", kept.patient.pk)
    if plan.state != Plan.DRAFT:
        return not_open(request, kept, NotOpen(plan))
    form = _form(request, plan)
    if form.is_valid() and _known(request, plan, form):
        return _sign(request, kept, plan, form)
    return _sign_page(request, kept, plan, form, status=422)


def _known(request: HttpRequest, plan: Plan, form: SignForm) -> bool:
    """Tell whether the password is right; five wrong ones are followed by a pause."""
    by, at = signed_in(request), timezone.now()
    until = pause_until(by=by, at=at)
    if until is not None:
        told = timezone.localtime(until)
        form.add_error("password", f"Too many wrong passwords. Try again at {told:%H:%M}.")
        return False
    if by.check_password(form.cleaned_data["password"]):
        return True
    note_wrong_password(plan=plan, by=by, at=at)
    form.add_error("password", "This is not your password. Nothing is signed.")
    return False


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
    messages.success(request, f"Signed: version {signed.version}.")
    return redirect("programs:sign", kept.patient.pk)


def clinic_now() -> dict[str, str]:
    """Return how the clinic is called and reached, as it is printed."""
    held = details_in_force()
    return {key: getattr(held, key) for key in ("name", "phone", "address", "emergency")}


def _sign_page(
    request: HttpRequest, kept: Kept, plan: Plan, form: SignForm, status: int = 200
) -> HttpResponse:
    told = shown.findings(plan.proposed)
    return program_page(
        request,
        "programs/sign.html",
        kept,
        step="sign",
        status=status,
        plan=plan,
        findings=[one for one in told if not one.cleared],
        cleared=[one for one in told if one.cleared],
        changes=[shown.change(row) for row in kept.changes],
        parts=shown.parts(plan, ()),
        unprintable=unprintable(kept.patient.name),
        why_not=why_not(plan, today(), kept.changes, kept.facts_known),
        facts_known=kept.facts_known,
        form=form,
        meaning=MEANING,
        signer=signed_in(request).get_full_name().strip(),
        **_first_and_last(plan),
    )


def _first_and_last(plan: Plan) -> dict[str, Any]:
    """Return the start and the end of each modality, for a last look."""
    rows = [(part.name, part.runs[0], part.runs[-1]) for part in shown.parts(plan, ()) if part.runs]
    return {"ends": rows, "weeks": len(plan.weeks)}


def _signed_page(request: HttpRequest, kept: Kept, plan: Plan) -> HttpResponse:
    signed = plan.signed
    wrong = snapshot.wrong_with(as_signed(signed))
    told = None if wrong else snapshot.read(signed.body)
    return program_page(
        request,
        "programs/signed.html",
        kept,
        step="sign",
        plan=plan,
        signed=signed,
        wrong=wrong,
        told=told,
        digest=signed.digest[:12],
        ends_on=plan_words.week_starts(plan.starts_on, len(plan.weeks) + 1) - dt.timedelta(days=1),
        line=Audit.objects.filter(action="sign plan", object_id=str(signed.pk)).first(),
    )
