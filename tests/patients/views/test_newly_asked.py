"""What a newer rulebook asks of one person on one page: only hers, each skippable."""

import datetime as dt
from uuid import uuid4

import pytest
from django.utils import timezone

from patients.actions.patient_record import save_sections
from patients.facts.newly_asked import NEW_CONDITIONS
from patients.models.patient import Assessment, Audit, FractureRow
from patients.rows_to_facts import facts_of
from tests.factories import AssessmentFactory, FractureFactory, PatientFactory, UserFactory
from tests.patients.pages import filled, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.database]
OLD_ANSWERS = {
    "person": {"menopause": "after"},
    "conditions": {"stroke": "no", "stones": "yes"},
    "medicines": {"bone_medicine": "yes", "opioid": "no"},
}
ALL_ANSWERED = {
    "person": {"menopause": "after", "mobility": "stick"},
    "conditions": {**dict.fromkeys(NEW_CONDITIONS, "no"), "stones": "no"},
    "medicines": {"bone_medicine": "no"},
}


@pytest.fixture
def patient():
    return PatientFactory()


def page(client, patient):
    return text_of(client.get(url("newly_asked", patient.pk)))


def send(client, patient, **typed):
    where = url("newly_asked", patient.pk)
    return client.post(where, filled(client, where, **typed), follow=True)


def now(patient):
    return facts_of(patient, timezone.localdate())


def test_only_what_concerns_her_is_asked(signed_in, patient):
    AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    FractureFactory(patient=patient)
    FractureFactory(patient=patient, site="other")
    said = page(signed_in, patient)
    for words in ("Gets about indoors", "Parkinson", "stones", "Medicine for bone", "other bone"):
        assert words in said
    # Answered before and not new; a birth after menopause; a wrist with its day.
    for words in ("Stroke", "Gave birth", "Opioid", "Fracture: wrist"):
        assert words not in said


def test_where_all_is_on_record_the_page_says_so(signed_in, patient):
    AssessmentFactory(patient=patient, answers=ALL_ANSWERED)
    said = page(signed_in, patient)
    assert "Nothing: every new question is answered" in said
    assert "<fieldset" not in said


def test_one_save_answers_all_of_it_and_leaves_the_rest(signed_in, patient):
    AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    other = FractureFactory(patient=patient, site="other", date=None)
    answer = send(
        signed_in,
        patient,
        **{
            "about-mobility": "frame",
            "conditions-movement_disorder__answer": "yes",
            "conditions-low_energy__answer": "no",
            "conditions-stones__on": "2019",
            "medicines-bone_medicine__kind": "denosumab",
            "medicines-bone_medicine__last_dose_on": "2026-01",
            f"fracture{other.pk}-site": "rib",
            f"fracture{other.pk}-date": "2011",
        },
    )
    said = text_of(answer)
    assert "Saved: height, weight and menopause, conditions, medicines, fractures." in said
    facts = now(patient)
    assert (facts.person.mobility, facts.person.menopause) == ("frame", "after")
    assert facts.condition("movement_disorder").answer is True
    assert facts.condition("low_energy").answer is False
    assert facts.condition("amputation_or_prosthesis").answer is None
    assert facts.condition("stroke").answer is False
    assert facts.condition("stones").on == dt.date(2019, 12, 31)
    assert facts.medicine("bone_medicine").kind == "denosumab"
    assert facts.medicine("opioid").answer is False
    (row,) = FractureRow.objects.filter(withdrawn_at=None)
    assert (row.site, row.date, row.date_is) == ("rib", dt.date(2011, 12, 31), "year")
    other.refresh_from_db()
    assert other.withdrawn_reason == "Corrected"


def test_all_of_it_may_be_left_as_it_is(signed_in, patient):
    AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    FractureFactory(patient=patient, site="other")
    answer = send(signed_in, patient)
    assert "Nothing was changed, so nothing was saved." in text_of(answer)
    assert Assessment.objects.count() == 1
    assert FractureRow.objects.count() == 1
    assert not Audit.objects.exists()


def test_what_is_wrong_is_said_and_nothing_saved(signed_in, patient):
    AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    where = url("newly_asked", patient.pk)
    sent = filled(signed_in, where, **{"conditions-stones__on": "soon"})
    answer = signed_in.post(where, sent)
    assert answer.status_code == 422
    assert Assessment.objects.count() == 1


def test_a_fracture_before_birth_is_refused(signed_in, patient):
    AssessmentFactory(patient=patient, answers=ALL_ANSWERED)
    row = FractureFactory(patient=patient, site="other", date=None)
    where = url("newly_asked", patient.pk)
    sent = filled(signed_in, where, **{f"fracture{row.pk}-date": "1911"})
    assert signed_in.post(where, sent).status_code == 422


def test_what_somebody_else_changed_meanwhile_is_shown(signed_in, patient):
    first = AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    where = url("newly_asked", patient.pk)
    sent = filled(signed_in, where, **{"about-mobility": "frame"})
    theirs = {**OLD_ANSWERS, "person": {"menopause": "after", "mobility": "stick"}}
    AssessmentFactory(patient=patient, answers=theirs)
    assert sent["based_on"] == [str(first.pk)]
    answer = signed_in.post(where, sent)
    assert answer.status_code == 409
    said = text_of(answer)
    assert "with a stick" in said
    assert "with a frame" in said
    assert now(patient).person.mobility == "stick"


def test_a_form_of_another_patient_is_refused(signed_in, patient):
    AssessmentFactory(patient=patient, answers=OLD_ANSWERS)
    sent = filled(signed_in, url("newly_asked", patient.pk))
    other = url("newly_asked", PatientFactory().pk)
    assert signed_in.post(other, sent).status_code == 409


def test_sent_twice_it_is_saved_once(signed_in, patient):
    row = FractureFactory(patient=patient, site="other", date=None)
    AssessmentFactory(patient=patient, answers=ALL_ANSWERED)
    where = url("newly_asked", patient.pk)
    sent = filled(signed_in, where, **{f"fracture{row.pk}-site": "rib"})
    for _ in range(2):
        assert signed_in.post(where, sent).status_code == 302
    assert FractureRow.objects.count() == 2


@pytest.mark.counted
def test_several_rows_put_right_are_one_action():
    """The first line of the record carries the token, whatever was saved."""
    by, patient, token = UserFactory(), PatientFactory(), uuid4()
    at = timezone.now()
    rows = [FractureFactory(patient=patient, site="other", date=None) for _ in range(2)]
    for _ in range(2):
        save_sections(
            patient=patient,
            parts={},
            as_of=timezone.localdate(),
            based_on=None,
            corrected=[(row, FractureRow(site="rib")) for row in rows],
            by=by,
            at=at,
            token=token,
        )
    assert FractureRow.objects.filter(withdrawn_at=None, site="rib").count() == 2
    assert Audit.objects.filter(token=token).count() == 1


def test_clearances_that_say_nothing_of_the_dose_are_named(signed_in, patient):
    from safety.models import Clearance

    AssessmentFactory(patient=patient, answers=ALL_ANSWERED)
    day = timezone.localdate()
    held = {
        "patient": patient,
        "subject": "stroke",
        "modalities": ["plate"],
        "given_by": "Example ward",
        "on": day,
        "until": day,
        "recorded_by": UserFactory(),
        "recorded_at": timezone.now(),
    }
    Clearance.objects.create(**held, limits="none")
    assert "Clearances" not in page(signed_in, patient)
    Clearance.objects.create(**held)
    said = page(signed_in, patient)
    assert "Stroke or TIA: vibration plate, by Example ward" in said
