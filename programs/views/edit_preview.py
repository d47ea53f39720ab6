"""What a change of the open draft would do: for the page, and while it is being typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from patients.views.form_marks import is_marked
from programs.actions.editing import judge_edits
from programs.actions.read_plan import basis_of
from programs.actions.refusals import NotOpen, Stale
from programs.dose.limit import DRAFT_WEEKS
from programs.edit.base_draft import Basis
from programs.edit.judge import Judged, gathered
from programs.edit.plan_in_words import exercises, first_changed, runs
from programs.forms.edit import EditForm
from programs.models.program import Plan
from programs.views.plan_drawn import redrawn
from programs.views.plan_sent import sent_lock, sent_plan
from programs.views.program_page import Kept, weeks_of
from programs.week.document import read_weeks
from programs.week.week import Week
from safety.findings import Modality
from safety.modalities import MODALITIES

LAST_WEEK = DRAFT_WEEKS


def edit_form(
    request: HttpRequest,
    plan: Plan,
    modality: Modality,
    basis: Basis | None = None,
    *,
    sent: bool = True,
) -> EditForm:
    """Return the form, as sent or for the weeks that the address names. Raises Stale.

    basis   the plan's, where the request has made it already
    sent    what was posted is this form's
    """
    return EditForm(
        (request.POST or None) if sent else None,
        modality=modality,
        weeks=read_weeks(plan.weeks),
        basis=basis or basis_of(plan),
        initial={
            "week_from": _week(request, "from", 1),
            "week_to": _week(request, "to", LAST_WEEK),
        },
    )


def _week(request: HttpRequest, name: str, otherwise: int) -> int:
    sent = request.GET.get(name, "")
    week = int(sent) if sent.isdecimal() and len(sent) < 4 else otherwise
    return week if 1 <= week <= LAST_WEEK else otherwise


def judge_sent(plan: Plan, form: EditForm) -> Judged:
    """Judge what a valid form changes; what it passes stands beside its field then."""
    judged = judge_edits(plan, form.edits(), form.basis)
    form.refuse(judged.refused)
    if not form.cleaned_data["reason"].strip():
        form.ask_reason(judged.reasoned)
    return judged


def preview(
    plan: Plan, modality: Modality, form: EditForm, judged: Judged | None
) -> dict[str, Any]:
    """Return what the template of the preview needs."""
    now, proposed = weeks_of(plan)
    possible = judged is not None and not judged.refused
    before = now if possible else proposed
    after = judged.weeks if judged is not None and possible else now
    refused = gathered(judged.refused) if judged else ()
    asked = gathered(judged.reasoned) if judged else ()
    return {
        "form": form,
        "judged": judged,
        "name": MODALITIES[modality].name,
        "strength": MODALITIES[modality].strength,
        "rows": runs(after, before, modality),
        "exercises": exercises(after, before, modality),
        "week": first_changed(now, after),
        "minutes": (_most(now), _most(after)),
        "refused": refused,
        "asked": asked,
        "wrong": form.wrong,
        "drawn_anew": redrawn(plan, modality, form.basis, after, now if possible else ()),
    }


def _most(weeks: Sequence[Week]) -> float:
    return max((week.minutes for week in weeks), default=0.0)


# --- While it is being typed --------------------------------------------------------------


def is_live(request: HttpRequest) -> bool:
    """Tell whether the page itself asks, while somebody types; nothing is saved then."""
    return "preview" in request.POST and bool(request.headers.get("HX-Request"))


def live(request: HttpRequest, kept: Kept, modality: Modality) -> HttpResponse:
    """Return the part of the page that follows what is typed; a refusal is a part too."""
    if not is_marked(request, kept.patient):
        return _stopped(request, kept, "This form was opened for another patient.")
    plan = sent_plan(request, kept)
    if plan.state != Plan.DRAFT:
        return _stopped(request, kept, str(NotOpen(plan)))
    try:
        form = edit_form(request, plan, modality)
        judged = judge_sent(plan, form) if form.is_valid() else None
    except Stale as stale:
        return _stopped(request, kept, f"{stale} Redraft, then change it.")
    meanwhile = sent_lock(request) != plan.lock
    return _part(request, preview(plan, modality, form, judged) | {"meanwhile": meanwhile})


def _stopped(request: HttpRequest, kept: Kept, why: str) -> HttpResponse:
    return _part(request, {"stopped": why, "patient": kept.patient})


def _part(request: HttpRequest, context: Mapping[str, Any]) -> HttpResponse:
    return render(request, "programs/plan_edit_live.html", {"live": True, **context})
