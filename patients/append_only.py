"""Triggers with which the database itself refuses to change, replace, empty or delete rows.

A migration that alters such a table on SQLite rebuilds it, and the triggers are gone: it must
end with the operations again. A test asks the database what it refuses. The refusals of changes
that name columns stand in the way of dropping such a column on PostgreSQL: drop them first.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager

from django.db import connection
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import RunPython

#: What may be refused, as the database calls it.
CHANGE, DELETION = "UPDATE", "DELETE"
#: What is refused wherever anything is: a row put in another's place, a table emptied at once.
REPLACING, EMPTYING = "REPLACE", "TRUNCATE"
#: The columns of a row that is struck out, and the one that tells that it was.
STRUCK_OUT = ("withdrawn_by_id", "withdrawn_at", "withdrawn_reason")
WHEN_STRUCK_OUT = "OLD.withdrawn_at IS NOT NULL"


def refuse(*refused: str, tables: tuple[str, ...]) -> RunPython:
    """Return the migration operation after which the tables refuse CHANGE, DELETION or both."""

    def forwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)
        make_triggers(schema_editor, tables, refused)

    def backwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)

    return RunPython(forwards, backwards)


def freeze(*tables: str, when: str, but: tuple[str, ...] | None = None) -> RunPython:
    """Return the operation after which rows of the tables are refused some changes, and deletion.

    when   what closes a row: a condition on OLD, after which nothing of it may change
    but    the columns that may change before that; None for all of them
    """

    def forwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)
        make_triggers(schema_editor, tables, (DELETION,))
        for table in tables:
            held = (
                [] if but is None else [c for c in _columns(schema_editor, table) if c not in but]
            )
            distinct = "IS DISTINCT FROM" if _postgres(schema_editor) else "IS NOT"
            changed = (f'OLD."{one}" {distinct} NEW."{one}"' for one in held)
            _make(schema_editor, table, CHANGE, " OR ".join((f"({when})", *changed)))

    def backwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)

    return RunPython(forwards, backwards)


def make_triggers(
    schema_editor: BaseDatabaseSchemaEditor, tables: tuple[str, ...], refused: tuple[str, ...]
) -> None:
    """Make the tables refuse, replacing and emptying too."""
    if _postgres(schema_editor):
        schema_editor.execute(_POSTGRES_FUNCTION, params=None)
    for table in tables:
        for what in refused:
            _make(schema_editor, table, what)
        if _postgres(schema_editor):
            _make(schema_editor, table, EMPTYING)
        else:
            _make(schema_editor, table, REPLACING, " OR ".join(_taken(schema_editor, table)))


def drop_triggers(schema_editor: BaseDatabaseSchemaEditor, tables: tuple[str, ...]) -> None:
    """Take the triggers of the tables away, where there are any."""
    on = " ON {}" if _postgres(schema_editor) else ""
    for table in tables:
        for what in (CHANGE, DELETION, REPLACING, EMPTYING):
            sql = f"DROP TRIGGER IF EXISTS {_name(table, what)}{on.format(table)}"
            schema_editor.execute(sql, params=None)


@contextmanager
def set_aside_for_an_erasure(tables: Collection[str]) -> Iterator[None]:
    """Let rows of the tables be changed and deleted: for an erasure by law, and for nothing else.

    Only inside a transaction, whose rolling back puts the refusals back too. On the way out they
    are made again, each as it was.
    """
    if not connection.in_atomic_block:
        raise RuntimeError("Refusals are set aside only inside a transaction.")
    refusing = _refusing(tables)
    aside, back = _WAYS_TO_SET_ASIDE[connection.vendor]
    _execute(aside.format(name=name, table=table) for name, table, _ in refusing)
    yield
    _execute(back.format(name=name, table=table, made=made) for name, table, made in refusing)


def _execute(statements: Iterable[str]) -> None:
    if connection.vendor == "postgresql":
        # It alters no table for which a foreign key is still to be looked at.
        statements = ("SET CONSTRAINTS ALL IMMEDIATE", *statements, "SET CONSTRAINTS ALL DEFERRED")
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _refusing(tables: Collection[str]) -> list[tuple[str, str, str]]:
    """Return each refusal of the tables that stands: its name, its table, how it was made."""
    asked = {
        "sqlite": "SELECT name, tbl_name, sql FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname, relname, '' FROM pg_trigger JOIN pg_class ON "
        "pg_class.oid = tgrelid WHERE tgenabled <> 'D' AND NOT tgisinternal",
    }
    wanted = {
        _name(table, what) for table in tables for what in (CHANGE, DELETION, REPLACING, EMPTYING)
    }
    with connection.cursor() as cursor:
        cursor.execute(asked[connection.vendor])
        return [row for row in cursor.fetchall() if row[0] in wanted]


_WAYS_TO_SET_ASIDE = {
    "sqlite": ("DROP TRIGGER {name}", "{made}"),
    "postgresql": (
        "ALTER TABLE {table} DISABLE TRIGGER {name}",
        "ALTER TABLE {table} ENABLE TRIGGER {name}",
    ),
}


def _make(
    schema_editor: BaseDatabaseSchemaEditor, table: str, what: str, condition: str = ""
) -> None:
    made = _POSTGRES_TRIGGER if _postgres(schema_editor) else _SQLITE_TRIGGER
    sql = made.format(
        table=table,
        # SQLite tells no trigger of a deletion when a row takes another's place.
        what="INSERT" if what == REPLACING else what,
        name=_name(table, what),
        each="STATEMENT" if what == EMPTYING else "ROW",
        condition=f"WHEN ({condition})" if condition else "",
    )
    schema_editor.execute(sql, params=None)


def _postgres(schema_editor: BaseDatabaseSchemaEditor) -> bool:
    return schema_editor.connection.vendor == "postgresql"


def _name(table: str, what: str) -> str:
    return f"{table}_no_{what.lower()}"


def _columns(schema_editor: BaseDatabaseSchemaEditor, table: str) -> list[str]:
    with schema_editor.connection.cursor() as cursor:
        held = schema_editor.connection.introspection.get_table_description(cursor, table)
    return [column.name for column in held]


def _taken(schema_editor: BaseDatabaseSchemaEditor, table: str) -> Iterator[str]:
    """Yield for each key of a table on SQLite the condition that a new row's is there already."""
    with schema_editor.connection.cursor() as cursor:
        keys = [(row[1], row[5]) for row in cursor.execute(f"PRAGMA table_info({table})")]
        yield _there(table, [column for column, place in keys if place])
        listed = cursor.execute(f"PRAGMA index_list({table})").fetchall()
        for name in (row[1] for row in listed if row[2]):
            columns = [row[2] for row in cursor.execute(f"PRAGMA index_info({name})").fetchall()]
            told = cursor.execute("SELECT sql FROM sqlite_master WHERE name = %s", [name])
            _, _, only = (told.fetchone()[0] or "").partition(" WHERE ")
            yield _there(table, columns, only)


def _there(table: str, columns: list[str], only: str = "") -> str:
    same = [f'"{column}" = NEW."{column}"' for column in columns]
    if only:
        # Of an index over some rows only, both rows must be among these.
        same += [f"({only})", "({})".format(re.sub(r'("\w+")', r"NEW.\1", only))]
    return f"EXISTS (SELECT 1 FROM {table} WHERE {' AND '.join(same)})"


_SQLITE_TRIGGER = """
CREATE TRIGGER {name} BEFORE {what} ON {table} {condition}
BEGIN SELECT RAISE(ABORT, 'rows of {table} are kept as they are'); END
"""
_POSTGRES_FUNCTION = """
CREATE OR REPLACE FUNCTION calcar_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'rows of % are kept as they are', TG_TABLE_NAME
    USING ERRCODE = 'integrity_constraint_violation';
END $$
"""
_POSTGRES_TRIGGER = """
CREATE TRIGGER {name} BEFORE {what} ON {table}
FOR EACH {each} {condition} EXECUTE FUNCTION calcar_refuse()
"""
