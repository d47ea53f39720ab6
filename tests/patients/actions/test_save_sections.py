"""Several sections saved in one go: all or nothing, and what clashes is shown at once."""

import datetime as dt
from uuid import uuid4

import pytest

from patients.actions import patient_record
from patients.actions.refusals import Conflict
from patients.models.patient import Assessment, Audit, FractureRow
from patients.rows_to_facts import Contradiction, facts_of
from tests.factories import DAY, MOMENT, PatientFactory, UserFactory
from tests.patients.actions.test_patient_record import save

pytestmark = pytest.mark.django_db


@pytest.fixture
def by():
    return UserFactory()


def save_all(patient, by, parts, **more):
    values = {"as_of": DAY, "based_on": None, "at": MOMENT} | more
    return patient_record.save_sections(patient=patient, parts=parts, by=by, **values)


FALLS, FEVER = {"falls": {"last_12_months": 2}}, {"symptoms": {"fever": "no"}}


def test_several_sections_are_written_each_with_its_line(by):
    patient = PatientFactory()
    wrist = FractureRow(site="wrist", date=dt.date(2011, 12, 31), date_is="year")
    token = uuid4()
    parts = {"falls": FALLS, "symptoms": FEVER, "aims": {}}
    sent = {"rows": [wrist], "token": token}
    assert save_all(patient, by, parts, **sent) == ["falls", "symptoms"]
    assert save_all(patient, by, parts, **sent) == []
    lines = [line.action for line in Audit.objects.all()]
    assert lines == ["save falls", "save symptoms", "add fracture"]
    newest = Assessment.objects.latest("pk")
    assert newest.answers == FALLS | FEVER
    assert newest.answered == {"falls": "2026-03-02", "symptoms": "2026-03-02"}
    assert facts_of(patient, DAY).fractures[0].date == dt.date(2011, 12, 31)


def test_of_several_sections_none_is_written_where_one_cannot_be_read(by):
    parts = {"falls": FALLS, "symptoms": {"symptoms": {"nonsense": "no"}}}
    with pytest.raises(Contradiction):
        save_all(PatientFactory(), by, parts)
    assert not Assessment.objects.exists()
    assert not Audit.objects.exists()


def test_of_several_sections_only_those_of_both_clash(by):
    patient = PatientFactory()
    based = save(patient, by, "falls", {"falls": {"last_12_months": 0}})
    newer = save(patient, by, "falls", {"falls": {"last_12_months": 5}}, based_on=based.pk)
    with pytest.raises(Conflict) as raised:
        save_all(patient, by, {"symptoms": FEVER, "falls": FALLS}, based_on=based.pk)
    conflict = raised.value
    assert (conflict.mine, conflict.theirs) == (
        {"falls": FALLS},
        {"falls": {"falls": {"last_12_months": 5}}},
    )
    assert conflict.now == newer
    assert save_all(patient, by, {"falls": FALLS}, based_on=newer.pk) == ["falls"]


def test_a_section_left_as_it_was_shown_keeps_what_another_wrote(by):
    patient = PatientFactory()
    based = save(patient, by, "falls", FALLS)
    save(patient, by, "falls", {"falls": {"last_12_months": 5}}, based_on=based.pk)
    parts = {"falls": FALLS, "symptoms": FEVER}
    assert save_all(patient, by, parts, based_on=based.pk) == ["symptoms"]
    assert facts_of(patient, DAY).falls.last_12_months == 5
