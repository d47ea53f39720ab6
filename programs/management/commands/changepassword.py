"""Set somebody's password from the shell, and tell the record."""

import getpass
from typing import Any

from django.contrib.auth.management.commands.changepassword import Command as ChangePassword
from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.told_passwords import told_password
from programs.management.answering import AnsweredCommand


class Command(AnsweredCommand, ChangePassword):
    def handle(self, *args: Any, **options: Any) -> str | None:
        said = super().handle(*args, **options)
        user = User.objects.get(username=options["username"] or getpass.getuser())
        with audit.writing():
            audit.record(
                by=options["by"],
                at=timezone.now(),
                action="change password",
                on=user,
                new=told_password(user),
            )
        return said
