"""Two tabs, two people: whose page it is, and what the second to save sees."""

import pytest
from django.utils import timezone

from patients.models.patient import Assessment, Audit
from patients.rows_to_facts import facts_of
from tests.factories import PatientFactory, ScanFactory
from tests.patients.pages import Inputs, filled, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.database]
WHO = {"given_name": "Ann", "family_name": "Fictional", "born": "1950-01-01", "sex": "female"}


@pytest.fixture
def patient():
    return PatientFactory()


def test_c09_a_form_of_another_patient_changes_nobody(signed_in, patient):
    other = PatientFactory()
    page = url("section", patient.pk, "falls")
    sent = filled(signed_in, page, **{"falls-last_12_months": "3"})
    signed_in.get(url("facts", other.pk))  # another tab, the other patient
    wrong = signed_in.post(url("section", other.pk, "falls"), sent)
    assert wrong.status_code == 409
    assert "belongs to another patient" in text_of(wrong)
    assert not Assessment.objects.exists()
    signed_in.post(page, sent)
    assert [a.patient_id for a in Assessment.objects.all()] == [patient.pk]


@pytest.mark.parametrize("name", ["change", "withdraw"])
def test_c09_holds_for_every_form(signed_in, name):
    row = ScanFactory()
    args = (row.patient_id,) if name == "change" else (row.patient_id, "scan", row.pk)
    response = signed_in.post(url(name, *args), WHO | {"reason": "x", "patient": "0"})
    assert response.status_code == 409
    assert not Audit.objects.exists()


def test_c09_a_row_of_another_patient_is_not_found(signed_in, patient):
    row = ScanFactory()
    assert signed_in.get(url("withdraw", patient.pk, "scan", row.pk)).status_code == 404
    page = url("section", patient.pk, "scans")
    assert signed_in.get(page, {"corrects": f"scan-{row.pk}"}).status_code == 404


def test_d06_the_second_saver_sees_both_and_may_choose(signed_in, patient):
    page = url("section", patient.pk, "falls")
    mine = filled(signed_in, page, **{"falls-last_12_months": "2"})
    theirs = filled(signed_in, page, **{"falls-last_12_months": "5"})
    signed_in.post(page, theirs)
    response = signed_in.post(page, mine)
    html = text_of(response)
    assert response.status_code == 409
    assert "<td>5</td><td>2</td>" in html
    assert facts_of(patient, timezone.localdate()).falls.last_12_months == 5
    assert signed_in.post(page, Inputs(html).sent).status_code == 302
    assert facts_of(patient, timezone.localdate()).falls.last_12_months == 2


def test_d06_a_name_changed_by_two(signed_in, patient):
    page = url("change", patient.pk)
    mine = filled(signed_in, page, family_name="Mine")
    theirs = filled(signed_in, page, family_name="Theirs")
    assert signed_in.post(page, theirs).status_code == 302
    response = signed_in.post(page, mine)
    assert response.status_code == 409
    assert "<td>Theirs</td><td>Mine</td>" in text_of(response)
    signed_in.post(page, Inputs(text_of(response)).sent)
    patient.refresh_from_db()
    assert (patient.family_name, patient.version) == ("Mine", 3)
