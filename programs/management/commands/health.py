"""Say how the machine, the database and its copies stand; end with 1 where there is work."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from programs.machine.health_now import health


class Command(BaseCommand):
    help = (
        "Say how disk, database, release, key, clock, record and copies stand. Ends with 0 where "
        "all is fine, else with 1."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        found = health(now=timezone.now(), quick=False)
        for check in found:
            word = "fine" if check.fine else "LOOK"
            self.stdout.write(f"{word}  {check.name}: {check.stands} {check.do}".rstrip())
        if to_do := [check.name for check in found if not check.fine]:
            raise CommandError(f"To look at: {', '.join(to_do)}.")
