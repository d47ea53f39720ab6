"""Each program signed before there were states has its own after the migration, row by row."""

from __future__ import annotations

import datetime as dt
from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.utils import timezone

from patients.models.patient import Patient
from programs.actions.program_state import state_of
from programs.models.program import Plan, SignedPlan
from programs.models.program_state import ProgramState
from tests.programs import rows

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("on_the_first_day")]
MIGRATION = import_module("programs.migrations.0011_states_of_signed_programs")


def signed(by: User, of: Patient | None = None, version: int = 1, weeks: int = 4) -> SignedPlan:
    """Return a program that began so many weeks ago."""
    begun = timezone.localdate() - dt.timedelta(weeks=weeks)
    patient = of or rows.patient(by)
    plan = rows.plan(patient, by, version=version, starts_on=begun, state=Plan.SIGNED)
    return rows.without_state(plan, by)


def reviewed(of: SignedPlan, by: User, hours: int = 0, **chosen: str) -> None:
    decided = {name: {"chosen": what} for name, what in chosen.items()}
    at = rows.AT + dt.timedelta(hours=hours)
    rows.review(of, by, decision={"modalities": decided}, at=at)


def states(of: SignedPlan) -> list[Any]:
    found = ProgramState.objects.filter(signed=of).order_by("pk")
    return [f"{row.state} {row.modality}".strip() for row in found]


def test_every_program_has_a_state(clinician: User) -> None:
    running = signed(clinician)
    over, just_over, last_day = (signed(clinician, weeks=n) for n in (40, 30, 29))
    older = signed(clinician)
    newer = signed(clinician, older.patient, version=2)
    newest = signed(clinician, older.patient, version=3)
    stopped, partly, once = signed(clinician), signed(clinician), signed(clinician)
    reviewed(stopped, clinician, plate="stop", balance="stop")
    reviewed(partly, clinician, plate="stop", balance="hold")
    reviewed(once, clinician, plate="stop", balance="stop")
    reviewed(once, clinician, hours=1, plate="hold", balance="hold")
    nothing_decided = signed(clinician)
    rows.review(nothing_decided, clinician)

    MIGRATION.forwards(apps, None)

    assert states(running) == states(last_day) == ["in force"]
    assert states(over) == states(just_over) == ["in force"]
    day = timezone.localdate()
    assert state_of(over, day).state == state_of(just_over, day).state == ProgramState.ENDED
    assert state_of(last_day, day).in_force
    assert states(older) == states(newer) == ["in force", "replaced"]
    assert states(newest) == ["in force"]
    assert states(stopped) == ["in force", "stopped"]
    assert states(partly) == ["in force", "stopped plate"]
    assert states(once) == states(nothing_decided) == ["in force"]
    assert not SignedPlan.objects.exclude(states__state=ProgramState.IN_FORCE).exists()


def test_each_row_says_who_when_and_why(clinician: User) -> None:
    first = signed(clinician)
    second = signed(clinician, first.patient, version=2, weeks=40)
    MIGRATION.forwards(apps, None)
    begun, replaced = ProgramState.objects.filter(signed=first).order_by("pk")
    assert (begun.by, begun.at) == (clinician, first.signed_at)
    assert (replaced.by, replaced.at) == (clinician, second.signed_at)
    assert replaced.why == "Version 2 was signed."
