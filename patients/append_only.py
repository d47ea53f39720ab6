"""Triggers with which the database itself refuses to change or delete rows.

A migration that alters such a table on SQLite rebuilds it, and the triggers are gone:
it must end with the operation again. A test asks the database what it refuses.
"""

from __future__ import annotations

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import RunPython

#: What may be refused, as the database calls it.
CHANGE, DELETION = "UPDATE", "DELETE"


def refuse(*refused: str, tables: tuple[str, ...]) -> RunPython:
    """Return the migration operation after which the tables refuse CHANGE, DELETION or both."""

    def forwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)
        make_triggers(schema_editor, tables, refused)

    def backwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
        drop_triggers(schema_editor, tables)

    return RunPython(forwards, backwards)


def make_triggers(
    schema_editor: BaseDatabaseSchemaEditor, tables: tuple[str, ...], refused: tuple[str, ...]
) -> None:
    """Make the tables refuse."""
    postgres = schema_editor.connection.vendor == "postgresql"
    made = _POSTGRES_TRIGGER if postgres else _SQLITE_TRIGGER
    if postgres:
        schema_editor.execute(_POSTGRES_FUNCTION, params=None)
    for table in tables:
        for what in refused:
            sql = made.format(table=table, what=what, name=_name(table, what))
            schema_editor.execute(sql, params=None)


def drop_triggers(schema_editor: BaseDatabaseSchemaEditor, tables: tuple[str, ...]) -> None:
    """Take the triggers of the tables away, where there are any."""
    on = " ON {}" if schema_editor.connection.vendor == "postgresql" else ""
    for table in tables:
        for what in (CHANGE, DELETION):
            sql = f"DROP TRIGGER IF EXISTS {_name(table, what)}{on.format(table)}"
            schema_editor.execute(sql, params=None)


def _name(table: str, what: str) -> str:
    return f"{table}_no_{what.lower()}"


_SQLITE_TRIGGER = """
CREATE TRIGGER {name} BEFORE {what} ON {table}
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
FOR EACH ROW EXECUTE FUNCTION calcar_refuse()
"""
