"""Why a modality stands in the plan as it does: the ten parts, and those of its rules."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from patients import audit
from patients.facts.in_words import day_text
from programs.actions.read_plan import basis_of
from programs.actions.refusals import Stale
from programs.dose import effort
from programs.dose.one_rm import estimates
from programs.edit.base_draft import Basis
from programs.models.program import Plan
from programs.trial_map.picture import picture
from programs.trial_map.published import SITES
from programs.trial_map.the_map import trial_map
from programs.views import plan_parts
from programs.views.plan_parts import Change
from programs.views.program_page import Kept, program_page, weeks_of
from programs.why import what_would_change, why_findings, why_modality
from safety.findings import Modality
from safety.modalities import MODALITIES


@require_GET
def why(request: HttpRequest, patient_id: int, code: str) -> HttpResponse:
    """Show the ten parts of one modality of the open draft, else of what was signed last."""
    modality, kept = _modality(code), Kept.of(patient_id)
    held = kept.open or kept.signed
    if held is None:
        return redirect("programs:plan", patient_id)
    decided = decided_words(held, plan_parts.changes_of(held), modality)
    context: dict[str, Any] = {"decided": decided}
    try:
        context |= _panels(basis_of(held), modality, decided) | _map(held, modality)
    except Stale as stale:
        told = held.proposed["modalities"][code]
        context |= {
            "stale": stale.reasons,
            "kept_why": told["why"],
            "kept_sources": told["sources"],
        }
    return program_page(
        request,
        "programs/why.html",
        kept,
        step="plan",
        plan=held,
        name=MODALITIES[modality].name,
        others=[(str(m), MODALITIES[m].name) for m in Modality if m is not modality],
        **context,
    )


def _modality(code: str) -> Modality:
    try:
        return Modality(code)
    except ValueError as error:
        raise Http404("No such modality.") from error


def _panels(basis: Basis, modality: Modality, decided: tuple[str, ...]) -> dict[str, Any]:
    made = basis.made
    turns = what_would_change(made, basis.resume)[modality]
    return {
        "why": why_modality(modality, made, turns, decided),
        "rules": why_findings(made, modality, decided),
        **(_loads(basis) if modality is Modality.RESISTANCE else {}),
    }


def _map(held: Plan, modality: Modality) -> dict[str, Any]:
    """Return the published programs of its kind with this one among them; nothing without a map."""
    shown = trial_map(modality, weeks_of(held)[0])
    if shown is None:
        return {}
    drawn = [(name, picture(shown, site)) for site, name in SITES.items()]
    # Every text in a picture was escaped where it was written (patients.measured.chart.text).
    return {"map": shown, "map_pictures": [(n, mark_safe(one)) for n, one in drawn if one]}


def _loads(basis: Basis) -> dict[str, Any]:
    """Return her sets by every equation, and how a load is found without a test."""
    lifts = basis.made.screen.situation.facts.lifts or ()
    return {
        "sets": [
            (f"{one.lift.replace('_', ' ').capitalize()}, {one.kg:g} kg × {one.reps}", by_all)
            for one in lifts
            if (by_all := estimates(one.kg, one.reps, one.lift))
        ],
        "find_a_load": effort.FIND_A_LOAD,
        "find_note": effort.FIND_A_LOAD_NOTE,
        "reserve_scale": effort.RESERVE_SCALE,
        "reserve_rows": effort.RESERVE_ROWS,
        "warm_up": f"{effort.WARM_UP_REPS} repetitions at {effort.WARM_UP_PERCENT} % of the load",
        "warm_up_source": effort.WARM_UP_SOURCE,
    }


def decided_words(held: Plan, changes: Sequence[Change], modality: Modality) -> tuple[str, ...]:
    """Return who decided what about a modality, and when, one sentence each."""
    told = [
        f"Drafted by {audit.printed_name(held.made_by)} on {_day(held.made_at)}, version "
        f"{held.version}, from the facts of {day_text(held.as_of)}."
    ]
    for one in changes:
        if one.path.split(".")[0] == modality:
            why = f" {one.reason}" if one.reason else ""
            told.append(f"Changed by {one.by} on {_day(one.at)}, {one.weeks}: {one.words}.{why}")
    return (*told, _signed(held))


def _signed(held: Plan) -> str:
    if held.state != Plan.SIGNED:
        return "Nobody has signed it yet."
    signed = held.signed
    return f"Signed by {signed.signed_name} on {_day(signed.signed_at)}: “{signed.meaning}”"


def _day(at: Any) -> str:
    return day_text(timezone.localdate(at))
