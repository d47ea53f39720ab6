"""Rows held against the lines that tell of them, each of the shapes that a line ever had."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients import audit
from patients.append_only import drop_triggers
from patients.models.patient import Assessment, Audit, Patient, ScanRow
from programs.actions.rows_against_record import of_clinic, of_lines, of_people
from programs.models.program_state import ProgramState
from tests.programs import rows
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.database


@pytest.fixture
def her(clinician: User) -> Patient:
    return rows.patient(clinician)


def told_of(patient: Patient) -> list[str]:
    return list(of_people([patient.pk], "default"))


def scan(of: Patient, by: User) -> ScanRow:
    measured = {"date": dt.date(2026, 1, 5), "site": "total_hip", "t": "-2.7"}
    return ScanRow.objects.create(patient=of, entered_by=by, entered_at=AT, **measured)


def test_rows_of_a_file_stand_in_one_line(her: Patient, clinician: User) -> None:
    row = scan(her, clinician)
    rows.on_record(her, "import scan", {"rows": [audit.state_of(row)]}, clinician)
    assert told_of(her) == []
    rows.rewrite(row, t="-1.0")
    line = Audit.objects.latest("seq").seq
    assert told_of(her) == [f"Scan {row.pk}: line {line} of the record has another t."]


def test_a_row_that_no_line_tells_of_is_told(her: Patient, clinician: User) -> None:
    row = scan(her, clinician)
    assert told_of(her) == [f"Scan {row.pk}: no line of the record tells of it."]
    # Held against the lines alone, nothing is missing.
    assert list(of_lines(list(Audit.objects.all()), "default")) == []


def test_a_state_from_before_states_were_recorded_has_no_line(
    her: Patient, clinician: User
) -> None:
    signed = rows.without_state(rows.plan(her, clinician), clinician)
    given = {"signed": signed, "state": ProgramState.IN_FORCE, "why": "Given.", "at": AT}
    ProgramState.objects.create(**given, by=clinician)
    assert told_of(her) == []


def older_line(her: Patient, by: User, told: dict[str, Any]) -> Assessment:
    """Return answers whose line tells one section alone, as lines did at first."""
    answers = {"falls": {"last_12_months": 2}, "symptoms": {"fever": "no"}}
    kept = {"as_of": DAY, "made_by": by, "made_at": AT}
    row = Assessment.objects.create(patient=her, answers=answers, section="falls", **kept)
    return rows.on_record(row, "save falls", told, by)


def test_a_line_may_tell_one_section_alone(her: Patient, clinician: User) -> None:
    older_line(her, clinician, {"falls": {"last_12_months": 2}})
    assert told_of(her) == []


def test_a_section_changed_beside_such_a_line_is_told(her: Patient, clinician: User) -> None:
    row = older_line(her, clinician, {"falls": {"last_12_months": 0}})
    line = Audit.objects.latest("seq").seq
    assert told_of(her) == [f"Assessment {row.pk}: line {line} of the record has another answers."]


def test_a_changed_line_is_told_before_what_it_tells(her: Patient, clinician: User) -> None:
    line = Audit.objects.latest("seq")
    drop_triggers(connection.schema_editor(), ("patients_audit",))
    Audit.objects.filter(pk=line.pk).update(reason="another")
    assert told_of(her) == [f"Line {line.seq} of the record: is not as it was written."]


def test_of_the_rows_that_are_gone_the_first_line_of_each_kind_is_told(
    her: Patient, clinician: User
) -> None:
    for _ in range(2):
        row = rows.on_record(scan(her, clinician), "add scan", by=clinician)
        drop_triggers(connection.schema_editor(), ("patients_scanrow",))
        ScanRow.objects.filter(pk=row.pk)._raw_delete("default")
    (told,) = of_clinic("default")
    first = Audit.objects.filter(object_type="patients.scanrow").earliest("seq")
    assert told.startswith(f"Line {first.seq} of the record tells of scan")
