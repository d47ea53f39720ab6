"""Actions: what they write, refuse and record, and that a form sent twice counts once."""

import datetime as dt
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction

from patients import audit
from patients.actions import patient_record
from patients.actions.patient_record import Identity
from patients.actions.refusals import Conflict, Duplicate, Refused
from patients.facts.sections import SECTIONS
from patients.kept_rows import NeverChanged
from patients.models.patient import (
    Assessment,
    Audit,
    FractureRow,
    Patient,
    ScanRow,
    SizeRow,
)
from patients.rows_to_facts import Contradiction, facts_of
from tests.factories import (
    DAY,
    MOMENT,
    AssessmentFactory,
    FractureFactory,
    FunctionTestDayFactory,
    LiftFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
    UserFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.database]
ANN = Identity(given_name="Ann", family_name="Fictional", born=dt.date(1950, 1, 1), sex="female")


@pytest.fixture
def by():
    return UserFactory(first_name="Casey", last_name="Inventa")


def add(by, who=ANN, **more):
    return patient_record.add_patient(who=who, by=by, at=MOMENT, **more)


def save(patient, by, code, part, **more):
    values = {"as_of": DAY, "based_on": None, "at": MOMENT} | more
    return patient_record.save_section(
        patient=patient, section=SECTIONS[code], answers=part, by=by, **values
    )


def test_add_patient_writes_row_and_record(by):
    patient = add(by)
    line = Audit.objects.get()
    assert (line.action, line.object_id, line.actor_name) == (
        "add patient",
        str(patient.pk),
        "Casey Inventa",
    )
    assert '"given_name":"Ann"' in line.new


@pytest.mark.parametrize(
    ("given", "family"), [("Anne", "Fictional"), ("Ann", "Fictionel"), ("Ann", "Newname")]
)
def test_c07_the_same_person_twice_is_pointed_out(by, given, family):
    first = add(by)
    second = Identity(given_name=given, family_name=family, born=ANN.born, sex="female")
    with pytest.raises(Duplicate) as raised:
        add(by, second)
    assert raised.value.matches == (first,)
    assert Patient.objects.count() == 1


def test_c07_goes_on_with_a_reason(by):
    add(by)
    add(by, reason="A twin sister")
    assert Patient.objects.count() == 2
    assert Audit.objects.last().reason == "A twin sister"


def test_another_birthday_or_another_name_is_another_person(by):
    add(by)
    add(by, Identity(**{**vars(ANN), "born": dt.date(1950, 1, 2)}))
    add(by, Identity(**{**vars(ANN), "given_name": "Berta", "family_name": "Xanadu"}))
    assert Patient.objects.count() == 3


def test_a_record_number_in_use_is_pointed_out(by):
    PatientFactory(record_number="000123")
    with pytest.raises(Duplicate):
        add(by, Identity(**{**vars(ANN), "record_number": "000123"}))


def test_leading_zeros_of_a_record_number_stay(by):
    patient = add(by, Identity(**{**vars(ANN), "record_number": "000123"}))
    patient.refresh_from_db()
    assert patient.record_number == "000123"


def test_d03_one_form_sent_twice_adds_one_patient(by):
    token = uuid4()
    assert add(by, token=token) == add(by, token=token)
    assert Patient.objects.count() == 1


def test_change_patient_counts_versions_and_keeps_the_old_name_in_the_record(by):
    patient = add(by)
    who = Identity(**{**vars(ANN), "family_name": "O'Grady"})
    changed = patient_record.change_patient(patient=patient, who=who, version=1, by=by, at=MOMENT)
    assert (changed.family_name, changed.version) == ("O'Grady", 2)
    assert '"family_name":"Fictional"' in Audit.objects.last().old


def test_d06_the_second_saver_of_a_name_sees_a_conflict(by):
    patient = add(by)
    mine = Identity(**{**vars(ANN), "given_name": "Mine"})
    theirs = Identity(**{**vars(ANN), "given_name": "Theirs"})
    patient_record.change_patient(patient=patient, who=theirs, version=1, by=by, at=MOMENT)
    with pytest.raises(Conflict) as raised:
        patient_record.change_patient(patient=patient, who=mine, version=1, by=by, at=MOMENT)
    assert raised.value.theirs["given_name"] == "Theirs"
    assert raised.value.mine["given_name"] == "Mine"
    patient.refresh_from_db()
    assert patient.given_name == "Theirs"


def test_a_change_sent_twice_counts_once(by):
    patient, token = add(by), uuid4()
    for _ in range(2):
        patient_record.change_patient(
            patient=patient, who=ANN, version=1, by=by, at=MOMENT, token=token
        )
    patient.refresh_from_db()
    assert patient.version == 2


def test_a_date_of_birth_after_a_scan_is_refused_and_nothing_stays(by):
    patient = ScanFactory(date=dt.date(2026, 1, 20)).patient
    who = Identity(**{**vars(patient_record.identity_of(patient)), "born": dt.date(2026, 1, 21)})
    with pytest.raises(Contradiction):
        patient_record.change_patient(patient=patient, who=who, version=1, by=by, at=MOMENT)
    patient.refresh_from_db()
    assert (patient.born, patient.version) == (dt.date(1959, 8, 14), 1)
    assert Audit.objects.count() == 0


def test_add_measured_writes_each_row_once(by):
    patient, token = PatientFactory(), uuid4()
    for _ in range(2):
        rows = [
            ScanRow(date=DAY, site=site, t=Decimal("-2.1"))
            for site in ("total_hip", "femoral_neck")
        ]
        patient_record.add_measured(patient=patient, rows=rows, by=by, at=MOMENT, token=token)
    assert ScanRow.objects.count() == 2
    assert [line.action for line in Audit.objects.all()] == ["add scan", "add scan"]


@pytest.mark.parametrize(("days", "accepted"), [(0, True), (1, False)])
def test_a_measurement_lies_no_later_than_today(by, days, accepted):
    row = SizeRow(date=DAY + dt.timedelta(days=days), weight_kg=Decimal("58.0"))
    patient = PatientFactory()
    if accepted:
        patient_record.add_measured(patient=patient, rows=[row], by=by, at=MOMENT)
    else:
        with pytest.raises(Refused):
            patient_record.add_measured(patient=patient, rows=[row], by=by, at=MOMENT)
    assert SizeRow.objects.exists() is accepted


def test_a_row_without_a_date_is_accepted(by):
    patient = PatientFactory()
    patient_record.add_measured(patient=patient, rows=[FractureRow(site="hip")], by=by, at=MOMENT)
    assert facts_of(patient, DAY).fractures[0].date is None


def test_a_value_out_of_its_range_is_refused_whole(by):
    row = SizeRow(date=DAY, weight_kg=Decimal("24.9"))
    with pytest.raises(Contradiction):
        patient_record.add_measured(patient=PatientFactory(), rows=[row], by=by, at=MOMENT)
    assert not SizeRow.objects.exists()
    assert not Audit.objects.exists()


def test_a_correction_withdraws_what_it_corrects(by):
    wrong = ScanFactory(t=Decimal("2.1"))
    right = ScanRow(date=wrong.date, site=wrong.site, t=Decimal("-2.1"))
    patient_record.add_measured(
        patient=wrong.patient, rows=[right], corrects=wrong, by=by, at=MOMENT
    )
    assert [scan.t for scan in facts_of(wrong.patient, DAY).scans] == [-2.1]


def test_a_correction_without_a_row_withdraws_nothing(by):
    row = ScanFactory()
    patient_record.add_measured(patient=row.patient, rows=[], corrects=row, by=by, at=MOMENT)
    row.refresh_from_db()
    assert row.withdrawn_at is None


@pytest.mark.parametrize("gone", ["withdrawn", "another patient"])
def test_what_is_gone_cannot_be_corrected(by, gone):
    row = ScanFactory(withdrawn=gone == "withdrawn")
    patient = row.patient if gone == "withdrawn" else PatientFactory()
    with pytest.raises(Refused):
        patient_record.add_measured(
            patient=patient, rows=[ScanRow(date=DAY, site="total_hip")], corrects=row,
            by=by, at=MOMENT,
        )  # fmt: skip
    assert ScanRow.objects.count() == 1


def test_save_section_carries_the_others_over(by):
    patient = PatientFactory()
    first = save(patient, by, "falls", {"falls": {"last_12_months": 1}})
    second = save(patient, by, "aims", {"aims": ["hip"]}, based_on=first.pk)
    assert second.answers == {"falls": {"last_12_months": 1}, "aims": ["hip"]}
    assert second.answered == {"falls": "2026-03-02", "aims": "2026-03-02"}
    assert Assessment.objects.count() == 2


def test_save_section_takes_no_answers_of_another_section(by):
    made = save(PatientFactory(), by, "falls", {"falls": {"unsteady": "no"}, "aims": ["hip"]})
    assert made.answers == {"falls": {"unsteady": "no"}}


def test_save_section_adds_rows_and_answers_together_or_neither(by):
    patient = PatientFactory()
    save(patient, by, "fractures", {}, rows=[FractureRow(site="hip", low_trauma=True)])
    assert [line.action for line in Audit.objects.all()] == ["save fractures", "add fracture"]
    late = FractureRow(site="hip", date=DAY + dt.timedelta(days=1))
    with pytest.raises(Refused):
        save(patient, by, "fractures", {"spine_image": {"answer": "no"}}, rows=[late])
    assert Assessment.objects.count() == 1


def test_save_section_sent_twice_counts_once(by):
    patient, token = PatientFactory(), uuid4()
    for _ in range(2):
        save(patient, by, "falls", {"falls": {"last_12_months": 1}}, token=token)
    assert Assessment.objects.count() == 1


def test_d06_a_section_changed_meanwhile_is_a_conflict_with_both_sides(by):
    patient = PatientFactory()
    base = save(patient, by, "falls", {"falls": {"last_12_months": 0}})
    save(patient, by, "falls", {"falls": {"last_12_months": 1}}, based_on=base.pk)
    with pytest.raises(Conflict) as raised:
        save(patient, by, "falls", {"falls": {"last_12_months": 2}}, based_on=base.pk)
    assert raised.value.theirs == {"falls": {"last_12_months": 1}}
    assert raised.value.mine == {"falls": {"last_12_months": 2}}
    assert facts_of(patient, DAY).falls.last_12_months == 1


def test_d06_a_first_answer_meanwhile_is_a_conflict_too(by):
    patient = PatientFactory()
    save(patient, by, "falls", {"falls": {"last_12_months": 1}})
    with pytest.raises(Conflict):
        save(patient, by, "falls", {"falls": {"last_12_months": 2}}, based_on=None)


def test_another_section_changed_meanwhile_is_no_conflict(by):
    patient = PatientFactory()
    base = save(patient, by, "falls", {"falls": {"last_12_months": 0}})
    save(patient, by, "aims", {"aims": ["hip"]}, based_on=base.pk)
    save(patient, by, "falls", {"falls": {"last_12_months": 1}}, based_on=base.pk)
    facts = facts_of(patient, DAY)
    assert (facts.falls.last_12_months, facts.aims) == (1, ("hip",))


def test_the_same_answer_from_both_is_no_conflict(by):
    patient = PatientFactory()
    base = save(patient, by, "falls", {"falls": {"last_12_months": 0}})
    for _ in range(2):
        save(patient, by, "falls", {"falls": {"last_12_months": 1}}, based_on=base.pk)
    assert facts_of(patient, DAY).falls.last_12_months == 1


def test_answers_that_cannot_be_read_are_refused(by):
    patient = PatientFactory()
    with pytest.raises(Contradiction):
        save(patient, by, "falls", {"falls": {"last_12_months": 201}})
    assert not Assessment.objects.exists()


def test_a_tallest_height_under_todays_is_refused(by):
    patient = SizeFactory(height_cm=Decimal("166.1")).patient
    with pytest.raises(Contradiction):
        save(patient, by, "about", {"person": {"tallest_height_cm": 164}})
    save(patient, by, "about", {"person": {"tallest_height_cm": 166.1}})


def test_the_chain_verifies_and_keeps_the_name_as_it_was(by):
    add(by)
    by.last_name = "Renamed"
    by.save()
    assert audit.verify_chain() is None
    assert Audit.objects.get().actor_name == "Casey Inventa"


# The table and query are what a person with write access could send past the app.
def raw(sql, *values):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, values)


@pytest.mark.parametrize("table", ["patients_assessment", "patients_audit"])
@pytest.mark.parametrize("change", ["UPDATE {} SET {} = {}", "DELETE FROM {}"])
def test_the_database_refuses_to_change_what_is_kept(by, table, change):
    AssessmentFactory()
    add(by)
    column = "section" if table == "patients_assessment" else "reason"
    with pytest.raises((IntegrityError, DatabaseError)):
        raw(change.format(table, column, "'forged'"))


@pytest.mark.parametrize(
    "factory",
    [SizeFactory, FractureFactory, ScanFactory, MarkerFactory, FunctionTestDayFactory, LiftFactory],
)
def test_the_database_refuses_to_delete_a_measurement(factory):
    row = factory()
    with pytest.raises((IntegrityError, DatabaseError)):
        raw(f"DELETE FROM {row._meta.db_table}")
    with pytest.raises(NeverChanged):
        row.delete()


def test_a_saved_assessment_or_line_is_never_saved_again_or_deleted(by):
    assessment = AssessmentFactory()
    add(by)
    for row in (assessment, Audit.objects.get()):
        with pytest.raises(NeverChanged):
            row.save()
        with pytest.raises(NeverChanged):
            row.delete()


def test_fractures_of_other_patients_stay_out(by):
    FractureFactory()
    assert facts_of(PatientFactory(), DAY).fractures is None
