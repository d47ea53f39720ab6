"""Joining two records of one person: whom to, what differs, what stands there, and back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods

from patients.actions import joining
from patients.actions.doubles import same_person
from patients.actions.refusals import Conflict, Refused
from patients.asked_for import LONGEST, asked_for
from patients.facts.in_words import readings
from patients.forms.standing import ApartForm, JoinForm, LookedThroughForm
from patients.joining import Pair, row_words
from patients.models.finding import OPEN
from patients.models.patient import KINDS, Patient
from patients.models.standing import Join
from patients.rows_as_tables import tables
from patients.rows_to_facts import Contradiction, entered, facts_from
from patients.search import PAGE, found
from patients.standing import joined_to, joins_in_force
from patients.views.common import patient_page, sent_token, signed_in, today
from patients.views.kept_under import kept_under

#: Sections that may bar something, or loosen it: shown where a double is looked through.
_TELLING = ("fractures", "falls", "conditions", "symptoms", "medicines")


@sensitive_post_parameters("q")
@require_http_methods(["GET", "POST"])
def choose(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Ask to which record of the same person this one is to be joined."""
    patient = get_object_or_404(Patient, pk=patient_id)
    query = request.POST.get("q", "").strip()[:LONGEST]
    if query:
        numbers = found(asked_for(query)).numbers[:PAGE]
        rows = Patient.objects.in_bulk(numbers)
        people = [rows[number] for number in numbers]
    else:
        people = same_person(patient)
    others = [one for one in people if one.pk != patient.pk and one.findable.state == OPEN]
    return patient_page(
        request,
        "patients/join_choose.html",
        patient,
        steps_of_plan=True,
        query=query,
        others=others,
    )


@require_http_methods(["GET", "POST"])
def join(request: HttpRequest, patient_id: int, into_id: int) -> HttpResponse:
    """Show both records side by side, ask what differs, and join them."""
    double = get_object_or_404(Patient, pk=patient_id)
    into = get_object_or_404(Patient, pk=into_id)
    if why := joining.why_not_joined(double, into):
        messages.warning(request, why)
        return redirect("patients:join_choose", double.pk)
    pair = Pair.of(into, double, today())
    if request.method == "GET":
        return _join_page(request, pair, _join_form(request, pair))
    form = _join_form(request, pair)
    if not form.is_valid():
        return _join_page(request, pair, form)
    return _joined(request, pair, form)


def _join_form(request: HttpRequest, pair: Pair) -> JoinForm:
    into, double = pair.into.patient, pair.double.patient
    return JoinForm(
        request.POST or None,
        clashes=pair.clashes(),
        into=into.pk,
        double=double.pk,
        born=into.born,
        as_of=today(),
    )


def _joined(request: HttpRequest, pair: Pair, form: JoinForm) -> HttpResponse:
    into, double = pair.into.patient, pair.double.patient
    try:
        joining.join_records(
            double=double,
            into=into,
            choices=form.choices(),
            seal=request.POST.get("seal", ""),
            reason=form.cleaned_data["reason"],
            **_who(request),
        )
    except Conflict as conflict:
        form.add_error(None, "One of the two was changed after you had opened this. Look again.")
        return _join_page(request, conflict.now, form, status=409)
    except Contradiction as contradiction:
        form.add_error(None, f"What is taken over does not fit together: {contradiction}")
        return _join_page(request, pair, form)
    except Refused as refused:
        form.add_error(None, str(refused))
        return _join_page(request, pair, form)
    messages.success(request, f"Joined. Now look through what is joined to record {double.pk}.")
    return redirect("patients:joined", into.pk)


def _join_page(
    request: HttpRequest, pair: Pair, form: JoinForm, status: int | None = None
) -> HttpResponse:
    sides = [
        {
            "patient": side.patient,
            "answered": len(side.assessment.answered) if side.assessment else 0,
            "rows": [(kind, len(rows)) for kind, rows in side.rows.items() if rows],
            "lines": kept_under(side.patient),
        }
        for side in (pair.into, pair.double)
    ]
    return patient_page(
        request,
        "patients/join.html",
        pair.double.patient,
        status=status or (422 if form.is_bound else 200),
        steps_of_plan=True,
        into=pair.into.patient,
        sides=sides,
        form=form,
        seal=pair.seal,
        **_same_token(request),
    )


@require_GET
def kept(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show all that is kept under a record, for reading."""
    patient = get_object_or_404(Patient, pk=patient_id)
    return patient_page(
        request,
        "patients/kept.html",
        patient,
        steps_of_plan=True,
        lines=kept_under(patient),
        **_of_record(patient),
    )


def _of_record(patient: Patient) -> dict[str, Any]:
    """Return all that is known under a record, in words; what does not fit together says so."""
    known = entered(patient, today())
    shown: dict[str, Any] = {"tables": [t for t in tables(patient, tuple(KINDS)) if t.entries]}
    answered = known.assessment.answered if known.assessment else {}
    try:
        shown["readings"] = readings(facts_from(known), answered)
    except Contradiction as contradiction:
        shown["problems"] = contradiction.problems
    return shown


@require_GET
def joined(request: HttpRequest, patient_id: int) -> HttpResponse:
    """List the records that stand under this one, and what stands there."""
    patient = get_object_or_404(Patient, pk=patient_id)
    return _joined_page(request, patient, None, None)


def _joined_page(
    request: HttpRequest, patient: Patient, of: Join | None, form: LookedThroughForm | None
) -> HttpResponse:
    days: dict[str, Any] = {"born": patient.born, "as_of": today()}
    shown = [
        {
            "join": one,
            "looked": getattr(one, "looked_through", None),
            "form": form if of == one else LookedThroughForm(**days, prefix=f"join{one.pk}"),
            "lines": kept_under(one.double),
            **_telling(one.double),
        }
        for one in joined_to(patient)
    ]
    return patient_page(
        request,
        "patients/joined.html",
        patient,
        status=422 if form is not None else 200,
        steps_of_plan=True,
        shown=shown,
        apart=_taken_apart(patient),
    )


def _telling(double: Patient) -> dict[str, Any]:
    """Return what may bar something, as it stands under a double."""
    shown = _of_record(double)
    sections = [r for r in shown.get("readings", ()) if r.section.code in _TELLING]
    return shown | {"readings": sections}


def _taken_apart(patient: Patient) -> list[Join]:
    """Return the joins to this record that were taken back, the newest first."""
    rows = Join.objects.filter(into=patient).exclude(undoes=None)
    return list(rows.select_related("double", "undoes", "by").order_by("-id"))


@require_http_methods(["POST"])
def looked(request: HttpRequest, patient_id: int, join_id: int) -> HttpResponse:
    """Keep that a double was looked through."""
    patient = get_object_or_404(Patient, pk=patient_id)
    one = get_object_or_404(Join, pk=join_id, into=patient, undoes=None)
    form = LookedThroughForm(request.POST, born=patient.born, as_of=today(), prefix=f"join{one.pk}")
    if not form.is_valid():
        return _joined_page(request, patient, one, form)
    try:
        joining.note_looked_through(join=one, note=form.cleaned_data["note"] or "", **_who(request))
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("patients:joined", patient.pk)
    messages.success(request, f"Noted: record {one.double_id} was looked through.")
    return redirect("patients:joined", patient.pk)


@require_http_methods(["GET", "POST"])
def apart(request: HttpRequest, patient_id: int, join_id: int) -> HttpResponse:
    """Take two joined records apart again."""
    patient = get_object_or_404(Patient, pk=patient_id)
    one = get_object_or_404(Join, pk=join_id, into=patient, undoes=None)
    if not joins_in_force().filter(pk=one.pk).exists():
        messages.info(request, "These records were taken apart already.")
        return redirect("patients:joined", patient.pk)
    rows = [(kind, row, row_words(patient, kind)[row.pk]) for kind, row in joining.taken_over(one)]
    form = ApartForm(request.POST or None, rows=rows, born=patient.born, as_of=today())
    if request.method == "GET" or not form.is_valid():
        return _apart_page(request, patient, one, form)
    try:
        joining.undo_join(
            join=one, reason=form.cleaned_data["reason"], strike=form.strike(), **_who(request)
        )
    except Refused as refused:
        messages.info(request, str(refused))
        return redirect("patients:joined", patient.pk)
    messages.success(request, f"Taken apart. Record {one.double_id} is in the lists again.")
    return redirect("patients:joined", patient.pk)


def _apart_page(request: HttpRequest, patient: Patient, one: Join, form: ApartForm) -> HttpResponse:
    return patient_page(
        request,
        "patients/apart.html",
        patient,
        status=422 if form.is_bound else 200,
        steps_of_plan=True,
        join=one,
        form=form,
        **_same_token(request),
    )


def _same_token(request: HttpRequest) -> dict[str, Any]:
    return {"token": sent_token(request)} if sent_token(request) else {}


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"by": signed_in(request), "at": timezone.now(), "token": sent_token(request)}
