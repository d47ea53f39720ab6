"""The register of the clinic's plates: list, add, change, measure, retire, type in many."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from patients import audit
from patients.actions.refusals import Conflict, Refused
from patients.actions.withdrawing import withdraw
from patients.facts.declared_plate import Plate
from patients.facts.document import write_part
from patients.facts.in_words import summary
from patients.forms.person import WithdrawForm
from patients.views.common import sent_token, signed_in, today, whole_number
from programs.actions import plates as actions
from programs.actions.clinic import details_in_force
from programs.forms.plates import (
    EARLIEST,
    ClinicPlateForm,
    LinesForm,
    MeasurementForm,
    RepairForm,
    RetireForm,
)
from programs.models.plates import ClinicPlate, PlateMeasurement
from programs.plates.in_words import KINDS, frequency_words, motion_words
from programs.plates.measured_motion import (
    NOMINAL_NOTE,
    NOMINAL_SOURCE,
    NOMINAL_SPREAD,
    KnownPlate,
    Measurement,
    counts,
    recheck_on,
    strength,
)
from programs.plates.tilting_places import Tilting, tiltings, to_foot
from programs.plates.typed_lines import COLUMNS, MOST_LINES, Typed, typed_plates
from programs.views.plate_recordings import panel_errors


@dataclass(frozen=True, kw_only=True)
class MeasuredLine:
    """One measurement as the register shows it; one from before a repair is past."""

    row: PlateMeasurement
    found: Measurement
    times: float | None
    is_past: bool = False

    @property
    def is_far(self) -> bool:
        """Tell whether the peak is off by more than a nominal value may be."""
        return self.times is not None and not 1 / NOMINAL_SPREAD <= self.times <= NOMINAL_SPREAD


@dataclass(frozen=True, kw_only=True)
class Registered:
    """One plate as the register shows it."""

    row: ClinicPlate
    known: KnownPlate

    @property
    def plate(self) -> Plate:
        """Return the plate as its panel says."""
        return self.known.nominal

    @property
    def kind(self) -> str:
        """Return the kind of plate."""
        return KINDS[self.plate.motion]

    @property
    def frequency(self) -> str:
        """Return its frequencies in words."""
        return frequency_words(self.plate)

    @property
    def moves(self) -> str:
        """Return its displacements, or its g, in words."""
        return motion_words(self.plate)

    @property
    def measured(self) -> list[MeasuredLine]:
        """Return all that was measured, what was struck out included."""
        rows = list(self.row.measurements.all())
        lines = [(row, actions.measurement_of(row)) for row in rows]
        return [
            MeasuredLine(
                row=row,
                found=found,
                times=strength(self.plate, to_foot(self.plate, found)),
                is_past=not counts(found, self.row.repaired_on),
            )
            for row, found in lines
        ]

    @property
    def tilting(self) -> tuple[Tilting, ...]:
        """Return how it tilts, where two places of a setting were measured."""
        return tiltings(self.plate, (line.found for line in self.standing))

    @property
    def recheck_on(self) -> dt.date | None:
        """Return the day from which it is to be measured again, where that day has come."""
        due = recheck_on((line.found for line in self.standing), self.row.repaired_on)
        return due if due is not None and due <= today() else None

    @property
    def standing(self) -> list[MeasuredLine]:
        """Return the measurements that count."""
        return [line for line in self.measured if actions.standing(self.row, line.row)]


def register() -> list[Registered]:
    """Return all plates by name, those in use first; two queries."""
    rows = ClinicPlate.objects.select_related("changed_by", "retired_by").prefetch_related(
        "measurements__entered_by", "measurements__withdrawn_by"
    )
    found = [Registered(row=row, known=actions.known(row)) for row in rows]
    return sorted(found, key=lambda one: one.row.retired_at is not None)


def _page(
    request: HttpRequest, template: str, *, status: int = 200, **context: Any
) -> HttpResponse:
    context.setdefault("token", sent_token(request) or uuid4())
    noted = {
        "nominal_note": NOMINAL_NOTE,
        "nominal_source": NOMINAL_SOURCE,
        "today": today(),
        "currency": details_in_force().currency,
    }
    return render(request, template, noted | context, status=status)


@require_GET
def plates(request: HttpRequest) -> HttpResponse:
    """List the clinic's plates."""
    found = register()
    return _page(
        request,
        "programs/plates/register.html",
        in_use=[one for one in found if one.row.retired_at is None],
        retired=[one for one in found if one.row.retired_at is not None],
    )


@require_http_methods(["GET", "POST"])
def plate_add(request: HttpRequest) -> HttpResponse:
    """Add a plate."""
    form = ClinicPlateForm(
        request.POST or None, as_of=today(), currency=details_in_force().currency
    )

    def save() -> str:
        added = actions.add_plates(plates=[form.fact], **_who(request))
        return f"Added: {added[0].name}." if added else ""

    return _saved(request, form, save) or _page(
        request, "programs/plates/plate.html", form=form, row=None, status=_status(request)
    )


@require_http_methods(["GET", "POST"])
def plate_change(request: HttpRequest, plate_id: int) -> HttpResponse:
    """Change what is known of a plate, and see what was measured."""
    row = get_object_or_404(ClinicPlate, pk=plate_id)
    one = Registered(row=row, known=actions.known(row))
    form = ClinicPlateForm(
        request.POST or None,
        as_of=today(),
        part=write_part(one.plate),
        currency=details_in_force().currency,
    )
    version = request.POST.get("version", str(row.version))

    def save() -> str:
        sent = whole_number(version) or 0
        actions.change_plate(row=row, plate=form.fact, version=sent, **_who(request))
        return f"Saved: {form.fact.name}."

    shown: dict[str, Any] = {"form": form, "one": one, "row": row}
    shown["panel_errors"] = panel_errors(row, one.standing)
    try:
        saved = None if row.retired_at else _saved(request, form, save)
    except Conflict as conflict:
        return _meanwhile(request, "programs/plates/plate.html", conflict, **shown)
    return saved or _page(
        request, "programs/plates/plate.html", **shown, version=version, status=_status(request)
    )


def _meanwhile(
    request: HttpRequest, template: str, conflict: Conflict, *, form: Any, **shown: Any
) -> HttpResponse:
    """Show the form again with what somebody else saved; sent once more, it goes in."""
    now = conflict.now
    state = "retired" if now.retired_at else f"now {summary(actions.plate_of(now))}"
    who = audit.printed_name(now.changed_by)
    form.add_error(
        None,
        f"{who} changed this plate after you had opened it. It is {state}. "
        "Send this again to put yours in its place.",
    )
    return _page(request, template, form=form, **shown, version=now.version, status=409)


@require_http_methods(["GET", "POST"])
def plate_measure(request: HttpRequest, plate_id: int) -> HttpResponse:
    """Add what was measured on a plate."""
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    one = Registered(row=row, known=actions.known(row))
    started = {"on": today().isoformat()}
    form = MeasurementForm(request.POST or None, as_of=today(), plate=one.plate, part=started)

    def save() -> str:
        actions.add_measurement(row=row, measured=form.fact, **_who(request))
        return f"Measured: {row.name}."

    return _saved(request, form, save, "programs:plate_change", row.pk) or _page(
        request,
        "programs/plates/measure.html",
        form=form,
        one=one,
        row=row,
        status=_status(request),
    )


@require_http_methods(["GET", "POST"])
def plate_withdraw(request: HttpRequest, measurement_id: int) -> HttpResponse:
    """Strike a measurement out, with a reason."""
    row = get_object_or_404(
        PlateMeasurement.objects.select_related("plate"), pk=measurement_id, withdrawn_at=None
    )
    form = WithdrawForm(request.POST or None, born=EARLIEST, as_of=today())
    found = actions.measurement_of(row)
    line = MeasuredLine(row=row, found=found, times=strength(actions.plate_of(row.plate), found))

    def save() -> str:
        who = {key: value for key, value in _who(request).items() if key != "token"}
        withdraw(row=row, reason=form.cleaned_data["reason"], **who)
        return "Struck out as entered in error."

    return _saved(request, form, save, "programs:plate_change", row.plate_id) or _page(
        request,
        "programs/plates/withdraw.html",
        form=form,
        line=line,
        row=row.plate,
        status=_status(request),
    )


@require_http_methods(["GET", "POST"])
def plate_retire(request: HttpRequest, plate_id: int) -> HttpResponse:
    """Take a plate out of use, with a reason."""
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    form = RetireForm(request.POST or None, as_of=today())
    version = request.POST.get("version", str(row.version))

    def save() -> str:
        who = {key: value for key, value in _who(request).items() if key != "token"}
        sent = whole_number(version) or 0
        actions.retire_plate(row=row, version=sent, reason=form.cleaned_data["reason"], **who)
        return f"Retired: {row.name}."

    shown: dict[str, Any] = {"form": form, "row": row}
    try:
        saved = _saved(request, form, save)
    except Conflict as conflict:
        return _meanwhile(request, "programs/plates/retire.html", conflict, **shown)
    return saved or _page(
        request, "programs/plates/retire.html", **shown, version=version, status=_status(request)
    )


@require_http_methods(["GET", "POST"])
def plate_repair(request: HttpRequest, plate_id: int) -> HttpResponse:
    """Say when a plate was repaired, or that it was not."""
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    known = {"on": (row.repaired_on or today()).isoformat()}
    form = RepairForm(request.POST or None, as_of=today(), initial=known)
    version = request.POST.get("version", str(row.version))

    def save() -> str:
        who = {key: value for key, value in _who(request).items() if key != "token"}
        told = {"on": form.cleaned_data["on"], "reason": form.cleaned_data["reason"]}
        actions.repair_plate(row=row, version=whole_number(version) or 0, **told, **who)
        return f"Saved: {row.name}."

    shown: dict[str, Any] = {"form": form, "row": row}
    try:
        saved = _saved(request, form, save, "programs:plate_change", row.pk)
    except Conflict as conflict:
        return _meanwhile(request, "programs/plates/repair.html", conflict, **shown)
    return saved or _page(
        request, "programs/plates/repair.html", **shown, version=version, status=_status(request)
    )


@require_http_methods(["GET", "POST"])
def plates_import(request: HttpRequest) -> HttpResponse:
    """Read typed lines, show what they come to, and add them all once that is confirmed."""
    form = LinesForm(request.POST or None, as_of=today())
    shown: dict[str, Any] = {"form": form, "columns": COLUMNS}
    if not form.is_valid():
        return _page(request, "programs/plates/import.html", **shown, status=_status(request))
    if "confirm" in request.POST and audit.done_before(sent_token(request)) is not None:
        return redirect("programs:plates")
    in_use = ClinicPlate.objects.filter(retired_at=None).values_list("name", flat=True)
    typed = typed_plates(form.cleaned_data["lines"], set(in_use))
    if wrong := _wrong(typed):
        form.add_error("lines", wrong)

    def save() -> str:
        added = actions.add_plates(plates=list(typed.plates.values()), **_who(request))
        return f"Added: {len(added)} plate{'' if len(added) == 1 else 's'}."

    if "confirm" in request.POST and not wrong:
        saved = _saved(request, form, save)
        if saved is not None:
            return saved
    return _page(
        request,
        "programs/plates/import.html",
        **shown,
        typed=typed,
        wrong=wrong,
        lines=[_shown_line(number, plate) for number, plate in typed.plates.items()],
        status=422 if wrong or form.errors else 200,
    )


def _wrong(typed: Typed) -> str:
    """Return why nothing of what was typed can be added, or nothing."""
    lines = len(typed.plates) + len(typed.bad)
    if lines > MOST_LINES:
        return f"At most {MOST_LINES} lines at once; there are {lines}."
    if typed.bad:
        count = len(typed.bad)
        return f"{count} line{'' if count == 1 else 's'} to put right. Nothing is added until then."
    return "" if typed.plates else "There is no plate in these lines."


def _shown_line(number: int, plate: Plate) -> dict[str, Any]:
    return {
        "number": number,
        "plate": plate,
        "kind": KINDS[plate.motion],
        "frequency": frequency_words(plate),
        "moves": motion_words(plate),
    }


# --- What every form of the register does ---------------------------------------------------


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"by": signed_in(request), "at": timezone.now(), "token": sent_token(request)}


def _status(request: HttpRequest) -> int:
    return 422 if request.method == "POST" else 200


def _saved(
    request: HttpRequest, form: Any, save: Callable[[], str], to: str = "programs:plates", *at: int
) -> HttpResponse | None:
    """Save a form that was sent; None where it goes back to be put right. Raises Conflict."""
    if request.method != "POST" or not form.is_valid():
        return None
    if getattr(form, "fact", form) is None:
        form.add_error(None, "Nothing is filled in.")
        return None
    try:
        said = save()
    except Refused as refused:
        form.add_error(None, str(refused))
        return None
    if said:
        messages.success(request, said)
    return redirect(to, *at)
