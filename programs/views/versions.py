"""Two versions of a program laid beside each other, at any time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from patients.views.common import whole_number
from programs.actions.as_signed import lay_over
from programs.compare.two_versions import Beside, Version, beside
from programs.edit import plan_in_words
from programs.models.program import Plan
from programs.views.program_page import Kept, program_page, weeks_of
from programs.week.week import WEEK, Week, part_of
from safety.findings import Modality


@require_GET
def versions(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show two versions side by side: those that were asked for, else the newest two."""
    kept = Kept.of(patient_id)
    rows = Plan.objects.filter(patient=kept.patient, state__in=(Plan.DRAFT, Plan.SIGNED))
    # Those that the banner reads too are looked at once.
    known = {plan.pk: plan for plan in kept.newest}
    found = rows.select_related("signed__seal").order_by("version")
    held = [known.get(plan.pk, plan) for plan in found]
    for plan in held:
        plan.patient = kept.patient
    pair = _asked(request, held)
    return program_page(
        request,
        "programs/versions.html",
        kept,
        step="plan",
        facts_known=kept.facts_known,
        versions=held,
        pair=[plan.version for plan in pair],
        beside=_beside(pair) if len(pair) == 2 else None,
    )


def _asked(request: HttpRequest, held: list[Plan]) -> list[Plan]:
    """Return the two that the address names, the earlier one first; else the newest two."""
    numbers = {whole_number(request.GET.get(name, "")) for name in ("one", "other")}
    named = [plan for plan in held if plan.version in numbers]
    return named if len(named) == 2 else held[-2:]


def _beside(pair: list[Plan]) -> Beside:
    before, after = (version_of(read(plan)) for plan in pair)
    return beside(before, after)


def read(plan: Plan) -> Plan:
    """Return a plan as it was signed, where it was; an open one as it stands."""
    return lay_over(plan) if plan.state == Plan.SIGNED else plan


def version_of(plan: Plan) -> Version:
    """Return a plan as it stands, to be laid beside another."""
    weeks, _ = weeks_of(plan)
    draft = ", a draft" if plan.state == Plan.DRAFT else ""
    return _version(plan, f"Version {plan.version}{draft}", weeks, plan.left_out_by_clinician)


def as_proposed(plan: Plan) -> Version:
    """Return a plan as it was drafted, before anybody changed it."""
    _, proposed = weeks_of(plan)
    return _version(plan, "As drafted", proposed, {})


def _version(
    plan: Plan, name: str, weeks: tuple[Week, ...], left_out: Mapping[str, str]
) -> Version:
    held = plan.proposed["modalities"]
    return Version(
        name=name,
        starts_on=plan.starts_on,
        weeks=weeks,
        standing={m: _standing(m, held[m]["status"], weeks, left_out) for m in Modality},
        days=_days(plan.proposed["timetable"], weeks),
        findings=_findings(plan.proposed),
    )


def _standing(
    modality: Modality, status: str, weeks: tuple[Week, ...], left_out: Mapping[str, str]
) -> str:
    if modality in left_out:
        return "left out by the clinician"
    if status == "included" and not weeks:
        return "stopped"
    nowhere = not _somewhere(weeks, modality)
    return "no room" if status == "included" and nowhere else status.replace("_", " ")


def _somewhere(weeks: tuple[Week, ...], modality: Modality) -> bool:
    return any(part_of(week, modality) is not None for week in weeks)


def _days(timetable: Mapping[str, Sequence[str]], weeks: tuple[Week, ...]) -> dict[str, str]:
    """Return what is on each day, without what no week holds any more."""
    there = {
        day: [one for one in timetable.get(day, ()) if _somewhere(weeks, Modality(one))]
        for day in WEEK
    }
    return dict(plan_in_words.days_in_words({day: held for day, held in there.items() if held}))


def _findings(proposed: Mapping[str, Any]) -> tuple[str, ...]:
    told = (one["text"] for one in proposed["findings"] if not one["cleared"])
    return tuple(dict.fromkeys(told))
