"""The first consult on one page: what decides is asked, what follows stands beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from patients import audit
from patients.audit import printed_name
from patients.facts.in_words import day_text
from patients.forms.consult import ConsultSheet
from patients.forms.consult_lists import TICKED
from patients.measured.density import asked_of
from patients.models.patient import Assessment, Patient, ScanRow
from patients.rows_to_facts import Contradiction, Entered, as_if_saved, entered
from patients.views.common import sent_token, signed_in, today
from patients.views.form_marks import follows_typing, is_marked
from patients.views.one_page import OnePage
from programs.actions.drafting import draft_plan
from programs.actions.read_plan import facts_for, facts_in_record
from safety import screen_page as reading
from safety.modalities import MODALITIES
from safety.open_questions import Change, Open, open_questions
from safety.screen import Status, screen

#: By which a draft that the button of a form makes is known again.
_DRAFT = UUID("5d7a0f4e-5a0b-4b57-9f0e-0c2f6f2f3a11")


@dataclass(frozen=True, kw_only=True)
class Told:
    """An answer that a question can have, and in words what would come of it."""

    answer: str
    words: str


def _beside(sheet: ConsultSheet) -> dict[str, Any]:
    """Return what the page says of what is on record, whatever was typed since."""
    told = _now(sheet.known) | {"answered_by": _answered_by(sheet.known.patient)}
    return told if sheet.data is None else told | _typed(sheet)


def _now(known: Entered) -> dict[str, Any]:
    """Return where each kind stands and what is open; what cannot stand together says so."""
    try:
        facts = facts_in_record(known)
    except Contradiction as contradiction:
        return {"problems": contradiction.problems, "steps_of_plan": True}
    seen = screen(facts)
    return {
        "facts_known": facts,
        "stop": reading.stop(seen),
        "groups": reading.groups(seen),
        "open": [(one.question, _told(one)) for one in open_questions(facts)],
        "counted": reading.open_words(seen),
    }


def _typed(sheet: ConsultSheet) -> dict[str, Any]:
    """Return the same of what was typed, as far as it can be read."""
    return _now(as_if_saved(sheet.known, sheet.parts(), sheet.rows(), _struck(sheet)))


def _struck(sheet: ConsultSheet) -> list[Any]:
    return [old for old, _ in sheet.corrected()]


def _told(one: Open) -> list[Told]:
    return [
        Told(answer=d.answer, words="stops everything" if d.stops else _words(d.changes))
        for d in one.decides
    ]


_STATUS = {
    Status.INCLUDED: "allowed",
    Status.ON_HOLD: "on hold",
    Status.EXCLUDED: "excluded",
}


def _words(changes: tuple[Change, ...]) -> str:
    """Return what changes, kinds of one outcome together: "plate, impact: on hold"."""
    by_outcome: dict[str, list[str]] = {}
    for change in changes:
        outcome = "dosed otherwise" if change.otherwise_dosed else _STATUS[change.status]
        by_outcome.setdefault(outcome, []).append(MODALITIES[change.modality].name.lower())
    every = len(MODALITIES)
    return "; ".join(
        f"{'all five' if len(names) == every else ', '.join(names)}: {outcome}"
        for outcome, names in by_outcome.items()
    )


def _answered_by(patient: Patient) -> dict[str, str]:
    """Return of each list when it was answered last, and by whom."""
    rows = Assessment.objects.filter(patient=patient, section__in=TICKED)
    newest = {row.section: row for row in rows.select_related("made_by").order_by("id")}
    return {
        code: f"{day_text(timezone.localdate(row.made_at))}, {printed_name(row.made_by)}"
        for code, row in newest.items()
    }


# --- Saved, and drafted -------------------------------------------------------------------


def _measured(sheet: ConsultSheet) -> Mapping[str, Any]:
    return {
        "rows": sheet.rows(),
        "corrected": sheet.corrected(),
        "asked_again": sheet.asked_again(),
    }


def _of_rows(sheet: ConsultSheet) -> list[str]:
    kinds = dict.fromkeys(row.KIND for row in sheet.rows())
    return [_KINDS[kind] for kind in kinds] + ["tests of today" for _ in sheet.corrected()]


_KINDS = {"size": "size", "fracture": "fractures", "scan": "scan", "tests": "tests of today"}


def _onward(request: HttpRequest, sheet: ConsultSheet) -> HttpResponse:
    """Go on, but first ask about scores that look mistyped: no draft rests on them unseen."""
    scans = [row.fact() for row in sheet.rows() if isinstance(row, ScanRow)]
    asked = [one for scan in scans for one in asked_of(scan, scans)]
    for question in asked:
        messages.warning(request, question)
    if asked and "draft" in request.POST:
        messages.warning(request, _LOOK_FIRST)
        return redirect("programs:consult", sheet.known.patient.pk)
    return _further(request, sheet)


_LOOK_FIRST = (
    "Not drafted yet. If a score is wrong, correct it among her scans on the Facts page; if all "
    "are right, press Save and draft once more."
)


def _again(request: HttpRequest, sheet: ConsultSheet) -> HttpResponse:
    """Lead a form that was sent before to what came of it; it drafts nothing more."""
    token = sent_token(request)
    if token and audit.done_before(uuid5(_DRAFT, str(token))) is not None:
        return redirect("programs:plan", sheet.known.patient.pk)
    return redirect("programs:consult", sheet.known.patient.pk)


def _further(request: HttpRequest, sheet: ConsultSheet) -> HttpResponse:
    """Stay on the page, or draft where that was asked for and nothing stops it."""
    patient = sheet.known.patient
    if "draft" not in request.POST:
        return redirect("programs:consult", patient.pk)
    return _draft(request, patient)


def _draft(request: HttpRequest, patient: Patient) -> HttpResponse:
    token = sent_token(request)
    seen = screen(facts_for(patient, today()))
    if seen.blocked:
        messages.warning(request, f"Not drafted: {reading.open_words(seen)}.")
        return redirect("programs:consult", patient.pk)
    made = draft_plan(
        patient=patient,
        as_of=today(),
        starts_on=today(),
        by=signed_in(request),
        at=timezone.now(),
        token=uuid5(_DRAFT, str(token)) if token else None,
    )
    messages.success(request, f"Drafted: version {made.version}. Nothing is issued unsigned.")
    return redirect("programs:plan", patient.pk)


PAGE = OnePage(
    sheet=ConsultSheet,
    template="programs/consult.html",
    title="First consult",
    measured=_measured,
    of_rows=_of_rows,
    onward=_onward,
    again=_again,
    beside=_beside,
)


@follows_typing
@require_http_methods(["GET", "POST"])
def consult(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show the page, what would follow from what is typed, or save it and draft."""
    if "preview" not in request.POST:
        return PAGE.serve(request, patient_id)
    return _preview(request, get_object_or_404(Patient, pk=patient_id))


def _preview(request: HttpRequest, patient: Patient) -> HttpResponse:
    """Return what would follow; the whole page where the button asked, else the part of it."""
    if not request.headers.get("HX-Request"):
        return PAGE.shown(request, patient)
    if not is_marked(request, patient):
        return _part(request, {"stopped": "This form was opened for another patient."})
    sheet = ConsultSheet(entered(patient, today(), ConsultSheet.kinds), request.POST)
    wrong = [] if sheet.is_valid() else sheet.errors
    return _part(request, {"patient": patient, "wrong": wrong, **_typed(sheet)})


def _part(request: HttpRequest, context: dict[str, Any]) -> HttpResponse:
    return render(request, "programs/_consult_beside.html", {"live": True, **context})
