"""Bring the database up to date; refuse one that a newer release has had."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core.management.base import CommandError
from django.core.management.commands.migrate import Command as Migrate
from django.db import DEFAULT_DB_ALIAS, connections
from django.utils import timezone

from patients import audit
from patients.actions.told_roles import tell_of_the_move
from programs.machine.migrations_known import missing, said_of_unknown, unknown
from programs.management.answering import on_this_machine

#: Of the lock that lets one server after the other bring a PostgreSQL up to date.
_LOCK = 0x43414C43


class Command(Migrate):
    def handle(self, *args: Any, **options: Any) -> None:
        using = options["database"]
        with _one_after_the_other(using):
            if newer := unknown(using):
                raise CommandError(said_of_unknown(newer))
            super().handle(*args, **options)
            if using == DEFAULT_DB_ALIAS:
                self._tell_of_roles(aloud=options["verbosity"] > 0)

    def _tell_of_roles(self, *, aloud: bool) -> None:
        """Let the record tell of the roles that the move to roles gave; done once ever."""
        if missing() or not audit.key_fits():
            return
        with on_this_machine():
            told = tell_of_the_move(at=timezone.now())
            for row in told if aloud else ():
                self.stdout.write(
                    f"On record now, as given by the move to roles: {row.role}, "
                    f"{row.who.get_username()}. Look whether each is right, on the page People."
                )


@contextmanager
def _one_after_the_other(using: str) -> Iterator[None]:
    """Wait for another server that is at it; SQLite lets only one write anyway."""
    if connections[using].vendor == "sqlite":
        yield
        return
    with connections[using].cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(%s)", [_LOCK])
        try:
            yield
        finally:
            cursor.execute("SELECT pg_advisory_unlock(%s)", [_LOCK])
