"""Let somebody in with her password alone, where the last keeper lost the telephone."""

from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.actions.codes import take_away_by_the_shell
from patients.actions.refusals import Refused
from programs.management.answering import AnsweredCommand, account


class Command(AnsweredCommand):
    help = (
        "Take somebody's one-time codes away, where nobody is left who could on the page People. "
        "Needs the machine, not a password. The record tells it, and she reads it at sign-in."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="of the account")
        parser.add_argument("--reason", required=True, help="she reads it at her next sign-in")

    def handle(self, *args: Any, name: str, by: Any, reason: str, **options: Any) -> None:
        user = account(name)
        try:
            take_away_by_the_shell(user=user, reason=reason, by=by, at=timezone.now())
        except Refused as refusal:
            raise CommandError(str(refusal)) from None
        self.stdout.write(f"{name} signs in with the password alone.")
