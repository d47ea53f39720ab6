"""A plate measured with an accelerometer: how to, the recording looked at, accepted or why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods

from patients.actions import scanners
from patients.actions.refusals import Refused
from patients.models.scanners import ParkedFile
from patients.views.common import sent_token, signed_in, today
from patients.views.parked_files import park_sent, parked_of
from programs.actions import plates
from programs.actions.plate_recordings import take_recording
from programs.forms.plates import RecordingFileForm, RecordingForm
from programs.models.plates import ClinicPlate
from programs.plates.measured_motion import NOMINAL_SPREAD, upper_strength
from programs.plates.recording import pictures
from programs.plates.recording.heads import TIME_NAMES, UNIT_NAMES
from programs.plates.recording.motion import Motion, Quantity
from programs.plates.recording.reading import Choices, Recording, UnitAsked
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.worked import as_measurement, read, worked
from programs.plates.tilting_places import to_foot

#: A share of the energy in harmonics above which the plate is said to knock (project choice).
KNOCKS_PERCENT = 10.0
#: Motion across, of that along, above which it is pointed out (project choice).
ACROSS_PERCENT = 20.0


@require_http_methods(["GET", "POST"])
def ask(request: HttpRequest, plate_id: int) -> HttpResponse:
    """Say how to record a plate, and ask for the recording."""
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    form = RecordingFileForm(
        request.POST or None,
        request.FILES or None,
        as_of=today(),
        plate=plates.plate_of(row),
        part={"on": today().isoformat()},
    )
    if request.method == "POST" and form.is_valid():
        sent = form.cleaned_data["file"]
        parked = park_sent(request, sent)
        said = {name: request.POST.get(name, "") for name in form.fields if name != "file"}
        address = reverse("programs:plate_recorded", args=[row.pk, parked.pk])
        return redirect(f"{address}?{urlencode(said)}")
    return render(
        request,
        "programs/plates/record.html",
        {
            "form": form,
            "row": row,
            "tilts": "axis_mm" in form.fields,
            "drawing": mark_safe(pictures.how_to_fix()),
            "token": uuid4(),
        },
        status=422 if request.method == "POST" else 200,
    )


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure of the motion, in words."""

    name: str
    value: str
    half: str
    note: str = ""


@require_http_methods(["GET", "POST"])
def show(request: HttpRequest, plate_id: int, file_id: int) -> HttpResponse:
    """Show what a parked recording comes to; accept it or throw it away."""
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    parked = parked_of(request, file_id)
    if parked is None:
        messages.warning(request, "That recording is no longer here. Nothing of it was kept now.")
        return redirect("programs:plate_recording", row.pk)
    said = request.POST if request.method == "POST" else request.GET
    form = RecordingForm(said, as_of=today(), plate=plates.plate_of(row))
    if "drop" in request.POST:
        scanners.drop(parked=parked, by=signed_in(request), at=timezone.now())
        messages.success(request, "Discarded. Nothing of the recording was kept.")
        return redirect("programs:plate_recording", row.pk)
    if not form.is_valid():
        messages.warning(request, "Say again how it was recorded, and send the file once more.")
        return redirect("programs:plate_recording", row.pk)
    choices = Choices(
        time_unit=_known(said.get("time_unit"), TIME_NAMES),
        unit=_known(said.get("unit"), UNIT_NAMES),
    )
    refusal = ""
    if request.method == "POST":
        if request.POST.get("read_right") != "yes":
            refusal = "Say first that the file was read rightly."
        else:
            try:
                return _take(request, row, parked, form, choices)
            except Refused as refused:
                refusal = str(refused)
    return _page(request, row, parked, form, choices, refusal)


def _known(said: str | None, known: Any) -> str | None:
    return said if said in known else None


def _take(
    request: HttpRequest, row: ClinicPlate, parked: ParkedFile, form: Any, choices: Choices
) -> HttpResponse:
    added = take_recording(
        row=row,
        parked=parked,
        asked=form.fact,
        choices=choices,
        by=signed_in(request),
        at=timezone.now(),
        token=sent_token(request),
    )
    if added is not None:
        messages.success(request, f"Measured: {row.name}.")
    return redirect("programs:plate_change", row.pk)


def _page(
    request: HttpRequest,
    row: ClinicPlate,
    parked: ParkedFile,
    form: Any,
    choices: Choices,
    refusal: str,
) -> HttpResponse:
    context: dict[str, Any] = {
        "row": row,
        "file": parked,
        "fact": form.fact,
        "said": [(name, form.data.get(name, "")) for name in form.fields],
        "choices": choices,
        "time_units": TIME_NAMES.items(),
        "units": UNIT_NAMES.items(),
        "listed_errors": [("read_right", "Read rightly", refusal)] if refusal else [],
        "refusal": refusal,
        "token": sent_token(request) or uuid4(),
    }
    try:
        found = read(bytes(parked.content), choices)
        context |= {"recording": found, "picture": mark_safe(pictures.whole(found, None))}
        context |= _worked(row, parked, form, found)
    except UnitAsked:
        context["unit_asked"] = True
    except BadRecording as bad:
        context["why_not"] = str(bad)
    status = 422 if refusal else 200
    return render(request, "programs/plates/recorded.html", context, status=status)


def _worked(row: ClinicPlate, parked: ParkedFile, form: Any, found: Recording) -> dict[str, Any]:
    made = worked(found, form.fact).motion
    window = made.from_s, made.to_s
    plate = plates.plate_of(row)
    kept = as_measurement(made, form.fact, name=parked.name, digest=parked.digest)
    return {
        "motion": made,
        "picture": mark_safe(pictures.whole(found, window)),
        "turns": mark_safe(pictures.some_turns(found, window, made.hz.value)),
        "figures": figures(made),
        "cautions": cautions(made),
        "parts": sorted(made.parts.items(), key=lambda part: -part[1]),
        "times": upper_strength(plate, to_foot(plate, kept)),
    }


def figures(made: Motion) -> list[Figure]:
    """Return the figures of a motion as the page tells them."""

    def one(name: str, found: Quantity, unit: str, decimals: int, note: str = "") -> Figure:
        value = f"{found.value:.{decimals}f} {unit}".strip()
        half = f"± {found.half:.{decimals}f}"
        if not half.strip("± 0."):
            half = f"± under {10**-decimals:g}"
        return Figure(name=name, value=value, half=half, note=note)

    shown = [
        one("Frequency", made.hz, "Hz", 3, f"by the spectrum’s peak alone {made.peak_hz:.2f} Hz"),
        one("Displacement", made.mm, "mm peak to peak", 3, f"noise alone {made.noise_mm:.4f} mm"),
        one("Peak acceleration", made.peak_g, "g", 3, f"harmonics seen to {made.seen_hz:.0f} Hz"),
        one("Root mean square", made.rms_g, "g", 3),
        one("Crest factor", made.crest, "", 3, "1.414 for a plain sine"),
        one("Energy outside the tone, in harmonics", made.knock_percent, "%", 2),
        one("Weighted by Wk", made.a_w_m_s2, "m/s²", 2, "information only, as for work"),
    ]
    if made.off_percent is not None:
        shown.append(one("Motion across, of that upright", made.off_percent, "%", 1))
    return shown


def cautions(made: Motion) -> list[str]:
    """Return what of a motion a clinician should look at."""
    found = []
    if made.knock_percent.high > KNOCKS_PERCENT:
        found.append("The plate knocks: much of its energy is in harmonics. Have it looked at.")
    if made.off_percent is not None and made.off_percent.value > ACROSS_PERCENT:
        found.append("It moves across as well. On a tilting plate, measure nearer to the foot.")
    if made.seen_hz < 2 * made.hz.value:
        found.append(
            f"At {made.rate_hz:.0f} samples a second no harmonic is seen: a knock would be missed, "
            "and the peak is that of the tone alone."
        )
    if not made.upright:
        found.append(
            "Gravity does not say which way is up: the strongest line of motion was taken."
        )
    return found


def panel_errors(row: ClinicPlate, lines: Sequence[Any]) -> SafeString | None:
    """Return the picture of the panel's error; None where nothing can be compared."""
    plate = plates.plate_of(row)
    errors = []
    for line in lines:
        upper = upper_strength(plate, to_foot(plate, line.found))
        if line.times is None or upper is None:
            continue
        shown = "" if line.found.set_mm is None else f", {line.found.set_mm:g}"
        label = f"{line.found.on:%Y-%m}: {line.found.set_hz:g} Hz{shown}, {line.found.load_kg:g} kg"
        times = Quantity(value=line.times, half=upper - line.times)
        errors.append(pictures.PanelError(label=label, times=times))
    return mark_safe(pictures.panel_errors(errors, NOMINAL_SPREAD)) if errors else None
