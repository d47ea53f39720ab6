"""Who answers for what a command does: somebody by her user name, or this machine's own user."""

from __future__ import annotations

import os
import pwd
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import BaseCommand, CommandError, CommandParser

from patients import audit

_PLACE_AT_MOST = 45


class AnsweredCommand(BaseCommand):
    """A command that takes --by, and gives `handle` the account; None where none is named.

    The name is taken as it is said: whoever has this shell has the database too. So each line of
    the record has the machine's user beside it.
    """

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        """Take the user name."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.add_argument(
            "--by",
            metavar="USERNAME",
            help="account of whoever answers for it; else the record names this machine's user",
        )
        return parser

    def execute(self, *args: Any, **options: Any) -> str | None:
        """Run, with the record told who it was."""
        with on_this_machine():
            options["by"] = self.who(options.get("by"))
            return super().execute(*args, **options)

    def who(self, by: str | None) -> Any:
        """Return whom the name is of; None where none was given."""
        return None if by is None else account(by)


def account(name: str) -> User:
    """Return the account of a user name."""
    found = User.objects.filter(username=name, is_active=True).first()
    if found is None:
        raise CommandError(f"Nobody who works here has the user name {name}.")
    return found


@contextmanager
def on_this_machine() -> Iterator[None]:
    """Let the lines that are written say where from, and who it was where nobody is named."""
    name = system_user()
    nobody = audit.nobody.set(f"on this machine, by the system user {name}")
    place = audit.source_address.set(f"this machine, {name}"[:_PLACE_AT_MOST])
    try:
        yield
    finally:
        audit.source_address.reset(place)
        audit.nobody.reset(nobody)


def system_user() -> str:
    """Return the name of the user that runs this, whatever the environment says."""
    number = os.getuid()
    try:
        return pwd.getpwuid(number).pw_name
    except KeyError:
        return f"number {number}"
