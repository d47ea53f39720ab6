"""What is typed and not saved: kept for its writer, for thirty days, and for no rule."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients.actions.refusals import Refused
from patients.actions.unfinished import (
    KEPT_DAYS,
    MOST_LETTERS,
    drop_unfinished,
    keep_unfinished,
    read_typed,
    unfinished_of,
)
from patients.models.patient import Audit, Patient
from patients.models.unfinished import UnfinishedForm
from patients.rows_to_facts import facts_of
from patients.staff.rights import Role
from programs.actions.erasing import erase_person
from programs.actions.person_export import everything_kept
from tests.factories import PatientFactory
from tests.programs.rows import AT, DAY
from tests.staff import person_of

pytestmark = pytest.mark.django_db
PAGE = "/patients/{}/facts/about/"


def one(was: str = "", now: str = "163") -> dict[str, Any]:
    return {"about-height_cm": {"was": [was], "now": [now]}}


def kept(patient: Patient, by: User, at: dt.datetime = AT, **more: Any) -> UnfinishedForm:
    told = {"page": PAGE.format(patient.pk), "title": "Size", "made_from": "7", "typed": one()}
    return keep_unfinished(patient=patient, by=by, at=at, **told | more)


@pytest.fixture
def patient(db: None) -> Patient:
    made: Patient = PatientFactory()
    return made


def test_it_is_kept_anew_at_its_page_and_stays_of_the_version_it_was_begun_on(
    patient: Patient, clinician: User
) -> None:
    """Case D09: what comes back belongs to what it was typed into, and knows which version."""
    kept(patient, clinician)
    later = AT + dt.timedelta(days=1)
    kept(patient, clinician, later, made_from="8", typed=one("165", "163.5"))
    row = UnfinishedForm.objects.get()
    assert row.made_from == "7"
    assert row.typed == one("", "163.5")
    assert (row.begun_at, row.kept_at) == (AT, later)


def test_put_back_into_its_page_it_is_made_from_that(patient: Patient, clinician: User) -> None:
    """In one step: between letting go and keeping again, a crash would lose what was typed."""
    kept(patient, clinician)
    now = kept(patient, clinician, made_from="8", typed=one("165", "163.5"), anew=True)
    assert UnfinishedForm.objects.get() == now
    assert now.made_from == "8"
    assert now.typed == one("165", "163.5")


def test_its_writer_alone_has_it(patient: Patient, clinician: User) -> None:
    other = person_of(Role.CLINICIAN, username="a.berg")
    kept(patient, clinician)
    kept(patient, other, typed=one(now="170"))
    assert [row.typed for row in unfinished_of(clinician, AT)] == [one()]
    drop_unfinished(patient_id=patient.pk, page=PAGE.format(patient.pk), by=clinician)
    assert [row.by for row in UnfinishedForm.objects.all()] == [other]


def test_it_is_gone_after_thirty_days(patient: Patient, clinician: User) -> None:
    kept(patient, clinician)
    for days, there in ((KEPT_DAYS, 1), (KEPT_DAYS + 1, 0)):
        assert unfinished_of(clinician, AT + dt.timedelta(days=days)).count() == there
    kept(patient, clinician, AT + dt.timedelta(days=KEPT_DAYS), page=PAGE.format(patient.pk) + "?x")
    assert UnfinishedForm.objects.count() == 2
    kept(patient, clinician, AT + dt.timedelta(days=KEPT_DAYS, seconds=1), page="/patients/")
    assert UnfinishedForm.objects.filter(page=PAGE.format(patient.pk)).count() == 0


def test_it_is_no_fact_and_no_line_of_the_record(patient: Patient, clinician: User) -> None:
    before, lines = facts_of(patient, DAY), Audit.objects.count()
    kept(patient, clinician)
    assert facts_of(patient, DAY) == before
    assert Audit.objects.count() == lines


def test_no_password_and_nothing_that_is_no_form_is_kept(patient: Patient) -> None:
    assert read_typed({"password": {"was": [], "now": ["secret"]}} | one()) == one()
    too_much = {"a": {"was": [], "now": ["x" * MOST_LETTERS]}}
    many = {str(n): {"was": [], "now": []} for n in range(5000)}
    for wrong in ([], "x", None, {"a": "x"}, {"a": {"was": [], "now": [1]}}, too_much, many):
        with pytest.raises(Refused):
            read_typed(wrong)
    strange = {"a": {"was": [], "now": ["\x00\ud800é"]}}
    assert read_typed(strange) == strange


def test_it_goes_with_her_and_is_taken_along(patient: Patient, clinician: User) -> None:
    """Part of the export of everything kept, and of an erasure by law."""
    kept(patient, clinician)
    assert [row["title"] for row in everything_kept(patient)["tables"]["typed_and_not_saved"]] == [
        "Size"
    ]
    erase_person(patient=patient, why="She asks for it", by=clinician, at=AT)
    assert not UnfinishedForm.objects.exists()
