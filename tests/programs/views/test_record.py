"""The record to be read: asked for by person, patient, day and action, page by page, as a file."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients import audit
from patients.looks import Seen, keep_look
from patients.models.looks import PAGE, Look
from patients.models.patient import Audit, FractureRow, Patient
from patients.record_lines import Asked, changes, kind_of, lines_of
from tests.factories import MOMENT, UserFactory
from tests.patients.pages import filled, text_of
from tests.programs import reviews, rows
from tests.programs.rows import DAY

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def page(client: Client, **asked: Any) -> str:
    return text_of(client.get(reverse("programs:clinic_record"), asked))


def told(by: User, on: Any, at: dt.datetime = MOMENT, **more: Any) -> Audit:
    with audit.writing():
        return audit.record(**{"by": by, "at": at, "action": "act", "on": on} | more)


@pytest.fixture
def patient(clinician: User) -> Patient:
    return rows.patient(clinician)


def test_l05_first_values_and_a_change_both_with_their_values(signed_in: Client) -> None:
    new = reverse("patients:new")
    who = {"given_name": "Orla", "family_name": "Firstname", "born": "1959", "sex": "female"}
    signed_in.post(new, filled(signed_in, new) | who)
    her = Patient.objects.get()
    change = reverse("patients:change", args=[her.pk])
    signed_in.post(change, filled(signed_in, change) | {"family_name": "Secondname"})
    html = page(signed_in)
    assert "Add patient" in html
    assert "<ins>Firstname</ins>" in html
    assert "<del>Firstname</del> <ins>Secondname</ins>" in html


def test_l03_a_day_is_the_clinics_own(signed_in: Client, patient: Patient, settings: Any) -> None:
    """Half past midnight in Madrid is still the day before in Greenwich."""
    settings.TIME_ZONE = "Europe/Madrid"
    late = dt.datetime(2026, 6, 9, 22, 30, tzinfo=dt.UTC)
    told(patient.created_by, patient, late, action="at half past midnight")
    assert "At half past midnight" in page(signed_in, day="2026-06-10")
    assert "At half past midnight" not in page(signed_in, day="2026-06-09").split("<tbody>")[-1]
    line = Audit.objects.get(action="at half past midnight")
    assert line.at.astimezone(dt.UTC).isoformat() == "2026-06-09T22:30:00+00:00"
    assert "10 Jun 2026, 00:30:00" in page(signed_in)


def test_by_person_and_action(signed_in: Client, patient: Patient) -> None:
    other = UserFactory(first_name="Ida", last_name="Other")
    told(patient.created_by, patient, action="first act")
    told(other, patient, action="second act")
    body = page(signed_in, person=other.pk).split("<tbody>")[1]
    assert "Second act" in body
    assert "First act" not in body
    body = page(signed_in, action="first act").split("<tbody>")[1]
    assert "First act" in body
    assert "Second act" not in body
    assert page(signed_in, person="x").count("Lines of the record") == 0


def test_what_is_told_of_a_patient_is_of_all_her_rows(clinician: User) -> None:
    signed = reviews.signed(clinician)
    other = rows.recorded(clinician)
    paper = rows.handout(signed)
    row = FractureRow.objects.filter(patient=signed.patient).first()
    for on in (paper, row, other, signed, signed.plan) if row else (paper, other, signed):
        told(clinician, on, action="act")
    found = lines_of(Asked(patient=signed.patient_id))
    acted = {(line.object_type, line.object_id) for line in found if line.action == "act"}
    assert ("programs.handout", str(paper.pk)) in acted
    assert ("programs.signedplan", str(signed.pk)) in acted
    assert ("patients.patient", str(other.pk)) not in acted
    assert {line.action for line in found} >= {"draft plan", "sign plan"}


def test_pages_follow_each_other_without_a_gap(signed_in: Client, patient: Patient) -> None:
    for number in range(120):
        told(patient.created_by, patient, action=f"act {number}")
    first = page(signed_in)
    assert first.count("<tr><td") == 50
    assert f"before={Audit.objects.count() - 49}" in first
    last = page(signed_in, before=21)
    assert last.count("<tr><td") == 20
    assert "Earlier lines" not in last
    assert "No earlier lines" in page(signed_in, before=1)


def test_looks_stand_in_a_list_of_their_own(signed_in: Client, patient: Patient) -> None:
    signed_in.get(reverse("patients:facts", args=[patient.pk]))
    signed_in.get(reverse("patients:facts", args=[patient.pk + 5]))
    body = page(signed_in, of="looks").split("<tbody>")[1]
    assert "Page: facts" in body
    assert patient.name in body
    assert f"id {patient.pk + 5}, nobody" in body
    refused = page(signed_in, of="looks", action="refused").split("<tbody>")[1]
    assert "Page: facts" not in refused
    hers = page(signed_in, of="looks", patient=patient.pk).split("<tbody>")[1]
    assert "nobody" not in hers


def test_who_reads_the_record_looks_too(signed_in: Client, patient: Patient) -> None:
    page(signed_in, patient=patient.pk)
    line = Look.objects.get()
    assert (line.page, line.what) == ("programs:clinic_record", f'{{"patient":"{patient.pk}"}}')


def test_what_cannot_be_read_is_told_beside_its_field(signed_in: Client) -> None:
    answer = signed_in.get(reverse("programs:clinic_record"), {"day": "soon", "patient": "x"})
    assert answer.status_code == 422
    assert "invalid-feedback" in text_of(answer)
    for asked in ({"day": "9999-12-31"}, {"day": "0001-01-01"}, {"person": "0"}, {"action": "%"}):
        answer = signed_in.get(reverse("programs:clinic_record"), asked)
        assert answer.status_code == 422
    for odd in ("9" * 30, "0"):
        answer = signed_in.get(reverse("programs:clinic_record"), {"patient": odd, "before": odd})
        assert answer.status_code in (200, 422)
    file = signed_in.get(reverse("programs:clinic_record_file"), {"day": "soon"})
    assert file.status_code == 302


def test_the_file_holds_all_lines_and_no_formula(signed_in: Client, patient: Patient) -> None:
    told(patient.created_by, patient, reason="=HYPERLINK(1)", new={"value": "+1"})
    answer = signed_in.get(reverse("programs:clinic_record_file"))
    text = b"".join(answer.streaming_content).decode("utf-8-sig")  # type: ignore[attr-defined]
    assert text.startswith("line,at (UTC),by,action,of,old,new,reason,from\r\n")
    assert text.count("\r\n") == 1 + Audit.objects.count()
    assert "'=HYPERLINK(1)" in text
    looks = signed_in.get(reverse("programs:clinic_record_file"), {"of": "looks"})
    text = b"".join(looks.streaming_content).decode("utf-8-sig")  # type: ignore[attr-defined]
    assert "export,programs:clinic_record_file" in text


def test_a_line_changed_past_the_app_is_shown_as_it_is(patient: Patient) -> None:
    line = told(patient.created_by, patient, new={"a_b": [1], "c": None})
    assert [(one.name, one.old, one.new) for one in changes(line)] == [("a b", "", "1")]
    line.new = '{"falls": {"last_12_months": 1, "seen_by": [], "blackout": null, "injury": true}}'
    told_of = "last 12 months: 1; seen by: none; blackout: not recorded; injury: yes"
    assert [(one.name, one.new) for one in changes(line)] == [("falls", told_of)]
    line.new, line.object_type = "{broken", "gone.table"
    assert [one.new for one in changes(line)] == ["{broken"]
    assert kind_of(line) == f"gone.table {patient.pk}"
    line.new, line.object_type = '"' + "x" * 2000 + '"', "odd"
    assert len(changes(line)[0].new) < 1100
    assert kind_of(line).startswith("odd")


def test_an_empty_record_says_so(signed_in: Client) -> None:
    assert "No line matches" in page(signed_in)


def test_few_queries(
    signed_in: Client, patient: Patient, django_assert_max_num_queries: Any
) -> None:
    for number in range(60):
        told(patient.created_by, patient, action=f"act {number}")
        seen = Seen(patient_number=patient.pk, kind=PAGE, page="x:y", what={}, status=200)
        keep_look(seen, by=patient.created_by, at=MOMENT)
    asks: tuple[dict[str, Any], ...] = (
        {},
        {"patient": patient.pk},
        {"of": "looks"},
        {"day": DAY.isoformat()},
    )
    for asked in asks:
        with django_assert_max_num_queries(12):
            page(signed_in, **asked)
