"""Rows of several tables in one query are the rows that each table would give."""

import datetime as dt
from decimal import Decimal

import pytest

from patients.models.patient import KINDS
from patients.rows_at_once import rows_at_once
from tests.factories import (
    FractureFactory,
    FunctionTestDayFactory,
    LiftFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def patient():
    """A person with rows of each kind, and with what is hard to read back."""
    her = PatientFactory()
    SizeFactory(patient=her, weight_kg=None)
    SizeFactory(patient=her, withdrawn=True, weight_kg=Decimal("60.0"))
    FractureFactory(patient=her, date=None, low_trauma=None, healed=False)
    FractureFactory(patient=her, date=dt.date(2024, 2, 29))
    ScanFactory(patient=her, scanner=None, t=Decimal("-2.0"), bmd_g_cm2=Decimal("1.100"))
    ScanFactory(patient=her, scanner='O’Brien’s "old" one\\; \n ñ')
    MarkerFactory(patient=her, value=Decimal("0.45"))
    FunctionTestDayFactory(patient=her, unable=["tandem_s"], standing_bp=None, worry=None)
    FunctionTestDayFactory(patient=her, unable=[], resting_bp=None)
    LiftFactory(patient=her, on=None)
    return her


def test_each_column_is_as_its_table_gives_it(patient, django_assert_num_queries):
    wanted = {code: kind.objects.filter(patient=patient) for code, kind in KINDS.items()}
    with django_assert_num_queries(1):
        found = rows_at_once(wanted)
    for code, kind in KINDS.items():
        alone = [*kind.objects.filter(patient=patient).order_by("pk")]
        assert alone, code
        assert list(map(columns, found[code])) == list(map(columns, alone))
        assert found[code] == alone
        assert not any(row._state.adding for row in found[code])


def columns(row):
    """Return each column with its text, which tells 2.10 from 2.1 and a moment of another zone."""
    held = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    return {name: (type(value), str(value)) for name, value in held.items()}


def test_of_one_kind_and_of_none(patient):
    sizes = {"size": KINDS["size"].objects.filter(patient=patient)}
    assert [row.date for row in rows_at_once(sizes)["size"]] != []
    assert rows_at_once({}) == {}
    assert rows_at_once({"size": KINDS["size"].objects.none()}) == {"size": []}
