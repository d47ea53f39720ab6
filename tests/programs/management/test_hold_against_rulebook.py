"""The command that holds what an older rulebook signed against today's: all of it, once."""

import io
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.utils import timezone

from programs.models.rulebook_check import RulebookCheck
from safety.rules.all_rules import RULEBOOK
from tests.programs import older

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def told(**options: Any) -> str:
    out = io.StringIO()
    call_command("hold_against_rulebook", stdout=out, **options)
    return out.getvalue()


def test_all_are_held_in_batches_and_what_differs_is_told(clinician: User) -> None:
    signed = [older.signed(clinician, timezone.localdate()) for _ in range(3)]
    said = told(at_once=2)
    assert f"Patient {signed[0].patient_id}, version 1:" in said
    assert "Resistance, weeks" in said
    assert f"Held against rulebook {RULEBOOK}: 3. To look at again: 3." in said
    assert RulebookCheck.objects.filter(by=None).count() == 3


def test_a_second_time_nothing_is_held_again(clinician: User) -> None:
    older.signed(clinician, timezone.localdate())
    told()
    assert told(at_once=0) == f"Held against rulebook {RULEBOOK}: 0. To look at again: 0.\n"
    assert RulebookCheck.objects.count() == 1


def test_one_that_tells_nothing_above_is_held_and_not_named(clinician: User) -> None:
    older.signed(clinician, timezone.localdate(), weeks=[])
    assert told() == f"Held against rulebook {RULEBOOK}: 1. To look at again: 0.\n"
