"""Plates for one person: what each is fit for, and what speaks for and against having one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_GET, require_POST

from patients.actions.refusals import Conflict, Refused
from patients.facts.declared import Facts
from patients.facts.declared_plate import Plate
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import (
    contradiction_page,
    patient_page,
    sent_token,
    signed_in,
    today,
)
from programs.actions import plates as actions
from programs.actions.clinic import CURRENCY
from programs.actions.read_plan import facts_for, limits_in_force, resume_of
from programs.dose.in_force import Clinic
from programs.dose.plate_start import Fit
from programs.dose.vibration import (
    A8_ACTION_M_S2,
    A8_LIMIT_M_S2,
    EXPOSURE_NOTE,
    EXPOSURE_SOURCES,
    VDV_ACTION_M_S175,
    VDV_LIMIT_M_S175,
)
from programs.draft.resume import FROM_THE_START, Resume
from programs.models.plates import ClinicPlate
from programs.models.program import Plan
from programs.plates.appraisal import appraise
from programs.plates.dose_map import DoseMapRow, dose_map_rows, dose_map_svg
from programs.plates.fit_for_person import (
    BONE_DOSE_NOTE,
    Person,
    PlateSheet,
    Stay,
    person,
    plate_sheet,
)
from programs.plates.in_words import KINDS, frequency_words, motion_words
from programs.plates.measured_motion import NOMINAL_NOTE, NOMINAL_SOURCE, KnownPlate, known_plate
from programs.views.open_steps import newest_plans
from safety.findings import Modality
from safety.screen import screen
from safety.words import LEVEL_WORDS

#: More plates than this do not stand side by side on one page.
MOST_SIDE_BY_SIDE = 4
#: Aims, plates and half the findings: more than this is set in smaller type, to stay one sheet.
FULL_SHEET = 5
FIT_WORDS = {
    Fit.FIT: ("fine", "Fit"),
    Fit.ON_HOLD: ("missing", "On hold"),
    Fit.NOT_FIT: ("contraindicated", "Not fit"),
}
EU = {
    "a8_action": A8_ACTION_M_S2,
    "a8_limit": A8_LIMIT_M_S2,
    "vdv_action": VDV_ACTION_M_S175,
    "vdv_limit": VDV_LIMIT_M_S175,
    "note": EXPOSURE_NOTE,
    "sources": EXPOSURE_SOURCES,
}


@dataclass(frozen=True, kw_only=True)
class Offered:
    """A plate that may be looked at: one of hers, or one of the clinic.

    code     "own-0" by its place on her list, "clinic-7" by its number in the register
    renewed  one of hers as the register tells it now, with its row; None where nothing differs
    """

    code: str
    known: KnownPlate
    row: ClinicPlate | None
    renewed: tuple[ClinicPlate, Plate] | None = None

    @property
    def name(self) -> str:
        """Return its name."""
        return self.known.nominal.name

    @property
    def whose(self) -> str:
        """Return whose it is."""
        return "own" if self.row is None else "the clinic's"

    @property
    def kind(self) -> str:
        """Return the kind of plate."""
        return KINDS[self.known.nominal.motion]

    @property
    def about(self) -> str:
        """Return its frequencies and travels in words, by its panel."""
        return _about(self.known.nominal)

    @property
    def now_words(self) -> str:
        """Return the same of one of hers as the register tells it now."""
        return _about(self.renewed[1]) if self.renewed else ""


def _about(plate: Plate) -> str:
    found = (frequency_words(plate), motion_words(plate))
    return "; ".join(words for words in found if words) or "motion not recorded"


@dataclass(frozen=True, kw_only=True)
class Looked:
    """What is known for looking at plates for one person."""

    patient: Patient
    plans: Sequence[Plan]
    facts: Facts
    resume: Resume
    clinic: Clinic
    own: Sequence[Offered]
    others: Sequence[Offered]

    @property
    def asked(self) -> bool:
        """Tell whether it was asked which plates she has."""
        return self.facts.resources is not None and self.facts.resources.plates is not None

    def chosen(self, codes: Iterable[str]) -> list[Offered]:
        """Return the plates with these codes, in their order on the page."""
        wanted = set(codes)
        return [one for one in (*self.own, *self.others) if one.code in wanted]


def _look(patient: Patient, codes: Sequence[str]) -> Looked:
    """Return what is known, with what was measured on the clinic's plates of these codes.

    Where she has no plate of her own and no code is given, on all of them. Raises Contradiction
    where what was entered cannot stand together.
    """
    facts = facts_for(patient, today())
    own = facts.resources.plates or () if facts.resources else ()
    rows = list(ClinicPlate.objects.filter(retired_at=None))
    named = {plate.name for plate in own}
    wanted = [row for row in rows if _code(row) in codes or row.name in named or not (own or codes)]
    prefetch_related_objects(wanted, "measurements")
    plans = list(newest_plans(patient))
    weight = facts.person.weight_kg
    return Looked(
        patient=patient,
        plans=plans,
        facts=facts,
        resume=_resume(resume_of(plans[0])) if plans else FROM_THE_START,
        clinic=limits_in_force(),
        own=[
            Offered(
                code=f"own-{place}",
                known=known_plate(plate),
                row=None,
                renewed=_renewed(plate, rows, weight),
            )
            for place, plate in enumerate(own)
        ],
        others=[
            Offered(
                code=_code(row),
                known=actions.known(row, weight)
                if row in wanted
                else known_plate(actions.plate_of(row)),
                row=row,
            )
            for row in rows
        ],
    )


def _renewed(
    plate: Plate, rows: Iterable[ClinicPlate], weight_kg: float | None
) -> tuple[ClinicPlate, Plate] | None:
    for row in rows:
        if (now := actions.renewed(plate, row, weight_kg)) is not None:
            return row, now
    return None


def _code(row: ClinicPlate) -> str:
    return f"clinic-{row.pk}"


def _resume(resume: Resume) -> Resume:
    """Return where she is, but for the plate: each one is looked at from its start."""
    done = dict(resume.done_weeks)
    done.pop(Modality.PLATE, None)
    return replace(resume, done_weeks=done)


# --- Fit ------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Judged:
    """One plate judged, with its map."""

    offered: Offered
    sheet: PlateSheet
    drawn: SafeString
    rows: Sequence[DoseMapRow]

    @property
    def uses(self) -> list[dict[str, Any]]:
        """Return what it is fit for, each with the word and the sign of its verdict."""
        return _verdicts(self.sheet)

    @property
    def allowed(self) -> list[tuple[str, tuple[str, ...]]]:
        """Return what may be set next, the weeks with the same answer taken together."""
        found = groupby(self.sheet.stays, key=lambda stay: stay.allowed)
        return [(_weeks(list(stays)), allowed) for allowed, stays in found]


def _weeks(stays: Sequence[Stay]) -> str:
    first, last = stays[0].first, stays[-1].last
    return f"{first}" if first == last else f"{first} to {last}"


def judged(offered: Offered, who: Person) -> Judged:
    """Judge a plate and draw its map."""
    sheet = plate_sheet(offered.known, who)
    held: dict[str, Any] = {"cap_g": who.cap_g, "clinic": who.clinic}
    title = f"Dose map of {offered.name}: frequency against displacement, with limits and ramp"
    return Judged(
        offered=offered,
        sheet=sheet,
        # Every text in it was escaped where it was written (dose_map.frame.element).
        drawn=mark_safe(
            dose_map_svg(sheet.fit, sheet.steps, title=title, **held, nominal=_panel(offered))
        ),
        rows=dose_map_rows(sheet.fit, sheet.steps, **held),
    )


def _panel(offered: Offered) -> Plate | None:
    """Return the plate as its panel says, where something else was measured."""
    return offered.known.nominal if offered.known.is_measured else None


@require_GET
def fit(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show for each of her plates, and those of the clinic that are ticked, what it is fit for."""
    return _fit_page(request, get_object_or_404(Patient, pk=patient_id))


def _fit_page(request: HttpRequest, patient: Patient, *, refused: str = "") -> HttpResponse:
    ticked = [code for code in request.GET.getlist("clinic") if code.startswith("clinic-")]
    try:
        looked = _look(patient, ticked)
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction, step="plates")
    screened = screen(looked.facts, lifted=looked.resume.lifted)
    who = person(screened, looked.resume, looked.clinic)
    seen = [*looked.own, *looked.chosen(ticked)]
    return patient_page(
        request,
        "programs/plates/fit.html",
        looked.patient,
        step="plates",
        status=422 if refused else 200,
        refused=refused,
        looked=looked,
        facts_today=looked.facts,
        plans_known=looked.plans,
        ticked=ticked,
        judged=[judged(one, who) for one in seen],
        who=who,
        bars=_bars(who.findings),
        bone_dose_note=BONE_DOSE_NOTE,
        nominal_note=NOMINAL_NOTE,
        nominal_source=NOMINAL_SOURCE,
        eu=EU,
    )


def _bars(findings: Iterable[Any]) -> list[dict[str, Any]]:
    return [{"word": LEVEL_WORDS[one.level], "finding": one} for one in findings]


@require_POST
def fit_copy(request: HttpRequest, patient_id: int, plate_id: int) -> HttpResponse:
    """Put a plate of the clinic on the list of her own."""
    patient = get_object_or_404(Patient, pk=patient_id)
    row = get_object_or_404(ClinicPlate, pk=plate_id, retired_at=None)
    try:
        plate = actions.copy_to_patient(
            row=row,
            patient=patient,
            as_of=today(),
            by=signed_in(request),
            at=timezone.now(),
            renew="renew" in request.POST,
            token=sent_token(request),
        )
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction, step="plates")
    except (Refused, Conflict) as refused:
        return _fit_page(request, patient, refused=str(refused))
    messages.success(request, f"On the list of plates now: {plate.name}.")
    return redirect("programs:fit", patient.pk)


# --- Worth it? ------------------------------------------------------------------------------


@require_GET
def appraisal(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Lay plates out for a person side by side, on one page."""
    patient = get_object_or_404(Patient.objects.annotate(currency=CURRENCY), pk=patient_id)
    asked = request.GET.getlist("plate")
    try:
        looked = _look(patient, asked)
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction, step="plates")
    usual = looked.own or looked.others
    chosen = (looked.chosen(asked) if asked else list(usual))[:MOST_SIDE_BY_SIDE]
    made = appraise(
        looked.facts,
        [one.known for one in chosen],
        resume=looked.resume,
        clinic=looked.clinic,
    )
    cases = [
        {
            "offered": one,
            "case": case,
            "judged": _verdicts(case.sheet),
            "found": [case.found(aim.aim) for aim in made.aims],
        }
        for one, case in zip(chosen, made.cases, strict=True)
    ]
    return patient_page(
        request,
        "programs/plates/appraisal.html",
        patient,
        step="plates",
        looked=looked,
        facts_today=looked.facts,
        plans_known=looked.plans,
        chosen=[one.code for one in chosen],
        most=MOST_SIDE_BY_SIDE,
        made=made,
        cases=cases,
        bars=_bars(made.bars),
        is_full=len(made.aims) + len(made.cases) + len(made.bars) / 2 > FULL_SHEET,
        modalities=[_row(made, modality) for modality in made.modalities],
        left_out=any(one.left_out for one in (made.without, *(c.program for c in made.cases))),
        nominal_note=NOMINAL_NOTE,
        bone_dose_note=BONE_DOSE_NOTE,
        currency=vars(patient)["currency"],
    )


def _verdicts(sheet: PlateSheet) -> list[dict[str, Any]]:
    return [
        {"level": FIT_WORDS[use.fit][0], "word": FIT_WORDS[use.fit][1], "use": use}
        for use in sheet.uses
    ]


def _row(made: Any, modality: Modality) -> dict[str, Any]:
    """Return one modality's minutes: without a plate, then with each."""
    programs = (made.without, *(case.program for case in made.cases))
    return {"name": str(modality), "minutes": [p.minutes[modality].words for p in programs]}
