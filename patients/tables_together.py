"""The migration operation that makes the tables of many models at once.

Django shows a migration each state between two operations, and renders again every model that
hangs together with the changed one: here, nearly all. One state for all of them takes a tenth of a
second, one after each of sixty tables half a minute.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState


class CreateTogether(Operation):
    """Create models that may point at one another, in any order."""

    def __init__(self, models: Sequence[CreateModel]) -> None:
        self.models = models

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Add the models to the state, which renders all of them, whole, when it is next asked."""
        state.__dict__.pop("apps", None)
        state.is_delayed = False
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        """Make the tables, with their indexes and constraints."""
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)
        # What may stand once is put off to the migration's end; the refusals after this read it.
        while schema_editor.deferred_sql:
            schema_editor.execute(schema_editor.deferred_sql.pop(0))

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        """Drop the tables, the last one first."""
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        """Return what it does, as Django's own commands tell it."""
        return f"Create {len(self.models)} models together"
