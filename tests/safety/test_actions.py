"""Keeping a screen, giving and withdrawing a clearance; what stays as it was written."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, transaction

from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.audit import verify_chain
from patients.kept_rows import NeverChanged
from patients.models.patient import Audit, Patient
from patients.rows_to_facts import Contradiction, facts_of
from patients.staff.rights import Role
from safety.actions import (
    add_clearance,
    findings_digest,
    newest_screening,
    screen_patient,
)
from safety.facts_with_clearances import facts_for
from safety.findings import Modality
from safety.models import Clearance, Contraindication, RiskFlag, Screening
from safety.rules.all_rules import RULEBOOK
from safety.screen import Status, screen
from tests.factories import DAY, MOMENT, FractureFactory, PatientFactory, ScanFactory, UserFactory
from tests.safety.rows import cleared, known_patient
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.database]


@pytest.fixture
def by() -> User:
    user: User = UserFactory()
    return user


@pytest.fixture
def patient() -> Patient:
    return known_patient()


def kept(patient: Patient, by: User, day: dt.date = DAY) -> Screening:
    return screen_patient(patient=patient, as_of=day, by=by, at=MOMENT)


# --- The screen -----------------------------------------------------------------------------


def test_a_screen_is_kept_as_it_was_read(patient: Patient, by: User) -> None:
    FractureFactory(patient=patient, site="vertebra")
    made = kept(patient, by)
    seen = screen(facts_for(patient, DAY))
    assert made.rulebook == RULEBOOK
    assert made.findings_digest == findings_digest(seen)
    rows = list(made.findings.all())
    assert [row.place for row in rows] == list(range(1, len(seen.findings) + 1))
    assert [(r.rule, r.level, r.text) for r in rows] == [
        (f.rule, str(f.level), f.text) for f in seen.findings
    ]
    assert [(r.sources, r.facts, r.missing) for r in rows] == [
        (list(f.sources), list(f.facts), list(f.missing)) for f in seen.findings
    ]
    assert [(r.cleared, r.holds, r.blocks) for r in rows] == [
        (f.cleared, f.holds, f.blocks) for f in seen.findings
    ]
    risks = {risk.kind: risk for risk in made.risks.all()}
    assert risks["fracture"].level == seen.situation.fracture_risk.level
    assert risks["fall"].drafted_as == seen.situation.fall_risk.drafted_as
    assert [c["code"] for c in risks["fracture"].criteria] == [
        c.code for c in seen.situation.fracture_risk.criteria
    ]


def test_it_is_audited(patient: Patient, by: User) -> None:
    made = kept(patient, by)
    line = Audit.objects.get(action="screen")
    assert line.object_id == str(made.pk)
    assert line.actor == by
    assert json.loads(line.new)["findings_digest"] == made.findings_digest
    assert verify_chain() is None


def test_the_same_outcome_of_a_day_is_kept_once(patient: Patient, by: User) -> None:
    first = kept(patient, by)
    assert kept(patient, by) == first
    assert Screening.objects.count() == 1
    assert Audit.objects.filter(action="screen").count() == 1


def test_a_new_finding_is_kept_anew_and_so_is_another_day(patient: Patient, by: User) -> None:
    first = kept(patient, by)
    FractureFactory(patient=patient, site="vertebra")
    second = kept(patient, by)
    third = kept(patient, by, DAY + dt.timedelta(days=1))
    assert len({first.pk, second.pk, third.pk}) == 3
    assert newest_screening(patient, DAY) == second
    assert second.findings_digest != first.findings_digest
    assert second.findings_digest == third.findings_digest


def test_a_fact_that_changes_no_finding_is_not_kept_anew(patient: Patient, by: User) -> None:
    first = kept(patient, by)
    ScanFactory(patient=patient, date=dt.date(2020, 1, 1), t="-0.5")
    assert kept(patient, by) == first


def test_nothing_is_kept_where_the_facts_contradict(by: User) -> None:
    patient = PatientFactory(born=dt.date(2026, 3, 1))
    ScanFactory(patient=patient, date=dt.date(2026, 1, 1))
    with pytest.raises(Contradiction):
        kept(patient, by)
    assert not Screening.objects.exists()


@pytest.mark.parametrize("of", [Screening, RiskFlag, Contraindication])
def test_what_is_kept_is_never_changed(patient: Patient, by: User, of: Any) -> None:
    FractureFactory(patient=patient, site="vertebra")
    kept(patient, by)
    row = of.objects.first()
    with pytest.raises(NeverChanged):
        row.save()
    with pytest.raises(NeverChanged):
        row.delete()


@pytest.mark.parametrize(
    ("table", "refused"),
    [
        (Screening, ("UPDATE", "DELETE")),
        (RiskFlag, ("UPDATE", "DELETE")),
        (Contraindication, ("UPDATE", "DELETE")),
        (Clearance, ("DELETE",)),
    ],
)
def test_the_database_itself_refuses(
    patient: Patient, by: User, table: Any, refused: tuple[str, ...]
) -> None:
    cleared(patient, "stones", "plate")
    FractureFactory(patient=patient, site="vertebra")
    kept(patient, by)
    name = table._meta.db_table
    sql = {"UPDATE": f"UPDATE {name} SET id = id + 1000", "DELETE": f"DELETE FROM {name}"}
    for what in refused:
        with (
            pytest.raises(DatabaseError, match="kept as they are"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql[what])
    assert table.objects.exists()


# --- Clearances -----------------------------------------------------------------------------

LEAVE: dict[str, Any] = {
    "subject": "stones",
    "modalities": ["plate"],
    "given_by": "Urology clinic",
    "on": dt.date(2026, 2, 1),
    "until": dt.date(2026, 8, 1),
}


def added(patient: Patient, by: User, **changes: Any) -> Clearance:
    return add_clearance(patient=patient, by=by, at=MOMENT, **{**LEAVE, **changes})


def test_a_clearance_is_recorded_and_audited(patient: Patient, by: User) -> None:
    row = added(patient, by, note="By letter")
    assert (row.given_by, row.modalities, row.note) == ("Urology clinic", ["plate"], "By letter")
    assert row.modality_names == "vibration plate"
    line = Audit.objects.get(action="add clearance")
    assert json.loads(line.new)["subject"] == "stones"
    assert (line.actor, line.object_id) == (by, str(row.pk))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"subject": "boredom"}, "Say what the clearance is of."),
        ({"modalities": []}, "Say what the clearance is for."),
        ({"modalities": ["flight"]}, "One of these is expected"),
        ({"given_by": " "}, "A short text is expected"),
        ({"until": dt.date(2026, 1, 31)}, "The last day is before the first."),
        ({"subject": "low_t", "until": dt.date(2026, 1, 31)}, "The last day is before the first."),
        ({"on": dt.date(1950, 1, 1)}, "This is before the date of birth."),
    ],
)
def test_what_is_no_clearance_is_refused(
    patient: Patient, by: User, changes: dict[str, Any], said: str
) -> None:
    with pytest.raises(Refused, match=said.replace(".", r"\.")):
        added(patient, by, **changes)
    assert not Clearance.objects.exists()
    assert not Audit.objects.filter(action="add clearance").exists()


def test_one_form_sent_twice_is_one_clearance(patient: Patient, by: User) -> None:
    token = uuid4()
    first = added(patient, by, token=token)
    assert added(patient, by, token=token, given_by="Another") == first
    assert Clearance.objects.count() == 1


def test_a_clearance_is_withdrawn_with_a_reason_and_stays(patient: Patient, by: User) -> None:
    row = added(patient, by)
    withdraw(row=row, reason=" Wrong patient ", by=by, at=MOMENT)
    row.refresh_from_db()
    assert (row.withdrawn_by, row.withdrawn_reason) == (by, "Wrong patient")
    line = Audit.objects.get(action="withdraw clearance")
    assert line.reason == "Wrong patient"
    assert json.loads(line.old)["withdrawn_at"] is None


def test_withdrawing_twice_keeps_the_first_reason(patient: Patient, by: User) -> None:
    row = added(patient, by)
    for reason in ("First", "Second"):
        withdraw(row=row, reason=reason, by=by, at=MOMENT)
    row.refresh_from_db()
    assert row.withdrawn_reason == "First"
    assert Audit.objects.filter(action="withdraw clearance").count() == 1


def test_withdrawing_needs_a_reason(patient: Patient, by: User) -> None:
    row = added(patient, by)
    with pytest.raises(Refused):
        withdraw(row=row, reason="  ", by=by, at=MOMENT)
    with pytest.raises(NeverChanged):
        row.delete()
    row.refresh_from_db()
    assert row.withdrawn_at is None


# --- Facts with their clearances ------------------------------------------------------------


def test_without_a_clearance_the_facts_are_those_of_the_patient(patient: Patient) -> None:
    assert facts_for(patient, DAY) == facts_of(patient, DAY)


def test_clearances_are_put_where_the_rules_look(patient: Patient, by: User) -> None:
    added(patient, by)
    added(patient, by, subject="low_t")
    facts = facts_for(patient, DAY)
    assert facts.conditions is not None
    assert facts.clearances is not None
    assert facts.conditions["stones"].cleared is not None
    assert [c.by for c in facts.conditions["stones"].cleared] == ["Urology clinic"]
    assert facts.conditions["hernia"].cleared is None
    assert [(c.subject, c.modalities) for c in facts.clearances] == [("low_t", ("plate",))]


def test_a_clearance_lifts_until_it_is_withdrawn() -> None:
    patient = known_patient(conditions={"stones": "yes"})
    row = cleared(patient, "stones", "plate")
    assert screen(facts_for(patient, DAY)).status(Modality.PLATE) is Status.INCLUDED
    withdraw(row=row, reason="Wrong", by=row.recorded_by, at=MOMENT)
    assert screen(facts_for(patient, DAY)).status(Modality.PLATE) is Status.ON_HOLD


def test_where_nobody_asked_about_conditions_a_clearance_answers_nothing(by: User) -> None:
    patient = PatientFactory()
    cleared(patient, "stones", "plate")
    assert facts_for(patient, DAY).conditions is None


def test_the_clearances_of_others_are_theirs(patient: Patient) -> None:
    cleared(known_patient(), "low_t", "plate")
    assert facts_for(patient, DAY).clearances is None


def test_facts_take_two_queries(patient: Patient, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(2):
        facts_for(patient, DAY)


def test_only_a_clinician_records_a_clearance(patient: Patient) -> None:
    other = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(Refused, match="may not record or strike out a clearance"):
        added(patient, other)
    assert not Clearance.objects.exists()
