"""Write the database's files anew, so that nothing deleted is left in their free space."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from programs.machine.copies import rub_out
from programs.machine.refusals import NotPossible


class Command(BaseCommand):
    help = "Write the database's files anew without what was deleted. Changes no row."

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            rub_out()
        except NotPossible as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write("Nothing that was deleted is left in the files of the database.")
