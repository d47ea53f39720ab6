"""Rows for the tests of programs: invented people, the least that each row needs."""

import datetime as dt
from itertools import count
from typing import Any

from django.contrib.auth.models import User

from patients.models import Patient
from programs.models import Handout, Plan, PlanEdit, Review, SessionLog, SignedPlan

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
    held = {"on": DAY, "modality": "balance", "done": "all"}
    return SessionLog.objects.create(
        patient=of.patient, signed=of, entered_by=by, entered_at=AT, **held | more
    )


def review(of: SignedPlan, by: User, **more: Any) -> Review:
    """Return a review."""
    held = {"held_on": DAY, "week": 4, "proposal": {}}
    return Review.objects.create(patient=of.patient, signed=of, by=by, at=AT, **held | more)
