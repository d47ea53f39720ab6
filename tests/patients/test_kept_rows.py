"""Rows that stay: what a row that can be struck out is called, and that none is deleted."""

import pytest
from django.apps import apps
from django.db import models

from patients.kept_rows import Kept, NeverChanged, Withdrawable

ROWS = [model for model in apps.get_models() if issubclass(model, Kept | Withdrawable)]
STRUCK_OUT = [model for model in ROWS if issubclass(model, Withdrawable)]


def columns(model: type[models.Model]) -> set[str]:
    return {field.name for field in model._meta.concrete_fields}


def test_whatever_can_be_withdrawn_is_such_a_row() -> None:
    having = [model for model in apps.get_models() if "withdrawn_at" in columns(model)]
    assert having == STRUCK_OUT
    assert STRUCK_OUT


def test_the_record_calls_each_kind_by_its_own_name() -> None:
    names = [model.KIND for model in STRUCK_OUT]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("model", ROWS)
def test_no_such_row_is_deleted(model: type[models.Model]) -> None:
    with pytest.raises(NeverChanged, match=r"(never|not) deleted"):
        model(pk=1).delete()


@pytest.mark.parametrize("model", [model for model in ROWS if issubclass(model, Kept)])
def test_a_row_that_is_saved_already_is_not_saved_again(model: type[models.Model]) -> None:
    row = model(pk=1)
    row._state.adding = False
    with pytest.raises(NeverChanged, match="never changed"):
        row.save()
