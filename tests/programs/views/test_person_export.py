"""The page of everything kept: it says what that is, gives it, and lists who took it."""

from __future__ import annotations

import io
import json
import zipfile
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.http import FileResponse
from django.test import Client
from django.urls import reverse

from patients.actions.closing import close_record
from patients.models.finding import JOINED, Findable
from patients.models.patient import Patient
from patients.models.standing import Join
from programs.actions import person_export
from programs.actions.person_export import exports_of
from programs.actions.printing import PaperRefused
from programs.export.fhir.bundle import LEFT_OUT
from programs.export.tables import MADE_ANEW, TABLES
from tests.patients.pages import text_of
from tests.programs import rows
from tests.programs.rows import AT, DAY


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(person_export, "pdf", lambda *told, **how: b"%PDF")


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.patient(clinician)


def page(of: Patient) -> str:
    return reverse("programs:everything_kept", args=[of.pk])


def file(of: Patient) -> str:
    return reverse("programs:person_export", args=[of.pk])


def taken(client: Client, of: Patient) -> dict[str, bytes]:
    answer = client.get(file(of))
    assert isinstance(answer, FileResponse)
    with zipfile.ZipFile(io.BytesIO(answer.getvalue())) as held:
        return {name: held.read(name) for name in held.namelist()}


def test_the_page_says_what_is_in_it_and_what_is_not(signed_in: Client, patient: Patient) -> None:
    said = text_of(signed_in.get(page(patient)))
    for table in TABLES:
        assert f"<code>{table.key}</code>" in said
        assert table.words in said
    assert [why for why in (*MADE_ANEW.values(), *LEFT_OUT) if why not in said] == []
    assert f'href="{file(patient)}"' in said
    assert "Never." in said


def test_the_facts_lead_to_it(signed_in: Client, patient: Patient, clinician: User) -> None:
    facts = reverse("patients:facts", args=[patient.pk])
    assert page(patient) in text_of(signed_in.get(facts))
    close_record(patient=patient, what="moved", on=DAY, by=clinician, at=AT)
    assert page(patient) in text_of(signed_in.get(facts))
    assert json.loads(taken(signed_in, patient)["person.json"])["tables"]["closings"]


def test_the_file_is_named_by_the_id_and_told_on_the_page(
    signed_in: Client, patient: Patient
) -> None:
    answer = signed_in.get(file(patient))
    assert isinstance(answer, FileResponse)
    # Read to its end, it closes its file.
    assert answer.getvalue()
    assert answer["Content-Disposition"] == f'attachment; filename="person-{patient.pk}.zip"'
    assert answer["Content-Type"] == "application/zip"
    assert answer["Cache-Control"] == "no-store"
    held = json.loads(taken(signed_in, patient)["person.json"])
    assert held["patient_id"] == patient.pk
    said = text_of(signed_in.get(page(patient)))
    assert said.count("<td>Marta Ferro</td>") == exports_of(patient).count() == 2


@pytest.mark.counted
def test_the_page_of_a_double_leads_on_and_its_file_stays_its_own(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    double = rows.patient(clinician)
    Join.objects.create(double=double, into=patient, reason="Same", by=clinician, at=AT)
    Findable.objects.filter(patient=double).update(state=JOINED)
    assert signed_in.get(page(double))["Location"] == page(patient)
    assert json.loads(taken(signed_in, double)["person.json"])["records"] == [double.pk]


def test_where_it_cannot_be_printed_the_page_says_why(
    signed_in: Client, patient: Patient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*told: Any, **how: Any) -> bytes:
        raise PaperRefused("The paper took too long.")

    monkeypatch.setattr(person_export, "pdf", refused)
    answer = signed_in.get(file(patient), follow=True)
    assert answer.redirect_chain == [(page(patient), 302)]
    assert "The paper took too long." in text_of(answer)


@pytest.mark.parametrize("address", [page, file])
def test_only_who_is_signed_in_sees_it(address: Any, patient: Patient, client: Client) -> None:
    assert client.get(address(patient))["Location"].startswith(reverse("sign_in"))
    assert not exports_of(patient).exists()


@pytest.mark.parametrize("name", ["everything_kept", "person_export"])
def test_of_nobody(signed_in: Client, name: str) -> None:
    assert signed_in.get(reverse(f"programs:{name}", args=[99])).status_code == 404
