"""Every table from which a way leads to a person is in the export, or it is said why not."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from django.apps import apps
from django.db import models
from django.test.utils import isolate_apps

from patients.kept_rows import person
from patients.models.patient import Patient
from programs.export.table import Table
from programs.export.tables import MADE_ANEW, TABLES


def forward(model: type[models.Model]) -> dict[str, type[models.Model]]:
    """Return the tables that a table's own foreign keys lead to, by the name of the key."""
    keys = (one for one in model._meta.concrete_fields if one.many_to_one or one.one_to_one)
    return {one.name: one.related_model for one in keys}


def of_a_person(all_models: Iterable[type[models.Model]]) -> set[str]:
    """Return the tables from which foreign keys lead to Patient, however far."""
    tables = list(all_models)
    found: set[type[models.Model]] = {Patient}
    while more := {one for one in tables if found & {*forward(one).values()}} - found:
        found |= more
    return {one._meta.label_lower for one in found}


def test_no_table_of_a_person_is_forgotten() -> None:
    known = [*(table.model for table in TABLES), *MADE_ANEW]
    assert len(known) == len(set(known))
    assert of_a_person(apps.get_models()) == set(known)


@isolate_apps("programs")
def test_a_new_table_would_be_noticed_however_far_from_her_it_is() -> None:
    class Near(models.Model):
        of = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+")

        class Meta:
            app_label = "programs"

    class Far(models.Model):
        near = models.OneToOneField(Near, on_delete=models.PROTECT, related_name="+")

        class Meta:
            app_label = "programs"

    class Nobodys(models.Model):
        by = person()

        class Meta:
            app_label = "programs"

    found = of_a_person([*apps.get_models(), Near, Far, Nobodys])
    assert found - of_a_person(apps.get_models()) == {"programs.near", "programs.far"}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.key)
def test_each_way_leads_to_a_person_and_no_direct_one_is_left_out(table: Table) -> None:
    model = apps.get_model(table.model)
    for way in table.ways:
        at: type[models.Model] = model
        for step in () if way == "pk" else way.split("__"):
            at = forward(at)[step]
        assert at is Patient
    direct = {name for name, leads_to in forward(model).items() if leads_to is Patient}
    assert direct <= set(table.ways)


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.key)
def test_what_the_paper_shows_is_there(table: Table) -> None:
    columns = {one.attname for one in apps.get_model(table.model)._meta.concrete_fields}
    made_of_several = {"results"} if table.key == "function_tests" else set()
    assert {column for column, _ in table.shown} <= columns | made_of_several
    assert set(table.files) <= columns


def test_names_are_told_apart() -> None:
    assert len({table.key for table in TABLES}) == len(TABLES)
    assert len({table.title for table in TABLES}) == len(TABLES)
