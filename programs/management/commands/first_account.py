"""Make the first account of a new installation: there is none to begin with."""

import getpass
import secrets
import sys
from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand


class Command(BaseCommand):
    help = "Make the first account, unless there is one already."

    def handle(self, *args: Any, **options: Any) -> None:
        if User.objects.exists():
            return
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
        password = secrets.token_urlsafe(18)
        make_account(User(username="clinician", first_name="First clinician"), password)
        self.stdout.write("Made the first account. The password is shown only this once:")
        self.stdout.write(f"  user name  clinician\n  password   {password}")

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
    """Save a person who may do everything, the other accounts included.

    The whole name stands in first_name: names do not all split in two.
    """
    user.is_staff = user.is_superuser = True
    user.set_password(password)
    user.full_clean()
    user.save()
