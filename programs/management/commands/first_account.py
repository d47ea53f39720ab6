"""Make the first account of a new installation: there is none to begin with."""

import getpass
import os
import secrets
import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand
from django.utils import timezone

from patients.actions.staff import add_person
from patients.staff.rights import Role
from programs.management.answering import on_this_machine


class Command(BaseCommand):
    help = "Make the first account, unless there is one already."

    def handle(self, *args: Any, **options: Any) -> None:
        if User.objects.exists():
            return
        with on_this_machine():
            if sys.stdin.isatty():
                self._ask()
            else:
                self._make_up()

    def _ask(self) -> None:
        self.stdout.write("The first account (the name is shown on what this person signs):")
        user = User(
            username=self._answer("User name: ", "clinician"),
            first_name=self._answer("Full name: "),
        )
        make_account(user, self._new_password(user))

    def _make_up(self) -> None:
        # Not said here: without a terminal this may be going to a log.
        password, file = secrets.token_urlsafe(18), settings.STATE_DIR / "first_password"
        make_account(User(username="clinician", first_name="First clinician"), password)
        write_for_owner(file, f"user name  clinician\npassword   {password}\n")
        self.stdout.write(
            f"Made the first account. Its name and password are in {file}, which only the owner "
            "can read. Sign in, set a password and your full name, then delete the file."
        )

    def _answer(self, question: str, otherwise: str = "") -> str:
        while not (answer := input(question).strip() or otherwise):
            self.stdout.write("Please type something.")
        return answer

    def _new_password(self, user: User) -> str:
        while True:
            password = getpass.getpass("Password (15 characters or more): ")
            try:
                validate_password(password, user)
            except ValidationError as error:
                self.stdout.write(" ".join(error.messages))
                continue
            if getpass.getpass("The same again: ") == password:
                return password
            self.stdout.write("The two were not the same.")


def make_account(user: User, password: str) -> None:
    """Add a person who may do all clinical work and looks after the people."""
    add_person(
        username=user.username,
        full_name=user.first_name,
        roles=(Role.CLINICIAN, Role.KEEPER),
        by=None,
        at=timezone.now(),
        password=password,
    )


def write_for_owner(file: Path, text: str) -> None:
    """Write a new file that nobody else can read, in the place of one that is there."""
    file.unlink(missing_ok=True)
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as opened:
        opened.write(text)
