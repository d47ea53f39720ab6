"""The first consult on one page: what it saves, what it leaves alone, what stands beside it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.facts.codes import CONDITIONS, MEDICINES, SYMPTOMS
from patients.forms import consult_lists
from patients.models.patient import (
    Assessment,
    Audit,
    FractureRow,
    FunctionTestDay,
    Patient,
    ScanRow,
    SizeRow,
)
from patients.rows_to_facts import facts_of
from patients.views.common import today
from programs.models.program import Plan
from tests.factories import PatientFactory
from tests.patients.pages import filled, text_of

pytestmark = [pytest.mark.long, pytest.mark.django_db]


@pytest.fixture
def patient() -> Patient:
    made: Patient = PatientFactory(born=dt.date(1958, 3, 14), sex="female")
    return made


def url(patient: Patient) -> str:
    return reverse("programs:consult", args=[patient.pk])


def answered(patient: Patient) -> dict[str, Any]:
    newest = Assessment.objects.filter(patient=patient).order_by("-id").first()
    return {} if newest is None else newest.answers


def send(client: Client, patient: Patient, **typed: Any) -> Any:
    names = {name.replace("___", "-", 1): value for name, value in typed.items()}
    return client.post(url(patient), filled(client, url(patient)) | names)


NO_TO_ALL = {f"{code}___rest_is_no": "on" for code in ("symptoms", "conditions", "medicines")}
HEALTHY = NO_TO_ALL | {
    "falls___last_12_months": "0",
    "falls___unsteady": "no",
    "no_fracture___broke": "no",
    "about___menopause": "after",
    "about___mobility": "independent",
    "about___height_cm": "163",
    "about___weight_kg": "62",
    "about___tallest_height_cm": "164",
    "tests___resting_bp": "126/76",
    "tests___standing_bp": "124/76 mmHg",
    "tests___up_and_go_s": "8.4",
    "tests___chair_stands_30s": "15",
    "tests___one_leg_s": "22",
    "scan___date": "20 Jan 2026",
    "scan___total_hip__t": "- 1,8",
    "scan___femoral_neck__t": "minus 1.9",
    "aims___first": "hip",
    "time___days": ["mon", "wed", "fri"],
    "time___minutes_per_day": "40 min",
    "time___supervised": "no",
    "time___watcher": "no",
    "no_plate___plate": "no",
}


def test_a_whole_consult_is_saved_and_drafted_in_one_go(
    signed_in: Client, patient: Patient, on_the_first_day: None
) -> None:
    response = send(signed_in, patient, **HEALTHY, draft="yes")
    assert response.status_code == 302, text_of(response)
    assert response["Location"] == reverse("programs:plan", args=[patient.pk])
    facts = facts_of(patient, today())
    assert all(
        facts.condition(code).answer is False for code in CONDITIONS if code != "recent_birth"
    )
    assert all(facts.symptom(code).answer is False for code in SYMPTOMS)
    assert all(facts.medicine(code).answer is False for code in MEDICINES)
    assert facts.fractures == ()
    assert facts.falls is not None
    assert (facts.falls.last_12_months, facts.falls.injury) == (0, None)
    assert facts.person.height_cm == 163
    assert facts.tests is not None
    assert facts.tests[0].standing_bp == (124, 76)
    assert facts.scans is not None
    assert sorted(scan.t for scan in facts.scans) == [-1.9, -1.8]
    assert facts.resources is not None
    assert (facts.resources.plates, facts.resources.minutes_per_day) == ((), 40)
    plan = Plan.objects.get(patient=patient)
    assert plan.proposed["issuable"]


def test_what_was_not_asked_stays_not_recorded(signed_in: Client, patient: Patient) -> None:
    send(signed_in, patient, symptoms___rest_is_no="on")
    assert set(answered(patient)) == {"symptoms"}
    assert answered(patient)["symptoms"] == dict.fromkeys(SYMPTOMS, "no")
    facts = facts_of(patient, today())
    assert facts.condition("stroke").answer is None
    assert facts.fractures is None


@pytest.mark.counted
def test_nothing_typed_saves_nothing(signed_in: Client, patient: Patient) -> None:
    assert send(signed_in, patient).status_code == 302
    assert not Assessment.objects.exists()
    assert not SizeRow.objects.exists()


def test_no_to_all_answers_the_names_that_were_shown_and_no_other(
    signed_in: Client, patient: Patient, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    page = filled(signed_in, url(patient))
    later = {**CONDITIONS, "told_of_later": "A condition told of later"}
    monkeypatch.setattr(consult_lists.TickedConditions, "labels", later)
    signed_in.post(url(patient), page | {"conditions-rest_is_no": "on"})
    assert "told_of_later" not in answered(patient)["conditions"]
    made = Assessment.objects.get(section="conditions")
    assert (made.made_by, made.answers["conditions"]["stroke"]) == (clinician, "no")
    html = text_of(signed_in.get(url(patient)))
    assert f"Answered {timezone.localdate():%-d %b %Y}, Marta Ferro" in html
    assert "No to all the others" in html


def test_a_tick_is_a_yes_with_its_details_and_the_others_are_no(
    signed_in: Client, patient: Patient
) -> None:
    typed = {
        "conditions___recent_surgery__answer": "on",
        "conditions___recent_surgery__on": "March 2019",
        "conditions___vertigo__on": "no such field",
        "conditions___rest_is_no": "on",
    }
    send(signed_in, patient, **typed)
    held = answered(patient)["conditions"]
    assert held["recent_surgery"] == {"answer": "yes", "on": "2019-03"}
    assert held["vertigo"] == "no"


def test_what_is_on_record_as_no_stays_and_an_unticked_yes_is_not_recorded(
    signed_in: Client, patient: Patient
) -> None:
    send(signed_in, patient, conditions___stroke__answer="on")
    assert answered(patient)["conditions"] == {"stroke": "yes"}
    page = filled(signed_in, url(patient))
    del page["conditions-stroke__answer"]
    signed_in.post(url(patient), page)
    assert "conditions" not in answered(patient)
    send(signed_in, patient, conditions___rest_is_no="on")
    send(signed_in, patient, conditions___hernia__answer="on")
    held = answered(patient)["conditions"]
    assert (held["stroke"], held["hernia"]) == ("no", "yes")


def test_no_to_all_asked_again_is_kept_with_its_day_though_nothing_changed(
    signed_in: Client, patient: Patient
) -> None:
    for _ in range(2):
        send(signed_in, patient, symptoms___rest_is_no="on")
    assert Assessment.objects.filter(section="symptoms").count() == 2
    send(signed_in, patient)
    assert Assessment.objects.count() == 2


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"falls___last_12_months": "more"}, "Falls", "Write how many"),
        ({"aims___first": "hip", "aims___second": "hip"}, "aim", "named first"),
        ({"aims___second": "hip"}, "aim", "Name the first aim"),
        (
            {"no_scan___none": "on", "scan___date": "1 Jan 2026", "scan___total_hip__t": "-1"},
            "",
            "Untick",
        ),
        ({"no_fracture___broke": "no", "fracture0___site": "hip"}, "", "Clear it, or answer yes"),
        (
            {"no_plate___plate": "no", "plate0___name": "hers", "plate0___motion": "vertical"},
            "",
            "Clear it, or answer yes",
        ),
        ({"about___height_cm": "1630"}, "Height", "Check this"),
        ({"scan___total_hip__t": "-1"}, "Scanned on", "This is needed"),
        (
            {
                "conditions___recent_surgery__answer": "on",
                "conditions___recent_surgery__on": "soon",
            },
            "",
            "Write the date",
        ),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_is_lost(
    signed_in: Client, patient: Patient, typed: dict[str, str], field: str, said: str
) -> None:
    response = send(signed_in, patient, **typed, about___weight_kg="61,5")
    html = text_of(response)
    assert response.status_code == 422
    assert said in html
    assert field in html
    assert 'value="61,5"' in html
    assert not Assessment.objects.exists()
    assert not SizeRow.objects.exists()


def test_a_missing_value_comes_to_the_row_of_the_day_and_a_clash_is_asked(
    signed_in: Client, patient: Patient
) -> None:
    send(signed_in, patient, tests___up_and_go_s="9.8")
    send(signed_in, patient, tests___resting_bp="128/76")
    standing = FunctionTestDay.objects.get(patient=patient, withdrawn_at=None)
    assert (float(standing.up_and_go_s), standing.resting_bp) == (9.8, [128, 76])
    response = send(signed_in, patient, tests___up_and_go_s="12.4")
    assert "On record for this day: 9.8 s" in text_of(response)
    assert send(signed_in, patient, tests___up_and_go_s="9.8").status_code == 302
    assert FunctionTestDay.objects.filter(withdrawn_at=None).count() == 1


def test_fractures_and_scans_are_rows_and_the_same_scan_is_not_taken_twice(
    signed_in: Client, patient: Patient
) -> None:
    vertebra = {"fracture0___site": "vertebra", "fracture0___date": "2021"}
    second = {"fracture1___site": "vertebra", "fracture1___date": "June 2024"}
    scan = {"scan___date": "1.2.2026", "scan___total_hip__t": "-2.7"}
    send(signed_in, patient, no_fracture___broke="yes", **vertebra, **second, **scan)
    assert FractureRow.objects.count() == 2
    assert str(ScanRow.objects.get().date) == "2026-02-01"
    assert "no_fracture-broke" not in text_of(signed_in.get(url(patient)))
    assert "on record already" in text_of(send(signed_in, patient, **scan))


def test_what_is_asked_on_other_pages_stays(signed_in: Client, patient: Patient) -> None:
    falls = reverse("patients:section", args=[patient.pk, "falls"])
    signed_in.post(falls, filled(signed_in, falls) | {"falls-worried": "yes"})
    aims = reverse("patients:section", args=[patient.pk, "aims"])
    typed = {"aims-aim0": "hip", "aims-aim1": "falls", "aims-aim2": "spine"}
    signed_in.post(aims, filled(signed_in, aims) | typed | {"resources-load_step_kg": "1"})
    send(signed_in, patient, falls___last_12_months="12", falls___many="")
    send(signed_in, patient, falls___last_12_months="more", falls___many="12")
    send(signed_in, patient, aims___second="strength")
    held = answered(patient)
    assert held["falls"] == {"last_12_months": 12, "worried": "yes"}
    assert held["aims"] == ["hip", "strength", "spine"]
    assert held["resources"] == {"load_step_kg": 1}
    assert 'value="more"' in text_of(signed_in.get(url(patient)))


def test_nothing_is_drafted_while_something_stops_it(signed_in: Client, patient: Patient) -> None:
    response = send(signed_in, patient, falls___unsteady="no", draft="yes")
    assert response["Location"] == url(patient)
    assert "Not drafted: red flags not asked" in text_of(signed_in.get(url(patient)))
    assert not Plan.objects.exists()
    assert answered(patient)["falls"] == {"unsteady": "no"}


def test_a_double_click_drafts_once(
    signed_in: Client, patient: Patient, on_the_first_day: None
) -> None:
    sent = filled(signed_in, url(patient)) | {
        name.replace("___", "-", 1): value for name, value in (HEALTHY | {"draft": "yes"}).items()
    }
    first, second = (signed_in.post(url(patient), sent) for _ in range(2))
    assert first["Location"] == second["Location"] == reverse("programs:plan", args=[patient.pk])
    assert Plan.objects.count() == 1
    assert Audit.objects.filter(action="save symptoms").count() == 1


def test_a_score_that_looks_mistyped_is_asked_about_before_a_draft(
    signed_in: Client, patient: Patient, on_the_first_day: None
) -> None:
    """2.9 for -2.9 would make her risk look lower; a double click does not answer the question."""
    typed = HEALTHY | {"scan___lumbar_spine__t": "2.9", "scan___total_hip__t": "-2.3"}
    sent = filled(signed_in, url(patient)) | {
        name.replace("___", "-", 1): value for name, value in (typed | {"draft": "yes"}).items()
    }
    for _ in range(2):
        assert signed_in.post(url(patient), sent)["Location"] == url(patient)
    page = text_of(signed_in.get(url(patient)))
    assert "T 2.9 where every other site is low. Is its minus sign missing?" in page
    assert "Not drafted yet." in page
    assert not Plan.objects.exists()
    assert ScanRow.objects.filter(site="lumbar_spine").count() == 1
    response = send(signed_in, patient, draft="yes")
    assert response["Location"] == reverse("programs:plan", args=[patient.pk])
    assert Plan.objects.count() == 1


class TestBeside:
    def live(self, client: Client, patient: Patient, **typed: Any) -> str:
        names = {name.replace("___", "-", 1): value for name, value in typed.items()}
        sent = filled(client, url(patient)) | names | {"preview": "1"}
        response = client.post(url(patient), sent, headers={"HX-Request": "true"})
        assert response.status_code == 200
        return text_of(response)

    def test_it_follows_what_is_typed_and_saves_nothing(
        self, signed_in: Client, patient: Patient
    ) -> None:
        assert "9 red flags not asked" in text_of(signed_in.get(url(patient)))
        told = self.live(signed_in, patient, **NO_TO_ALL)
        assert "Nothing is issued yet" not in told
        assert "What each open question would decide" in told
        assert "<h1>" not in told
        assert not Assessment.objects.exists()

    def test_it_names_what_is_not_read_yet_and_shows_the_rest(
        self, signed_in: Client, patient: Patient
    ) -> None:
        told = self.live(signed_in, patient, about___height_cm="tall", **NO_TO_ALL)
        assert "Not read yet" in told
        assert 'href="#id_about-height_cm"' in told

    def test_all_answered_leaves_no_open_question(
        self, signed_in: Client, patient: Patient
    ) -> None:
        assert "No open question here" in self.live(signed_in, patient, **HEALTHY)

    def test_an_alarm_stops_all(self, signed_in: Client, patient: Patient) -> None:
        told = self.live(signed_in, patient, symptoms___chest_pain__answer="on")
        assert "Stopped." in told

    def test_a_form_of_another_person_is_not_read(
        self, signed_in: Client, patient: Patient
    ) -> None:
        other = PatientFactory()
        sent = filled(signed_in, url(other)) | {"preview": "1"}
        response = signed_in.post(url(patient), sent, headers={"HX-Request": "true"})
        assert "another patient" in text_of(response)

    def test_the_button_shows_the_whole_page_without_saving(
        self, signed_in: Client, patient: Patient
    ) -> None:
        response = send(signed_in, patient, **NO_TO_ALL, preview="1")
        assert response.status_code == 200
        assert "Nothing is issued yet" not in text_of(response)
        assert not Assessment.objects.exists()

    def test_what_cannot_stand_together_is_said(self, signed_in: Client, patient: Patient) -> None:
        typed = {"about___height_cm": "170", "about___tallest_height_cm": "160"}
        assert "Shorter than the height today" in text_of(send(signed_in, patient, **typed))


def test_an_answer_saved_by_another_meanwhile_is_not_overwritten(
    signed_in: Client, patient: Patient
) -> None:
    mine = filled(signed_in, url(patient)) | {"falls-unsteady": "yes"}
    send(signed_in, patient, falls___unsteady="no", about___mobility="stick")
    response = signed_in.post(url(patient), mine)
    assert response.status_code == 409
    assert "Changed in the meantime" in text_of(response)
    assert answered(patient)["falls"] == {"unsteady": "no"}


def test_it_asks_the_database_little(
    signed_in: Client, patient: Patient, django_assert_max_num_queries: Any
) -> None:
    send(signed_in, patient, **NO_TO_ALL)
    with django_assert_max_num_queries(22) as asked:
        signed_in.get(url(patient))
    (output,) = [len(asked.captured_queries)]
    assert output


def test_adding_a_patient_may_go_on_to_her_consult(signed_in: Client) -> None:
    new = reverse("patients:new")
    typed = {"given_name": "Ida", "family_name": "Examplewoman", "sex": "female"}
    sent = filled(signed_in, new) | typed | {"born": "14 Mar 1958", "and_consult": "yes"}
    response = signed_in.post(new, sent)
    assert response["Location"] == url(Patient.objects.get())
    facts = text_of(signed_in.get(reverse("patients:facts", args=[Patient.objects.get().pk])))
    assert "First consult on one page" in facts
    assert "14 Mar 1958" in facts
