"""The chain of looks: each look a line, each tampering found, nobody kept waiting."""

import threading
from unittest.mock import Mock

import pytest
from django.contrib.auth.models import AnonymousUser
from django.db import DatabaseError, IntegrityError, connection
from django.test import Client, RequestFactory
from django.urls import ResolverMatch

from patients import audit, looks
from patients.append_only import drop_triggers
from patients.models.looks import EXPORT, PAGE, REFUSED, Look
from patients.views.kept_looks import keep_what_is_refused
from tests.factories import MOMENT, PatientFactory, UserFactory
from tests.patients.pages import text_of, url

pytestmark = [pytest.mark.long, pytest.mark.django_db, pytest.mark.database]
TABLE = ("patients_look",)


def seen(**more):
    told = {"patient_number": 7, "kind": PAGE, "page": "patients:facts", "what": {}, "status": 200}
    return looks.Seen(**told | more)


@pytest.fixture
def patient():
    return PatientFactory()


@pytest.fixture
def lines():
    """Eight lines, with the triggers out of the way, as for someone who owns the file."""
    by = UserFactory()
    made = [looks.keep_look(seen(patient_number=n), by=by, at=MOMENT) for n in range(8)]
    drop_triggers(connection.schema_editor(), TABLE)
    return made


def test_an_untouched_chain_verifies(lines):
    assert looks.verify_looks() is None
    assert looks.head_of_looks() == (8, lines[-1].hash)


def test_an_empty_chain_verifies():
    assert looks.verify_looks() is None
    assert looks.head_of_looks() == (0, "0" * 64)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        *(("actor_name", "x"), ("patient_number", 99), ("kind", EXPORT), ("page", "x")),
        *(("what", "{}x"), ("status", 404), ("source_address", "192.0.2.1")),
    ],
)
def test_one_changed_field_is_found_at_its_line(lines, field, value):
    for line in (lines[0], lines[4], lines[7]):
        kept = getattr(line, field)
        Look.objects.filter(pk=line.pk).update(**{field: value})
        assert looks.verify_looks().seq == line.seq
        Look.objects.filter(pk=line.pk).update(**{field: kept})
    assert looks.verify_looks() is None


def test_a_missing_line_is_found(lines):
    Look.objects.filter(pk=4).delete()
    assert looks.verify_looks() == audit.Broken(seq=5, why="line 4 is missing")


def test_a_chain_rebuilt_without_the_key_is_found(lines, settings):
    settings.SECRET_KEY = "a key of somebody else"
    assert looks.verify_looks().seq == 1
    settings.SECRET_KEY_FALLBACKS = ["x"]
    assert looks.verify_looks().seq == 1


def test_after_a_new_key_the_old_one_still_proves_the_old_lines(lines, settings):
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "the next key"
    looks.keep_look(seen(), by=UserFactory(), at=MOMENT)
    assert looks.verify_looks() is None


def test_the_database_refuses_to_change_or_delete_a_look():
    line = looks.keep_look(seen(), by=UserFactory(), at=MOMENT)
    with pytest.raises(DatabaseError, match="kept as they are"), audit.writing():
        Look.objects.filter(pk=line.pk).update(page="x")
    with pytest.raises(DatabaseError, match="kept as they are"), audit.writing():
        Look.objects.filter(pk=line.pk).delete()


@pytest.mark.django_db(transaction=True)
def test_a_line_whose_number_is_taken_meanwhile_goes_behind(monkeypatch):
    by, first = UserFactory(), looks.head_of_looks
    looks.keep_look(seen(), by=by, at=MOMENT)
    behind = iter([(0, "0" * 64)])
    monkeypatch.setattr(looks, "head_of_looks", lambda: next(behind, None) or first())
    assert looks.keep_look(seen(), by=by, at=MOMENT).seq == 2
    assert looks.verify_looks() is None


@pytest.mark.django_db(transaction=True)
def test_a_line_refused_for_another_reason_is_no_reason_to_try_again(monkeypatch):
    by = UserFactory()
    refused = Mock(side_effect=IntegrityError("disk image is malformed"))
    monkeypatch.setattr(Look, "save", refused)
    with pytest.raises(IntegrityError):
        looks.keep_look(seen(), by=by, at=MOMENT)
    assert refused.call_count == 1


@pytest.mark.django_db(transaction=True)
def test_many_looks_at_once_are_one_chain():
    by = UserFactory()

    def look():
        for _ in range(6):
            looks.keep_look(seen(), by=by, at=MOMENT)
        connection.close()

    at_once = [threading.Thread(target=look) for _ in range(6)]
    for one in at_once:
        one.start()
    for one in at_once:
        one.join()
    assert Look.objects.count() == 36
    assert looks.verify_looks() is None


# --- Answers --------------------------------------------------------------------------------


def test_l01_a_line_each_for_facts_plan_export_and_paper(signed_in, clinician, patient):
    signed_in.get(url("facts", patient.pk), REMOTE_ADDR="192.0.2.7")
    signed_in.get(f"/patients/{patient.pk}/plan/")
    signed_in.get(url("export", patient.pk) + "?of=scan")
    signed_in.get("/papers/questions.pdf")
    told = list(Look.objects.values_list("kind", "page", "patient_number", "what", "status"))
    assert told == [
        (PAGE, "patients:facts", patient.pk, "{}", 200),
        (PAGE, "programs:plan", patient.pk, "{}", 200),
        (EXPORT, "patients:export", patient.pk, '{"of":"scan"}', 200),
    ]
    first = Look.objects.first()
    assert (first.actor, first.actor_name) == (clinician, "Marta Ferro")
    assert first.source_address == "192.0.2.7"


def test_l07_seven_looks_are_seven_lines_in_order_and_chained(signed_in, patient):
    for _ in range(7):
        signed_in.get(url("facts", patient.pk))
    assert [line.seq for line in Look.objects.all()] == [1, 2, 3, 4, 5, 6, 7]
    assert looks.verify_looks() is None


def test_a_page_that_only_leads_on_or_is_of_nobody_is_no_look(signed_in, patient):
    signed_in.get("/patients/")
    signed_in.get("/scanners/")
    signed_in.get(f"/patients/{patient.pk}/facts")
    assert not Look.objects.exists()


def test_a_form_shown_again_is_a_look_and_a_saved_one_is_not(signed_in, patient):
    page, form = url("section", patient.pk, "falls"), {"patient": patient.pk}
    signed_in.post(page, form | {"falls-last_12_months": "many"})
    assert [(line.status, line.what) for line in Look.objects.all()] == [(422, '{"code":"falls"}')]
    signed_in.post(page, form | {"falls-last_12_months": "1"})
    assert Look.objects.count() == 1


def test_both_people_of_a_join_are_looked_at(signed_in, patient):
    other = PatientFactory()
    signed_in.get(url("join", patient.pk, other.pk))
    assert {*Look.objects.values_list("patient_number", flat=True)} == {patient.pk, other.pk}


def test_parts_of_a_page_follow_its_look_and_count_once(signed_in, patient):
    part = {"HX-Request": "true"}
    for _ in range(3):
        signed_in.get(url("facts", patient.pk), headers=part)
    assert Look.objects.count() == 1
    signed_in.get(url("measures", patient.pk), headers=part)
    assert Look.objects.count() == 2


def test_a_look_that_cannot_be_kept_is_not_shown(signed_in, patient, monkeypatch):
    def full(*args, **kwargs):
        raise DatabaseError("database or disk is full")

    monkeypatch.setattr("patients.views.kept_looks.keep_look", full)
    answer = signed_in.get(url("facts", patient.pk))
    assert answer.status_code == 503
    assert "Not shown" in text_of(answer)
    assert patient.family_name not in text_of(answer)
    assert signed_in.get(url("facts", patient.pk + 1)).status_code == 404
    monkeypatch.setattr("patients.views.kept_looks.keep_look", _too_many)
    assert signed_in.get(url("facts", patient.pk)).status_code == 503


def _too_many(*args, **kwargs):
    raise looks.NotKept("Too many looks at once.")


def test_too_many_at_once_are_told(monkeypatch):
    monkeypatch.setattr(looks, "_TRIES", 0)
    with pytest.raises(looks.NotKept):
        looks.keep_look(seen(), by=UserFactory(), at=MOMENT)


def test_what_is_refused_is_told(signed_in, client, patient, monkeypatch):
    signed_in.get(url("facts", 99))
    line = Look.objects.get()
    assert (line.kind, line.patient_number, line.status) == (REFUSED, 99, 404)
    signed_in.get("/nowhere/")
    assert Look.objects.count() == 1
    signed_in.get(url("facts", 2**70))
    assert Look.objects.count() == 1


def test_a_strangers_forged_forms_are_told_once_a_minute(db):
    request = RequestFactory().post("/patients/7/facts/")
    request.user = AnonymousUser()
    request.resolver_match = ResolverMatch(None, (), {"patient_id": 7}, "facts")
    for status in (403, 403, 404, 403):
        keep_what_is_refused(request, type("Answer", (), {"status_code": status}))
    line = Look.objects.get()
    assert (line.actor, line.actor_name, line.status) == (None, "nobody signed in", 403)


def test_a_forged_form_is_told(clinician, patient):
    client = Client(enforce_csrf_checks=True)
    client.force_login(clinician)
    assert client.post(url("facts", patient.pk), {}).status_code == 403
    assert Look.objects.get().status == 403
