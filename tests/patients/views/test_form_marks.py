"""A form does only what it was made for: for its own patient, in this database's life, once."""

import datetime as dt
import re
from uuid import uuid4

import pytest
from django.urls import get_resolver, resolve, reverse

from patients import audit, life
from patients.actions.database_life import begin_anew
from patients.middleware import FormsAsMade
from patients.models.forms_sent import FormSent
from patients.models.life import DatabaseLife
from patients.models.patient import Assessment, Audit, Patient
from patients.models.scanners import Scanner
from patients.staff.rights import Role
from patients.views.form_marks import house_mark, mark_of
from programs.actions.plates import add_plates
from tests.factories import MOMENT, PatientFactory, UserFactory
from tests.patients.pages import filled, text_of, url
from tests.programs.sample_plates import VERTICAL
from tests.staff import person_of

pytestmark = pytest.mark.django_db
NEW = {"given_name": "Fictia", "family_name": "Examplewoman", "born": "1959", "sex": "female"}


@pytest.fixture
def patient():
    return PatientFactory()


def falls(client, patient, number):
    return filled(client, url("section", patient.pk, "falls")) | {
        "falls-last_12_months": str(number)
    }


@pytest.mark.database
def test_the_database_has_a_life_from_its_first_migration_on():
    assert DatabaseLife.objects.get().uuid == life.current()


@pytest.mark.database
def test_another_life_is_another_mark(patient):
    before = mark_of(Patient.objects.get(pk=patient.pk))
    begun = begin_anew(by=None, at=MOMENT, reason="a copy").uuid
    assert life.current() == begun
    assert mark_of(Patient.objects.get(pk=patient.pk)) == mark_of(patient) != before


@pytest.mark.database
def test_a_mark_is_of_one_person_and_of_her_row(patient, settings):
    other = PatientFactory()
    assert mark_of(patient) != mark_of(other)
    before = mark_of(patient)
    patient.created_at += dt.timedelta(microseconds=1)
    assert mark_of(patient) != before
    patient.created_at = MOMENT
    settings.SECRET_KEY = "another key"
    assert mark_of(patient) != before


@pytest.mark.database
def test_after_a_restore_an_old_form_writes_into_nobodys_record(signed_in, patient):
    """Her number was given out again: the form of before is refused, its text stays readable."""
    sent = falls(signed_in, patient, 7)
    begin_anew(by=None, at=MOMENT, reason="a copy")
    answer = signed_in.post(url("section", patient.pk, "falls"), sent)
    assert answer.status_code == 409
    page = text_of(answer)
    assert "belongs to another patient" in page
    assert "<td>7</td>" in page
    assert not Assessment.objects.exists()
    fresh = falls(signed_in, patient, 7)
    assert signed_in.post(url("section", patient.pk, "falls"), fresh).status_code == 302


@pytest.mark.database
def test_the_row_of_another_person_under_the_same_number_takes_no_old_form(signed_in, patient):
    sent = falls(signed_in, patient, 7)
    Patient.objects.filter(pk=patient.pk).update(created_at=MOMENT + dt.timedelta(days=1))
    assert signed_in.post(url("section", patient.pk, "falls"), sent).status_code == 409


@pytest.mark.database
def test_a_form_of_nobody_on_record_keeps_what_was_typed(signed_in, patient):
    sent = falls(signed_in, patient, 7)
    answer = signed_in.post(url("section", patient.pk + 1, "falls"), sent)
    assert answer.status_code == 409
    assert "<td>7</td>" in text_of(answer)


@pytest.mark.database
def test_the_number_alone_is_no_mark(signed_in, patient):
    sent = falls(signed_in, patient, 7)
    for mark in (str(patient.pk), "", "0", "%", "é"):
        answer = signed_in.post(url("section", patient.pk, "falls"), sent | {"patient": [mark]})
        assert answer.status_code == 409


def of_a_patient():
    """Return name and arguments of every address that names a patient."""
    for spec in get_resolver().url_patterns:
        for pattern in getattr(spec, "url_patterns", ()):
            needed = pattern.pattern.converters
            if "patient_id" in needed:
                values = {
                    name: 1 if kind.regex == "[0-9]+" else "x" for name, kind in needed.items()
                }
                yield f"{spec.app_name}:{pattern.name}", values


def test_no_page_of_a_patient_takes_a_form_without_her_mark(signed_in, patient):
    checked = 0
    for name, values in of_a_patient():
        address = reverse(name, kwargs=values | {"patient_id": patient.pk})
        assert signed_in.post(address, {"token": str(uuid4())}).status_code == 409, name
        checked += 1
    assert checked > 40


# --- Of no patient --------------------------------------------------------------------------

#: Whose form names no row that could be another one today, with what it does.
OF_ANY_LIFE = {
    "sign_in": "opens a session",
    "sign_in_code": "opens a session",
    "sign_out": "ends the session that sends it",
    "stay": "makes the session that sends it last",
    "new_password": "is sent by nobody who is signed in; its code is of this life or of none",
    "patients:caseload": "searches, and writes nothing",
    "programs:tour": "puts a text away for whoever sends it, and names no row",
    "programs:her_week": "spends a code, which is of this life or of none",
    "programs:her_end": "carries a mark of its own, made of the phone and this life",
    "programs:her_day": "carries a mark of its own, made of the phone and this life",
    "programs:her_code": "only shows a button; takes no form",
}


def of_no_patient():
    """Return name, arguments and view of every address that names no patient."""
    for spec in get_resolver().url_patterns:
        for pattern in getattr(spec, "url_patterns", [spec]):
            needed = pattern.pattern.converters
            if "patient_id" in needed:
                continue
            app = getattr(spec, "app_name", None)
            values = {name: 1 if kind.regex == "[0-9]+" else "x" for name, kind in needed.items()}
            yield ":".join(filter(None, (app, pattern.name))), values, pattern.callback


def test_no_other_page_takes_a_form_without_the_mark_of_this_life(signed_in):
    """Made from the table of addresses: a new page is refused until its form carries the mark."""
    free, checked = set(), 0
    for name, values, view in of_no_patient():
        if getattr(view, "of_any_life", False):
            free.add(name)
            continue
        for mark in ("", "0" * 32, "é"):
            answer = signed_in.post(reverse(name, kwargs=values), {"life": mark, "note": "a note"})
            assert answer.status_code == 409, name
        assert "<td>a note</td>" in text_of(answer)
        checked += 1
    assert free == set(OF_ANY_LIFE)
    assert checked > 40


FORM = re.compile(r'<form\b[^>]*method="post"[^>]*>.*?</form>', re.DOTALL)
ACTION = re.compile(r'action="([^"#?]*)')


@pytest.mark.long
def test_each_form_of_each_such_page_carries_it(signed_in, clinician):
    person_of(Role.ASSISTANT, username="a.holm")
    scanner = Scanner.objects.create(name="Room 9")
    (plate,) = add_plates(plates=[VERTICAL], by=clinician, at=MOMENT)
    numbers = {"scanner_id": scanner.pk, "plate_id": plate.pk}
    numbers["number"], mark, seen = clinician.pk, house_mark(), set()
    for name, values, _ in of_no_patient():
        address = reverse(name, kwargs={key: numbers.get(key, one) for key, one in values.items()})
        answer = signed_in.get(address)
        for form in FORM.findall(answer.getvalue().decode(errors="ignore")):
            action = ACTION.search(form)
            to = resolve((action[1] if action else "") or address).view_name
            if to not in OF_ANY_LIFE:
                assert f'name="life" value="{mark}"' in form, (name, to)
                seen.add(to)
    assert len(seen) > 15, seen


@pytest.mark.database
def test_after_a_restore_an_old_form_of_no_patient_writes_nothing(signed_in):
    """O02, for what is of nobody: a number of a scanner or an account is given out again too."""
    sent = filled(signed_in, url("scanners")) | {"name": "Room 2", "maker": "other"}
    begin_anew(by=None, at=MOMENT, reason="a copy")
    answer = signed_in.post(url("scanners"), sent)
    assert answer.status_code == 409
    assert "This form is from before" in text_of(answer)
    assert "<td>Room 2</td>" in text_of(answer)
    assert not Scanner.objects.exists()
    fresh = filled(signed_in, url("scanners")) | {"name": "Room 2", "maker": "other"}
    assert signed_in.post(url("scanners"), fresh).status_code == 302
    assert Scanner.objects.count() == 1


# --- Once -----------------------------------------------------------------------------------


@pytest.mark.database
def test_sent_again_with_another_answer_it_says_so_and_shows_it(signed_in, patient):
    sent = falls(signed_in, patient, 4)
    page = url("section", patient.pk, "falls")
    assert signed_in.post(page, sent).status_code == 302
    assert signed_in.post(page, sent).status_code == 302
    answer = signed_in.post(page, sent | {"falls-last_12_months": "8"})
    assert answer.status_code == 409
    assert "Already saved; this was not" in text_of(answer)
    assert "<td>8</td>" in text_of(answer)
    assert Assessment.objects.count() == 1


@pytest.mark.database
def test_sent_again_from_the_page_of_a_new_patient(signed_in):
    sent = filled(signed_in, url("new")) | NEW
    assert signed_in.post(url("new"), sent).status_code == 302
    answer = signed_in.post(url("new"), sent | {"family_name": "Otherwoman"})
    assert answer.status_code == 409
    assert "Otherwoman" in text_of(answer)
    assert Patient.objects.count() == 1


@pytest.mark.counted
@pytest.mark.database
def test_a_token_of_another_form_is_refused_in_words(signed_in, patient):
    sent = falls(signed_in, patient, 4)
    signed_in.post(url("section", patient.pk, "falls"), sent)
    used = {"token": sent["token"]}
    asked = filled(signed_in, url("change", patient.pk)) | used
    for page, form in (
        (url("new"), NEW | used),
        (url("change", patient.pk), asked | {"given_name": "Other"}),
        (url("scanners"), {"name": "Room 2", "maker": "other", **used}),
    ):
        answer = signed_in.post(page, form)
        assert answer.status_code == 409, page
        assert "Already saved; this was not" in text_of(answer)


@pytest.mark.database
def test_passwords_are_in_no_digest(rf, patient):
    token = uuid4()

    def digest(**fields):
        audit.form_sent.set(None)
        request = rf.post("/x/", {"token": token, **fields})
        FormsAsMade(lambda request: None).process_view(request, None, (), {})
        return audit.form_sent.get().digest

    assert digest(password="a", note="x") == digest(password="b", note="x")
    assert digest(password="a", note="x") != digest(password="a", note="y")
    audit.form_sent.set(None)


@pytest.mark.database
def test_a_line_of_another_kind_is_no_row_of_this_one(patient):
    token = uuid4()
    with audit.writing():
        made = audit.record(by=UserFactory(), at=MOMENT, action="a", on=patient, token=token)
        assert audit.row_made(made, Patient) == patient
        with pytest.raises(audit.SentOtherwise):
            audit.row_made(made, Assessment)
        with pytest.raises(audit.SentOtherwise):
            audit.record(by=UserFactory(), at=MOMENT, action="b", on=patient, token=token)
    assert Audit.objects.count() == 1
    assert not FormSent.objects.exists()


@pytest.mark.database
def test_a_version_that_is_no_number_is_somebody_elses_change(signed_in, patient):
    page = url("change", patient.pk)
    for version in ("x", "²", "-1", "9" * 40, "1.5"):
        sent = filled(signed_in, page) | {"given_name": "Other", "version": version}
        assert signed_in.post(page, sent).status_code == 409
