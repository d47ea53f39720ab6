"""Rows for the database tests. Everyone here is invented."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import factory
from django.contrib.auth.models import User

from patients.actions.finding import keep_findable
from patients.models import patient as models
from patients.staff.rights import Role
from tests.staff import give_roles

DAY = dt.date(2026, 3, 2)
MOMENT = dt.datetime(2026, 3, 2, 10, 30, tzinfo=dt.UTC)


class UserFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = User

    username = factory.Sequence(lambda n: f"clinician{n}")
    first_name = "Test"
    last_name = factory.Sequence(lambda n: f"Clinician {n}")

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        user = super()._create(model_class, *args, **kwargs)
        give_roles(user, Role.CLINICIAN)
        return user


class PatientFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Patient

    given_name = factory.Sequence(lambda n: f"Fictia{n}")
    family_name = "Examplewoman"
    born = dt.date(1959, 8, 14)
    sex = "female"
    record_number = factory.Sequence(lambda n: f"{n:06d}")
    created_by = factory.SubFactory(UserFactory)
    created_at = MOMENT

    @classmethod
    def _create(cls, model_class, *args, **kwargs):
        patient = super()._create(model_class, *args, **kwargs)
        keep_findable(patient)
        return patient


class MeasuredFactory(factory.django.DjangoModelFactory):
    class Meta:
        abstract = True

    patient = factory.SubFactory(PatientFactory)
    entered_by = factory.SubFactory(UserFactory)
    entered_at = MOMENT

    class Params:
        withdrawn = factory.Trait(
            withdrawn_at=MOMENT,
            withdrawn_by=factory.SubFactory(UserFactory),
            withdrawn_reason="Belongs to another person",
        )


class SizeFactory(MeasuredFactory):
    class Meta:
        model = models.SizeRow

    date = DAY
    height_cm = Decimal("161.5")
    weight_kg = Decimal("58.0")


class FractureFactory(MeasuredFactory):
    class Meta:
        model = models.FractureRow

    site = "wrist"
    date = dt.date(2019, 5, 1)
    low_trauma = True
    healed = True


class ScanFactory(MeasuredFactory):
    class Meta:
        model = models.ScanRow

    date = dt.date(2026, 1, 20)
    site = "total_hip"
    side = "left"
    bmd_g_cm2 = Decimal("0.681")
    t = Decimal("-2.1")
    z = Decimal("-0.6")
    scanner = "A"


class MarkerFactory(MeasuredFactory):
    class Meta:
        model = models.MarkerRow

    date = dt.date(2026, 1, 20)
    marker = "ctx"
    value = Decimal("520")
    unit = "ng/L"
    fasting_morning = True


class FunctionTestDayFactory(MeasuredFactory):
    class Meta:
        model = models.FunctionTestDay

    date = DAY
    up_and_go_s = Decimal("11.2")
    chair_stands_30s = 11
    walk_4m_s = Decimal("4.65")
    resting_bp = [132, 78]


class LiftFactory(MeasuredFactory):
    class Meta:
        model = models.LiftSet

    lift = "leg_press"
    kg = Decimal("60")
    reps = 8
    on = DAY


class AssessmentFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = models.Assessment

    patient = factory.SubFactory(PatientFactory)
    as_of = DAY
    answers = factory.LazyFunction(dict)
    answered = factory.LazyFunction(dict)
    section = "falls"
    made_by = factory.SubFactory(UserFactory)
    made_at = MOMENT
