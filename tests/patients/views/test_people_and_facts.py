"""The pages: what a click does, what a second click does not, and whose page it is."""

import datetime as dt
from unittest import mock
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from patients.facts.sections import SECTIONS
from patients.models.patient import Assessment, Audit, FractureRow, Patient, ScanRow, SizeRow
from patients.rows_to_facts import facts_of
from tests.factories import (
    AssessmentFactory,
    FractureFactory,
    FunctionTestDayFactory,
    LiftFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
)
from tests.patients.pages import Inputs, filled, text_of, url
from tests.patients.test_rows_to_facts import ANSWERS

pytestmark = [pytest.mark.django_db, pytest.mark.long]
TRANSACTION = ("BEGIN", "COMMIT", "SAVEPOINT", "RELEASE")
NEW = {"given_name": "Ann", "family_name": "Fictional", "born": "1950-01-01", "sex": "female"}


@pytest.fixture
def patient():
    return PatientFactory()


@pytest.fixture
def known():
    """A patient with something of everything, and struck-out rows."""
    patient = AssessmentFactory(
        answers=ANSWERS, answered={"falls": "2026-03-02", "aims": "2026-03-02"}
    ).patient
    for factory in (
        SizeFactory,
        FractureFactory,
        ScanFactory,
        MarkerFactory,
        FunctionTestDayFactory,
        LiftFactory,
    ):
        for _ in range(3):
            factory(patient=patient)
        factory(patient=patient, withdrawn=True)
    return patient


def pages(patient):
    yield url("caseload")
    yield url("new")
    yield url("doubles")
    yield url("change", patient.pk)
    yield url("facts", patient.pk)
    for name in ("close", "join_choose", "joined"):
        yield url(name, patient.pk)
    for code in SECTIONS:
        yield url("section", patient.pk, code)
    for kind, row in (("scan", ScanRow), ("fracture", FractureRow)):
        yield url("withdraw", patient.pk, kind, row.objects.filter(patient=patient)[0].pk)


@pytest.mark.slow
def test_every_page_takes_few_queries_and_changes_nothing(signed_in, known):
    for _ in range(30):
        PatientFactory()
    before = (Audit.objects.count(), Assessment.objects.count())
    for page in pages(known):
        with CaptureQueriesContext(connection) as captured:
            assert signed_in.get(page).status_code == 200, page
        asked = [q["sql"] for q in captured if q["sql"].split()[0] not in TRANSACTION]
        asked = [sql for sql in asked if "patients_look" not in sql]
        assert len(asked) <= 13, page
        for sql in asked:
            assert sql.startswith("SELECT") or "django_session" in sql, sql
    assert (Audit.objects.count(), Assessment.objects.count()) == before


def test_every_page_needs_a_signed_in_person(client, known):
    for page in pages(known):
        assert client.get(page).status_code == 302


def test_b13_no_page_has_a_number_input(signed_in, known):
    for page in pages(known):
        assert "number" not in Inputs(signed_in.get(page).content.decode()).types


@pytest.mark.slow
def test_no_page_has_inline_style_or_script(signed_in, known):
    for page in pages(known):
        html = signed_in.get(page).content.decode()
        assert "style=" not in html
        assert "<style" not in html
        assert "onclick" not in html


def test_every_patient_page_says_whose_it_is(signed_in, known):
    for page in list(pages(known))[3:]:
        html = text_of(signed_in.get(page))
        assert known.name in html
        assert "14 Aug 1959" in html
        assert known.record_number in html


@pytest.mark.parametrize("name", ["<b>Ann</b>", "O'Grady", 'A "B"', "{{ 7 }}", "' OR 1=1--"])
def test_c01_a_name_is_shown_as_it_is(signed_in, name):
    patient = PatientFactory(family_name=name)
    response = signed_in.get(url("facts", patient.pk))
    assert name in text_of(response)
    assert b"<b>Ann</b>" not in response.content


def test_new_patient(signed_in, clinician):
    response = signed_in.post(url("new"), NEW | {"token": uuid4()})
    patient = Patient.objects.get()
    assert response.url == url("facts", patient.pk)
    assert (patient.born, patient.created_by) == (dt.date(1950, 1, 1), clinician)


@pytest.mark.parametrize(("born", "words"), [("1950", "1950 (year only)"), ("1950-03", "Mar 1950")])
def test_a_new_patient_of_whom_only_the_year_of_birth_is_known(signed_in, born, words):
    signed_in.post(url("new"), NEW | {"born": born, "token": uuid4()})
    patient = Patient.objects.get()
    assert patient.born_as_told == born
    html = text_of(signed_in.get(url("facts", patient.pk)))
    assert words in html
    assert facts_of(patient, dt.date(2026, 3, 2)).person.born == patient.born


def test_a_new_patient_with_mistakes_is_shown_again_with_all_that_was_typed(signed_in):
    response = signed_in.post(url("new"), NEW | {"born": "01/02/1950"})
    html = text_of(response)
    assert 'value="01/02/1950"' in html
    assert 'value="Fictional"' in html
    assert "Write 1 Feb 1950 or 2 Jan 1950." in html
    assert not Patient.objects.exists()


def test_c07_a_like_person_is_shown_with_a_link_and_a_reason_goes_on(signed_in):
    there = PatientFactory(given_name="Anne", family_name="Fictional", born=dt.date(1950, 1, 1))
    response = signed_in.post(url("new"), NEW)
    assert response.status_code == 409
    assert url("facts", there.pk) in text_of(response)
    assert Patient.objects.count() == 1
    signed_in.post(url("new"), NEW | {"reason": "A twin"})
    assert Patient.objects.count() == 2


def test_d03_double_click_on_add_makes_one_patient_and_a_usable_page(signed_in):
    sent = filled(signed_in, url("new")) | NEW
    first, second = (signed_in.post(url("new"), sent) for _ in range(2))
    assert Patient.objects.count() == 1
    assert first.url == second.url
    assert signed_in.get(second.url).status_code == 200


@pytest.mark.parametrize(
    ("code", "typed", "row"),
    [
        ("scans", {"scan-date": "2026-01-20", "scan-total_hip__t": "-2.1"}, ScanRow),
        ("fractures", {"fracture-site": "hip", "fracture-date": "2020-01-01"}, FractureRow),
        ("about", {"about-measured_on": "2026-01-20", "about-weight_kg": "68,5"}, SizeRow),
    ],
)
def test_d03_double_click_on_save_makes_one_row(signed_in, patient, code, typed, row):
    page = url("section", patient.pk, code)
    sent = filled(signed_in, page) | typed
    for _ in range(2):
        assert signed_in.post(page, sent).status_code == 302
    assert row.objects.count() == 1
    assert signed_in.get(page).status_code == 200


def test_a_score_without_its_minus_sign_is_saved_and_asked_about(signed_in, patient):
    """T -2.0 goes with 0.620 at the neck (NHANES III, Looker 1998)."""
    page = url("section", patient.pk, "scans")
    typed = {"scan-date": "2026-01-20", "scan-femoral_neck__bmd_g_cm2": "0.620"}
    sent = filled(signed_in, page) | typed | {"scan-femoral_neck__t": "2.0"}
    html = text_of(signed_in.post(page, sent, follow=True))
    assert "Femoral neck: T 2.0 does not fit the density. Is its minus sign missing?" in html
    assert ScanRow.objects.count() == 1


def test_b01_a_decimal_comma_comes_back_as_the_same_number(signed_in, patient):
    page = url("section", patient.pk, "about")
    signed_in.post(page, filled(signed_in, page, **{"about-weight_kg": "68,5"}))
    assert "68.5 kg" in text_of(signed_in.get(url("facts", patient.pk)))


def test_b09_blank_is_said_plainly(signed_in, patient):
    html = text_of(signed_in.get(url("facts", patient.pk)))
    assert "none of 6 questions answered yet" in html
    assert "questions not recorded" in html
    signed_in.post(
        url("section", patient.pk, "falls"),
        {"patient": patient.pk, "falls-last_12_months": "0"},
    )
    falls = facts_of(patient, timezone.localdate()).falls
    assert (falls.last_12_months, falls.injury) == (0, None)


def test_a07_todays_date_is_accepted_just_after_midnight(signed_in, patient, settings):
    settings.TIME_ZONE = "Asia/Kolkata"
    # 00:30 on 3 March in India is still 2 March in Greenwich.
    now = dt.datetime(2026, 3, 2, 19, 0, tzinfo=dt.UTC)
    page = url("section", patient.pk, "tests")
    typed = {"patient": patient.pk, "tests-up_and_go_s": "11.2"}
    with timezone.override("Asia/Kolkata"), mock.patch.object(timezone, "now", return_value=now):
        response = signed_in.post(page, typed | {"tests-date": "2026-03-03"})
        tomorrow = signed_in.post(page, typed | {"tests-date": "2026-03-04"})
    assert response.status_code == 302
    assert tomorrow.status_code == 422


def test_a_change_that_does_not_fit_the_facts_is_refused_beside_the_form(signed_in, known):
    page = url("change", known.pk)
    response = signed_in.post(page, filled(signed_in, page, born="2025-01-01"))
    assert "do not fit" in text_of(response)
    assert 'value="2025-01-01"' in text_of(response)
    bad = signed_in.post(page, filled(signed_in, page, given_name=""))
    assert "This is needed." in text_of(bad)


def test_errors_stand_beside_the_field_and_nothing_typed_is_lost(signed_in, patient):
    page = url("section", patient.pk, "scans")
    typed = {"scan-date": "2031-01-01", "scan-total_hip__t": "abc", "scan-scanner": "The old one"}
    response = signed_in.post(page, filled(signed_in, page) | typed)
    html = text_of(response)
    assert response.status_code == 422
    for value in typed.values():
        assert f'value="{value}"' in html
    assert "is not a number" in html
    assert 'aria-invalid="true"' in html
    assert 'href="#id_scan-total_hip__t"' in html
    assert not ScanRow.objects.exists()


def test_save_and_next_walks_through_all_sections(signed_in, patient):
    codes = list(SECTIONS)
    for code, after in zip(codes, [*codes[1:], None], strict=True):
        page = url("section", patient.pk, code)
        typed = {"tests-up_and_go_s": "9"} if code == "tests" else {}
        response = signed_in.post(page, filled(signed_in, page) | typed | {"and_next": "yes"})
        goal = url("section", patient.pk, after) if after else url("facts", patient.pk)
        assert response.url == goal, code


def test_saving_a_filled_page_again_changes_nothing(signed_in, known):
    before = facts_of(known, timezone.localdate())
    for code in SECTIONS:
        if code == "tests":
            continue
        page = url("section", known.pk, code)
        response = signed_in.post(page, filled(signed_in, page) | {"and_back": "yes"})
        assert response.status_code == 302, text_of(response)
        assert facts_of(known, timezone.localdate()) == before, code


def test_save_and_add_another_stays(signed_in, patient):
    page = url("section", patient.pk, "fractures")
    sent = filled(signed_in, page) | {"fracture-site": "hip", "and_more": "yes"}
    assert signed_in.post(page, sent).url == page


def test_an_entry_is_corrected_from_its_own_form(signed_in):
    row = ScanFactory(t="2.1")
    page = url("section", row.patient_id, "scans")
    sent = Inputs(text_of(signed_in.get(page, {"corrects": f"scan-{row.pk}"}))).sent
    assert sent["scan-total_hip__t"] == ["2.1"]
    assert sent["corrects"] == [f"scan-{row.pk}"]
    signed_in.post(page, sent | {"scan-total_hip__t": "-2.1"})
    scans = facts_of(row.patient, timezone.localdate()).scans
    assert [scan.t for scan in scans] == [-2.1]
    row.refresh_from_db()
    assert row.withdrawn_reason == "Corrected"


def test_a_correction_of_the_same_values_keeps_one_row(signed_in):
    row = FunctionTestDayFactory()
    page = url("section", row.patient_id, "tests")
    sent = Inputs(text_of(signed_in.get(page, {"corrects": f"tests-{row.pk}"}))).sent
    signed_in.post(page, sent)
    assert facts_of(row.patient, timezone.localdate()).tests == (row.fact(),)


def test_entered_in_error(signed_in):
    row = FractureFactory()
    page = url("withdraw", row.patient_id, "fracture", row.pk)
    assert "Say what was wrong" in text_of(signed_in.post(page, {"patient": row.patient_id}))
    sent = filled(signed_in, page, reason="Belongs to another person")
    assert signed_in.post(page, sent).url == url("section", row.patient_id, "fractures")
    html = text_of(signed_in.get(url("section", row.patient_id, "fractures")))
    assert "<del>wrist</del>" in html
    assert "Belongs to another person" in html
    assert "struck out already" in text_of(signed_in.get(page))


def test_all_the_rest_is_no_works_without_script(signed_in, patient):
    page = url("section", patient.pk, "symptoms")
    signed_in.post(page, filled(signed_in, page) | {"symptoms-rest_is_no": "on"})
    answers = facts_of(patient, timezone.localdate()).symptoms
    assert {answer.answer for answer in answers.values()} == {False}


def test_a_refusal_of_the_record_is_shown_on_the_page(signed_in, known):
    page = url("section", known.pk, "about")
    sent = filled(signed_in, page)
    # Meanwhile somebody records a height that the remembered one does not fit.
    SizeFactory(patient=known, date=dt.date(2026, 3, 3), height_cm="175.0")
    response = signed_in.post(page, sent | {"about-tallest_height_cm": "166"})
    assert response.status_code == 422
    assert "Shorter than the height today" in text_of(response)


def test_facts_that_do_not_fit_together_are_named_not_guessed(signed_in):
    patient = SizeFactory(height_cm="170.0").patient
    AssessmentFactory(patient=patient, answers={"person": {"tallest_height_cm": 160}})
    html = text_of(signed_in.get(url("facts", patient.pk)))
    assert "do not fit together" in html
    assert url("section", patient.pk, "about") in html


@pytest.mark.parametrize("path", ["facts/nonsense/", "withdraw/nonsense/1/", "withdraw/scan/999/"])
def test_what_is_not_there_is_not_found(signed_in, patient, path):
    assert signed_in.get(f"/patients/{patient.pk}/{path}").status_code == 404


def test_odd_marks_in_a_form_do_no_harm(signed_in, patient):
    page = url("section", patient.pk, "falls")
    odd = {"patient": patient.pk, "token": "x", "based_on": "y", "corrects": "scan-z"}
    assert signed_in.post(page, odd | {"falls-last_12_months": "1"}).status_code == 302


def test_the_record_says_who_and_from_where(signed_in, clinician, patient):
    page = url("section", patient.pk, "falls")
    signed_in.post(page, {"patient": patient.pk, "falls-last_12_months": "1"})
    assert Audit.objects.get().actor == clinician


def test_steps_of_apps_that_have_no_page_are_plain_text(signed_in, patient):
    html = text_of(signed_in.get(url("facts", patient.pk)))
    for step in ("Facts", "Screen", "Plan", "Sign", "Handout", "Log", "Review"):
        assert step in html
