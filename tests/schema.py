"""What a database is made of, to hold one against another: columns, constraints, refusals.

In an order of its own: a column that came later lies behind the others, and is the same column.
"""

from __future__ import annotations

import re
from typing import Any

from django.db import connection

#: What has a text of its own: triggers, indexes and, on PostgreSQL, checks.
_TEXTS = {
    "sqlite": "SELECT type || ' ' || name, sql FROM sqlite_master "
    "WHERE type IN ('trigger', 'index') AND sql IS NOT NULL",
    "postgresql": "SELECT 'trigger ' || tgname, pg_get_triggerdef(oid) FROM pg_trigger "
    "WHERE NOT tgisinternal "
    "UNION SELECT 'index ' || indexname, indexdef FROM pg_indexes WHERE schemaname = 'public' "
    "UNION SELECT 'check ' || conname, pg_get_constraintdef(oid) FROM pg_constraint "
    "WHERE contype = 'c' AND connamespace = 'public'::regnamespace",
}


def schema() -> dict[str, Any]:
    """Return each table's columns and constraints, each trigger, index and check."""
    with connection.cursor() as cursor:
        tables = sorted(connection.introspection.table_names(cursor))
        told: dict[str, Any] = {table: _table(cursor, table) for table in tables}
        cursor.execute(_TEXTS[connection.vendor])
        return told | {name: _parts(text) for name, text in cursor.fetchall()}


def _table(cursor: Any, table: str) -> dict[str, Any]:
    columns = connection.introspection.get_table_description(cursor, table)
    constraints = connection.introspection.get_constraints(cursor, table)
    return {
        "columns": {one.name: [str(one.type_code), one.null_ok] for one in columns},
        "constraints": sorted(_constraint(name, one) for name, one in constraints.items()),
    }


def _constraint(name: str, one: dict[str, Any]) -> list[str]:
    # SQLite has numbers alone for those that stand with their column.
    named = "" if re.fullmatch(r"fk_\d+|__unnamed.*", name) else name
    return [named, *(f"{key}: {one[key]}" for key in sorted(one) if key != "definition")]


def _parts(text: str) -> list[str]:
    """Return what a trigger or an index says, whichever of its conditions comes first."""
    parts = re.split(r"\bOR\b|\bWHEN\b|[()]", " ".join(text.split()))
    return sorted(part.strip() for part in parts)
