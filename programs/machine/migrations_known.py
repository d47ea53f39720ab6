"""Whether the database and this release know the same migrations."""

from __future__ import annotations

from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.executor import MigrationExecutor


def unknown(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Return the migrations of the database that this release does not know."""
    loader = MigrationExecutor(connections[using]).loader
    # What a later migration replaced is known too.
    known = {*loader.disk_migrations}
    ours = {app for app, _ in known}
    there = set(loader.applied_migrations or ()) - known
    return sorted(f"{app}.{name}" for app, name in there if app in ours)


def missing(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Return the migrations of this release that the database has not had."""
    executor = MigrationExecutor(connections[using])
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [f"{step.app_label}.{step.name}" for step, _ in plan]


def said_of_unknown(names: list[str]) -> str:
    """Return that the database is of a newer release, and what to do."""
    return (
        "This database was written by a newer release of Calcar, which has "
        f"{_listed(names)}. This release would misread it. Start the newer release, or restore "
        "a copy that was made before the update."
    )


def said_of_missing(names: list[str]) -> str:
    """Return that the database is of an older release, and what to do."""
    return (
        f"The database is of an older release of Calcar: it lacks {_listed(names)}. Bring it up to "
        "date by ./run, or manage.py migrate. Only a copy that the older release made (its "
        "manage.py back_up) leads back to it."
    )


def _listed(names: list[str]) -> str:
    more = len(names) - 3
    return ", ".join(names[:3]) + (f" and {more} more" if more > 0 else "")
