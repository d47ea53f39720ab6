"""Rows for the tests of programs: invented people, the least that each row needs."""

import datetime as dt
from copy import deepcopy
from itertools import count
from typing import Any

from django.contrib.auth.models import User

from patients.models import (
    Assessment,
    FractureRow,
    FunctionTestDay,
    LiftSet,
    Patient,
    ScanRow,
    SizeRow,
)
from programs.models import Handout, Plan, PlanEdit, Review, SessionLog, SignedPlan
from tests.people import facts, laid_over, steady_document

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
DAY = dt.date(2026, 3, 2)
_numbers = count(1)


def patient(by: User, **more: Any) -> Patient:
    """Return a saved patient, another one each time."""
    number = next(_numbers)
    who = {
        "record_number": f"T{number:04}",
        "given_name": "Orla",
        "family_name": f"Testwick {number}",
        "born": dt.date(1959, 8, 14),
        "sex": "female",
    }
    return Patient.objects.create(**who | more, created_by=by, created_at=AT)


def plan(of: Patient, by: User, **more: Any) -> Plan:
    """Return a saved plan without weeks."""
    held = {"version": 1, "as_of": DAY, "starts_on": DAY, "facts": {}, "proposed": {}, "weeks": []}
    return Plan.objects.create(patient=of, made_by=by, made_at=AT, **held | more)


def edit(of: Plan, by: User, **more: Any) -> PlanEdit:
    """Return a saved change of a plan."""
    held = {"seq": 1, "first_seq": 1, "week_from": 1, "week_to": 4, "path": "balance.minutes"}
    return PlanEdit.objects.create(plan=of, by=by, at=AT, **held | more)


def signed(of: Plan, by: User, **more: Any) -> SignedPlan:
    """Return a saved signed plan whose digest belongs to no text."""
    number = next(_numbers)
    held = {
        "version": of.version,
        "body": "{}",
        "digest": f"{number:064x}",
        "previous_digest": f"{number + 1_000_000:064x}",
        "signed_name": "Marta Ferro",
        "meaning": "reviewed",
        "signed_at": AT,
        "rulebook": "2026.1",
        "format": 1,
    }
    return SignedPlan.objects.create(plan=of, patient=of.patient, signed_by=by, **held | more)


def handout(of: SignedPlan) -> Handout:
    """Return a saved handout."""
    return Handout.objects.create(
        signed=of,
        kind="handout",
        language="en",
        paper="A4",
        type_pt=16,
        pdf=b"%PDF",
        sha256="0" * 64,
        made_at=AT,
    )


def session(of: SignedPlan, by: User, **more: Any) -> SessionLog:
    """Return a logged session."""
    held = {"on": DAY, "modality": "balance", "done": "all", "entered_at": AT}
    return SessionLog.objects.create(patient=of.patient, signed=of, entered_by=by, **held | more)


def review(of: SignedPlan, by: User, **more: Any) -> Review:
    """Return a review."""
    held = {"held_on": DAY, "week": 4, "proposal": {}, "at": AT}
    return Review.objects.create(patient=of.patient, signed=of, by=by, **held | more)


def recorded(by: User, document: dict[str, Any] | None = None, **more: Any) -> Patient:
    """Return a patient of whom all of a facts/1 document is on record, on its day."""
    document = deepcopy(document or steady_document())
    known = facts(document)
    person = document["person"]
    of = patient(by, born=known.person.born, sex=known.person.sex, **more)
    entered = {"patient": of, "entered_by": by, "entered_at": AT}
    size = {"height_cm": person.pop("height_cm", None), "weight_kg": person.pop("weight_kg", None)}
    SizeRow.objects.create(date=known.as_of, **size, **entered)
    kinds = ((FractureRow, known.fractures), (ScanRow, known.scans), (LiftSet, known.lifts))
    for kind, held in kinds:
        for one in held or ():
            kind.from_fact(one, **entered).save()
    if known.tests:
        FunctionTestDay.from_fact(known.tests, **entered).save()
    for key in ("format", "as_of", "scans", "tests", "lifts"):
        document.pop(key, None)
    if document.get("fractures"):
        document.pop("fractures")
    for key in ("born", "sex"):
        person.pop(key)
    Assessment.objects.create(
        patient=of, as_of=known.as_of, answers=document, section="about", made_by=by, made_at=AT
    )
    return of


def answer(of: Patient, by: User, **changes: Any) -> None:
    """Save other answers of a patient, laid over those that hold."""
    newest = Assessment.objects.filter(patient=of).latest("pk")
    Assessment.objects.create(
        patient=of,
        as_of=newest.as_of,
        answers=laid_over(newest.answers, changes),
        section="about",
        made_by=by,
        made_at=AT,
    )
