"""Operations of migrations that make the tables and indexes of trigrams by which people are found.

On SQLite an FTS5 table is kept beside patients_findable by triggers; on PostgreSQL an index of
the extension pg_trgm does it all.
"""

from __future__ import annotations

from django.core.management.base import CommandError
from django.db import DatabaseError
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations import RunPython

NOT_ALLOWED = (
    "The search for people needs PostgreSQL's extension pg_trgm, and this database does not let "
    "Calcar make it ({}). Ask whoever runs the database to install PostgreSQL's contributed "
    "modules and to run, once and in this database: CREATE EXTENSION pg_trgm; then start again."
)


def make_trigrams() -> RunPython:
    """Return the migration operation that makes them for the table as it stands."""
    return RunPython(_forwards, _backwards)


def _forwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
    if schema_editor.connection.vendor == "postgresql":
        _make_extension(schema_editor)
        schema_editor.execute(_POSTGRES_INDEX, params=None)
        return
    for sql in _SQLITE:
        schema_editor.execute(sql, params=None)


def _backwards(apps: object, schema_editor: BaseDatabaseSchemaEditor) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute("DROP INDEX IF EXISTS findable_trigrams", params=None)
        return
    for name in ("insert", "delete", "update"):
        schema_editor.execute(f"DROP TRIGGER IF EXISTS patients_findable_on_{name}", params=None)
    schema_editor.execute("DROP TABLE IF EXISTS patients_trigrams", params=None)


def _make_extension(schema_editor: BaseDatabaseSchemaEditor) -> None:
    try:
        schema_editor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm", params=None)
    except DatabaseError as error:
        raise CommandError(NOT_ALLOWED.format(str(error).splitlines()[0])) from error


_POSTGRES_INDEX = """
CREATE INDEX findable_trigrams ON patients_findable USING gin (words gin_trgm_ops)
"""
_TAKE = "INSERT INTO patients_trigrams(rowid, words) VALUES (new.patient_id, new.words);"
_DROP = """
INSERT INTO patients_trigrams(patients_trigrams, rowid, words)
VALUES ('delete', old.patient_id, old.words);
"""
_SQLITE = (
    """
    CREATE VIRTUAL TABLE patients_trigrams USING fts5(
        words, content='patients_findable', content_rowid='patient_id', tokenize='trigram',
        detail=none)
    """,
    "INSERT INTO patients_trigrams(patients_trigrams) VALUES ('rebuild')",
    f"""
    CREATE TRIGGER patients_findable_on_insert AFTER INSERT ON patients_findable
    BEGIN {_TAKE} END
    """,
    f"""
    CREATE TRIGGER patients_findable_on_delete AFTER DELETE ON patients_findable
    BEGIN {_DROP} END
    """,
    f"""
    CREATE TRIGGER patients_findable_on_update AFTER UPDATE OF words ON patients_findable
    BEGIN {_DROP} {_TAKE} END
    """,
)
