"""Let somebody look after the people of the clinic, where nobody is left who does."""

from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.actions.refusals import Refused
from patients.actions.staff import give_code, make_keeper
from programs.management.answering import AnsweredCommand


class Command(AnsweredCommand):
    help = (
        "Make somebody a keeper, and switch her account on, where there is no keeper left. "
        "Needs the machine, not a password. The record tells it."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="of the account")
        parser.add_argument("--code", action="store_true", help="give a code for a new password")

    def handle(self, *args: Any, name: str, code: bool, **options: Any) -> None:
        user = User.objects.filter(username=name).first()
        if user is None:
            there = ", ".join(User.objects.order_by("pk").values_list("username", flat=True))
            raise CommandError(f"There is no account {name}. There are: {there or 'none'}.")
        try:
            make_keeper(user=user, by=options["by"], at=timezone.now())
        except Refused as refusal:
            raise CommandError(f"{refusal} People are looked after on the page People.") from None
        self.stdout.write(f"{name} is a keeper.")
        if code:
            given = give_code(user=user, by=options["by"], at=timezone.now())
            self.stdout.write(f"Code for a new password, for one day: {given}")
