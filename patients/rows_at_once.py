"""The rows of several tables in one query: each as JSON, and the model's own row again."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.db import models
from django.db.models import F, QuerySet, Value
from django.db.models.functions import JSONObject
from django.utils import timezone


def rows_at_once(wanted: Mapping[str, QuerySet[Any]]) -> dict[str, list[Any]]:
    """Return the rows of some queries, by their code, each list in the order of its ids.

    One query, whatever their number: a page that asks table by table waits for each answer.
    The queries are of whole rows, without an order of their own.
    """
    asked = [
        rows.order_by().values_list(
            Value(code, models.CharField()), JSONObject(**_columns(rows.model))
        )
        for code, rows in wanted.items()
    ]
    found: dict[str, list[Any]] = {code: [] for code in wanted}
    if asked:
        for code, values in asked[0].union(*asked[1:], all=True):
            found[code].append(_row(wanted[code], values))
    for rows in found.values():
        rows.sort(key=lambda row: row.pk)
    return found


def _columns(model: type[models.Model]) -> dict[str, F]:
    return {field.attname: F(field.attname) for field in model._meta.concrete_fields}


def _row(of: QuerySet[Any], values: Mapping[str, Any]) -> Any:
    fields = of.model._meta.concrete_fields
    names = [field.attname for field in fields]
    return of.model.from_db(of.db, names, [_value(f, values[f.attname]) for f in fields])


def _value(field: models.Field[Any, Any], value: Any) -> Any:
    """Return what reading the column itself would have given."""
    if value is None:
        return None
    match field:
        case models.DecimalField():
            return Decimal(str(value)).quantize(Decimal(1).scaleb(-field.decimal_places))
        case models.DateTimeField():
            at = dt.datetime.fromisoformat(value)
            # SQLite keeps the moment of UTC without saying so.
            return at if timezone.is_aware(at) else at.replace(tzinfo=dt.UTC)
        case models.JSONField():
            # SQLite keeps it as text.
            return json.loads(value) if isinstance(value, str) else value
        case _:
            return field.to_python(value)
