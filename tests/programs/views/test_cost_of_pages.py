"""What each page of a consult costs: its queries, each by an index, and the size of its HTML."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from patients.models.patient import Patient
from programs.models.program import Plan
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, sign

pytestmark = pytest.mark.long

#: Session, account, rights, the patient, and two of the look: what any page of hers asks.
DOOR = 6
OWN = 8
MOST_BYTES = 100_000
PAGES = (
    "patients:facts",
    "patients:measures",
    "safety:screen",
    "safety:risk",
    "programs:consult",
    "programs:plan",
    "programs:fits",
    "programs:what_if",
    "programs:sign",
    "programs:handout",
    "programs:log",
    "programs:review",
    "programs:timeline",
    "programs:beside",
    "programs:fit",
    "programs:appraisal",
    "programs:why balance",
)
#: What only an open draft has.
OF_A_DRAFT = ("programs:plan_edit balance",)
#: Tables of a handful of rows, which the clinic sets: read whole.
SMALL = (
    *("programs_clinicdetails", "programs_clinicplate", "programs_emergencynumber"),
    *("programs_limitchange", "programs_paperlanguage", "patients_precisionstudy"),
    "patients_markererror",
)


@pytest.fixture
def patient(clinician: User) -> Patient:
    """Somebody with a precaution."""
    return rows.recorded(clinician, document(conditions={"chronic_back_pain": "yes"}))


@pytest.fixture(params=["draft", "signed"])
def plan(patient: Patient, clinician: User, request: Any) -> Plan:
    """Her program, open and signed."""
    made = drafted(patient, clinician)
    if request.param == "signed":
        sign(made, clinician)
    return made


@pytest.mark.parametrize("page", PAGES)
def test_a_page_asks_little_by_an_index_and_is_small(
    signed_in: Client, plan: Plan, page: str
) -> None:
    costs_little(signed_in, plan, page)


@pytest.mark.parametrize("page", OF_A_DRAFT)
def test_a_page_of_a_draft_does_too(
    signed_in: Client, patient: Patient, clinician: User, page: str
) -> None:
    costs_little(signed_in, drafted(patient, clinician), page)


def costs_little(signed_in: Client, plan: Plan, page: str) -> None:
    """Check a page that was opened once before."""
    address = address_of(page, plan)
    signed_in.get(address)
    with CaptureQueriesContext(connection) as asked:
        answer = signed_in.get(address)
    told = [query["sql"] for query in asked.captured_queries]
    assert answer.status_code == 200
    assert len(told) <= DOOR + OWN, "\n".join(one[:200] for one in told)
    assert len(answer.content) <= MOST_BYTES
    assert [found for one in asked.captured_queries for found in whole_tables(one["sql"])] == []


def address_of(page: str, plan: Plan) -> str:
    """Return the address of a page; a kind of loading may stand behind its name."""
    name, *kind = page.split()
    return reverse(name, args=[plan.patient_id, *kind])


def test_a_reading_of_a_whole_table_is_noticed(patient: Patient) -> None:
    assert list(whole_tables("SELECT * FROM patients_audit WHERE reason = 'x'"))
    assert not list(whole_tables(f"SELECT * FROM patients_patient WHERE id = {patient.pk}"))


def whole_tables(sql: str) -> Iterator[str]:
    """Yield each step of a query that goes through a table from end to end."""
    if connection.vendor != "sqlite" or not sql.startswith("SELECT"):
        return
    with connection.cursor() as cursor:
        # The text is as the database got it, its values laid in: nothing of it is a parameter.
        steps = cursor.connection.execute(f"EXPLAIN QUERY PLAN {sql}").fetchall()
    for step in steps:
        said = _SCAN.match(step[3])
        if said and said[1] not in SMALL and not _is_end_of_an_index(step[3], sql):
            yield f"{step[3]}: {sql[:200]}"


def _is_end_of_an_index(step: str, sql: str) -> bool:
    """Tell whether an index is followed in its order and left after the first row or two."""
    return " USING " in step and " WHERE " not in sql and sql.endswith(" LIMIT 1")


#: "SCAN patients_audit"; a subquery or a constant row is no table.
_SCAN = re.compile(r"SCAN ((?:patients|programs|safety|auth|django)_\w+)")
