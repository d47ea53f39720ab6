"""Rows that stay as they were written: the database refuses, and so does the model."""

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, connection, models, transaction
from django.db.migrations.executor import MigrationExecutor

from patients.kept_rows import NeverChanged
from programs.models.database_copies import DatabaseCopy
from programs.models.phone import (
    PhoneCode,
    PhoneDecision,
    PhoneEnd,
    PhoneEntry,
    PhoneOpening,
)
from programs.models.program import Handout, Plan, PlanEdit, SessionLog, SignedPlan
from programs.models.record_check import RecordCheck
from programs.models.rescreen import Rescreen, RescreenBatch
from programs.models.rulebook_check import RulebookCheck
from tests.programs import rows

KEPT = [
    *(PlanEdit, SignedPlan, Handout, RecordCheck, RulebookCheck, RescreenBatch, Rescreen),
    *(DatabaseCopy, PhoneCode, PhoneOpening, PhoneEnd, PhoneEntry, PhoneDecision),
]


@pytest.fixture
def kept(clinician: User) -> dict[type[models.Model], models.Model]:
    """One row of each kind that is kept as it is."""
    plan = rows.plan(rows.patient(clinician), clinician)
    signed, batch = rows.signed(plan, clinician), rows.rescreen_batch()
    return {
        PlanEdit: rows.edit(plan, clinician),
        SignedPlan: signed,
        Handout: rows.handout(signed),
        RecordCheck: rows.record_check(),
        RulebookCheck: rows.rulebook_check(signed),
        RescreenBatch: batch,
        Rescreen: rows.rescreen(plan.patient, batch=batch),
        DatabaseCopy: rows.database_copy(),
        **rows.phone_rows(signed, clinician),
    }


def triggers() -> set[str]:
    """Return the names of the triggers that stand in the database now."""
    if connection.vendor == "postgresql":
        asked = "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal"
    else:
        asked = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(asked)
        return {name for (name,) in cursor.fetchall()}


@pytest.mark.django_db
@pytest.mark.parametrize("model", KEPT)
def test_the_triggers_stand_after_all_migrations(model: type[models.Model]) -> None:
    """A later migration that rebuilds the table on SQLite would take them away."""
    table = model._meta.db_table
    assert {f"{table}_no_update", f"{table}_no_delete"} <= triggers()


@pytest.mark.django_db
@pytest.mark.parametrize("model", [Plan, SessionLog])
def test_plans_and_sessions_are_not_deleted(model: type[models.Model]) -> None:
    assert f"{model._meta.db_table}_no_delete" in triggers()


@pytest.mark.django_db
def test_a_rebuilt_table_would_be_noticed() -> None:
    """The check above sees what a rebuild does, so it can fail."""
    if connection.vendor != "sqlite":
        pytest.skip("only SQLite rebuilds a table to alter it")
    state = MigrationExecutor(connection).loader.project_state()
    model = state.apps.get_model("programs", "SignedPlan")
    old = model._meta.get_field("rulebook")
    new = models.CharField(max_length=41, null=True)
    new.set_attributes_from_name("rulebook")
    # Not entered as a context: inside a test's transaction SQLite would refuse that.
    editor = connection.schema_editor(atomic=False)
    editor.deferred_sql = []
    editor._remake_table(model, alter_fields=[(old, new)])
    assert "programs_signedplan_no_update" not in triggers()


@pytest.mark.parametrize("model", KEPT)
def test_raw_sql_is_refused(model: type[models.Model], kept: dict[type, models.Model]) -> None:
    table, pk = model._meta.db_table, kept[model].pk
    for sql in (f"UPDATE {table} SET id = id WHERE id = %s", f"DELETE FROM {table} WHERE id = %s"):
        with (
            pytest.raises(IntegrityError, match="kept as they are"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(sql, [pk])
    assert model._default_manager.filter(pk=pk).exists()


@pytest.mark.parametrize("model", KEPT)
def test_bulk_changes_are_refused(
    model: type[models.Model], kept: dict[type, models.Model]
) -> None:
    queryset, field = model._default_manager.all(), model._meta.concrete_fields[-2].attname
    row = kept[model]
    attempts = [
        lambda: queryset.update(**{field: getattr(row, field)}),
        lambda: queryset.bulk_update([row], [model._meta.concrete_fields[-2].name]),
        lambda: queryset._raw_delete(queryset.db),
        lambda: queryset.delete(),
    ]
    for attempt in attempts:
        with pytest.raises((IntegrityError, models.ProtectedError)), transaction.atomic():
            attempt()
    assert queryset.count() == 1


@pytest.mark.parametrize("model", KEPT)
def test_the_model_refuses_first(model: type[models.Model], kept: dict[type, models.Model]) -> None:
    with pytest.raises(NeverChanged):
        kept[model].save()
    with pytest.raises(NeverChanged):
        kept[model].delete()


def test_a_logged_session_is_withdrawn_not_deleted(clinician: User) -> None:
    plan = rows.plan(rows.patient(clinician), clinician)
    session = rows.session(rows.signed(plan, clinician), clinician)
    with pytest.raises(NeverChanged):
        session.delete()
    session.withdrawn_reason = "of another person"
    session.save(update_fields=["withdrawn_reason"])


def test_pain_and_effort_run_from_0_to_10(clinician: User) -> None:
    signed = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    rows.session(signed, clinician, pain=10, effort=0)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.session(signed, clinician, pain=11)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.session(signed, clinician, effort=11)


def test_one_open_draft_and_one_plan_of_a_version(clinician: User) -> None:
    patient = rows.patient(clinician)
    rows.plan(patient, clinician, state="dropped")
    rows.plan(patient, clinician, state="dropped")
    rows.plan(patient, clinician)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.plan(patient, clinician, version=2)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.plan(patient, clinician, state="signed")


def test_the_chain_of_digests_cannot_fork(clinician: User) -> None:
    first = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    other = rows.plan(rows.patient(clinician), clinician)
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.signed(other, clinician, previous_digest=first.previous_digest)
