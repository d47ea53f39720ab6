"""What the database itself refuses: to replace or empty what is kept, to change what is closed."""

from __future__ import annotations

from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import IntegrityError, connection, models, transaction

from patients.actions.withdrawing import withdraw
from patients.kept_rows import Kept, Withdrawable
from patients.models.patient import Audit, Patient
from patients.models.scanners import Scanner
from programs.models.plates import ClinicPlate
from programs.models.program import Plan, Review, SessionLog
from tests.gate.project import APPS
from tests.programs import rows
from tests.programs.models.test_program import triggers
from tests.programs.rows import AT

ALL = [model for app in APPS for model in apps.get_app_config(app).get_models()]
NEVER_CHANGED = [model for model in ALL if issubclass(model, Kept)]
STRUCK_OUT = [model for model in ALL if issubclass(model, Withdrawable)]
NEVER_DELETED = [*NEVER_CHANGED, *STRUCK_OUT, Plan, Review, Patient, Scanner, ClinicPlate]


@pytest.mark.django_db
def test_every_table_that_is_kept_has_its_refusals() -> None:
    """A later migration that rebuilds a table on SQLite would take them away."""
    wholesale = "truncate" if connection.vendor == "postgresql" else "replace"
    wanted = {
        f"{model._meta.db_table}_no_{what}"
        for model in NEVER_DELETED
        for what in ("delete", wholesale)
    }
    closed = [*NEVER_CHANGED, *STRUCK_OUT, Plan, Review]
    wanted |= {f"{model._meta.db_table}_no_update" for model in closed}
    assert wanted - triggers() == set()


@pytest.fixture
def held(clinician: User) -> list[models.Model]:
    """A signed program with all that hangs on it; its plan is signed, a session is struck out."""
    patient = rows.recorded(clinician)
    plan = rows.plan(patient, clinician, state=Plan.SIGNED, version=2)
    signed = rows.signed(plan, clinician)
    struck_out = rows.session(signed, clinician)
    withdraw(row=struck_out, reason="of another person", by=clinician, at=AT)
    review = rows.review(signed, clinician, next_plan=rows.plan(patient, clinician, version=3))
    standing = rows.session(signed, clinician)
    return [
        *(patient, plan, signed, review, struck_out, standing),
        *(rows.handout(signed), rows.edit(plan, clinician), Audit.objects.earliest("pk")),
    ]


def run(sql: str) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)


def test_no_row_is_put_in_the_place_of_another(held: list[models.Model]) -> None:
    """By its key or by any other that must be one of its kind."""
    if connection.vendor != "sqlite":
        for row in held:
            with pytest.raises(IntegrityError, match="kept as they are"):
                # What a test has just written must not stand in the way of emptying.
                run(f"SET CONSTRAINTS ALL IMMEDIATE; TRUNCATE {row._meta.db_table} CASCADE")
        return
    for row in held:
        table, key = row._meta.db_table, row._meta.pk.column
        columns = [field.column for field in row._meta.concrete_fields]
        named = ", ".join(f'"{column}"' for column in columns)
        sql = f"INSERT OR REPLACE INTO {table} ({named}) SELECT {named} FROM {table}"
        with pytest.raises(IntegrityError, match="kept as they are"):
            run(f'{sql} WHERE "{key}" = {row.pk}')
        assert type(row)._base_manager.filter(pk=row.pk).exists()


def test_a_row_of_another_number_with_the_same_version_replaces_none(
    held: list[models.Model],
) -> None:
    """Also where the rule is over some rows only: a dropped plan gives its number back."""
    plan = held[1]
    columns = [f.column for f in Plan._meta.concrete_fields if f.column != "id"]
    named = ", ".join(f'"{column}"' for column in columns)
    values = named.replace('"state"', "'{state}'")
    word = "INSERT OR REPLACE INTO" if connection.vendor == "sqlite" else "INSERT INTO"
    sql = f"{word} programs_plan ({named}) SELECT {values} FROM programs_plan WHERE id = {plan.pk}"
    with pytest.raises(IntegrityError):
        run(sql.format(state=Plan.SIGNED))
    run(sql.format(state=Plan.DROPPED))
    assert Plan.objects.filter(patient=plan.patient, version=2).count() == 2


def changed(row: models.Model, field: models.Field[Any, Any]) -> Any:
    """Return another value for a column."""
    if isinstance(field, models.JSONField):
        return {"another": 1}
    if isinstance(field, models.BooleanField):
        return not getattr(row, field.attname)
    if isinstance(field, models.DateField):
        other = AT.replace(year=1999)
        return other if isinstance(field, models.DateTimeField) else other.date()
    number = models.IntegerField | models.DecimalField | models.ForeignKey
    if isinstance(field, number):
        return (getattr(row, field.attname) or 0) + 1
    return "another"[: field.max_length]


def refused(row: models.Model) -> set[str]:
    """Return the columns of a row that the database refuses to change."""
    found = set()
    for field in row._meta.concrete_fields:
        rows_of = type(row)._base_manager.filter(pk=row.pk)
        try:
            with transaction.atomic():
                rows_of.update(**{field.attname: changed(row, field)})
                transaction.set_rollback(True)
        except IntegrityError as error:
            if "kept as they are" in str(error):
                found.add(field.name)
    return found


def columns(model: type[models.Model]) -> set[str]:
    return {field.name for field in model._meta.concrete_fields}


def test_nothing_of_a_plan_changes_once_it_is_signed(
    held: list[models.Model], clinician: User
) -> None:
    assert refused(held[1]) == columns(Plan)
    draft = Plan.objects.get(state=Plan.DRAFT)
    draft.state, draft.lock = Plan.DROPPED, 2
    draft.save(update_fields=["state", "lock"])
    assert refused(draft) == columns(Plan)


def test_of_a_row_that_stands_only_the_striking_out_is_written(held: list[models.Model]) -> None:
    struck_out, standing = held[4:6]
    assert refused(struck_out) == columns(SessionLog)
    striking = {"withdrawn_by", "withdrawn_at", "withdrawn_reason"}
    assert refused(standing) == columns(SessionLog) - striking


def test_of_a_review_only_what_it_led_to_is_written_once(
    held: list[models.Model], clinician: User
) -> None:
    assert refused(held[3]) == columns(Review)
    plan = Plan.objects.filter(state=Plan.SIGNED).get()
    assert refused(rows.review(plan.signed, clinician)) == columns(Review) - {"next_plan"}
