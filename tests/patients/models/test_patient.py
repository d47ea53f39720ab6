"""Rows: what is kept comes back as it was."""

import datetime as dt
from decimal import Decimal

import pytest
from django.utils import timezone

from patients.models.patient import KINDS, Patient
from patients.names import alike
from tests.factories import (
    FractureFactory,
    FunctionTestDayFactory,
    LiftFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
)

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("zone", ["Etc/GMT+8", "Etc/GMT-13", "UTC", "Asia/Kolkata"])
def test_a05_a_date_of_birth_stays_in_every_zone(zone, settings):
    settings.TIME_ZONE = zone
    with timezone.override(zone):
        patient = PatientFactory(born=dt.date(1950, 1, 1))
        for _ in range(3):
            patient = Patient.objects.get(pk=patient.pk)
            patient.save()
        assert Patient.objects.get(pk=patient.pk).born == dt.date(1950, 1, 1)


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Fictional", "Fictionel", True),
        ("O'Grady", "OGrady", True),
        ("Fictional", "Example", False),
    ],
)
def test_likeness(one, other, same):
    assert alike(one, other) is same


@pytest.mark.parametrize(
    "factory",
    [ScanFactory, FractureFactory, MarkerFactory, FunctionTestDayFactory, LiftFactory],
)
def test_b07_every_value_of_a_row_comes_back_under_its_own_name(factory):
    row = factory()
    fact = type(row).objects.get(pk=row.pk).fact()
    again = type(row).from_fact(fact, patient=row.patient, entered_by=row.entered_by)
    again.entered_at = row.entered_at
    again.save()
    assert type(row).objects.get(pk=again.pk).fact() == fact == row.fact()


def test_b09_nought_is_kept_and_blank_stays_blank():
    row = FunctionTestDayFactory(chair_stands_30s=0, up_and_go_s=None, tandem_s=Decimal("0.0"))
    row.refresh_from_db()
    fact = row.fact()
    assert (fact.chair_stands_30s, fact.tandem_s, fact.up_and_go_s) == (0, 0.0, None)


def test_density_keeps_three_decimals_as_written():
    row = ScanFactory(bmd_g_cm2=Decimal("0.681"))
    row.refresh_from_db()
    assert row.fact().bmd_g_cm2 == 0.681


def test_the_day_of_a_row_is_its_own():
    assert LiftFactory().day == dt.date(2026, 3, 2)
    assert FractureFactory(date=None).day is None
    assert set(KINDS) == {"size", "fracture", "scan", "marker", "tests", "lift"}
