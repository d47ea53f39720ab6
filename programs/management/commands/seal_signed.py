"""Seal with the key every program that was signed before there were keyed seals."""

from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from programs.actions.older_seals import seal_older
from programs.management.answering import AnsweredCommand


class Command(AnsweredCommand):
    help = (
        "Seal with the key every program that was signed before there were keyed seals, once each "
        "has been compared with its own line of the record. Nothing of it is rewritten, and each "
        "seal has its line. Stopped half-way, it goes on where it was."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        done = seal_older(by=options["by"], at=timezone.now())
        if done.refused:
            raise CommandError(
                f"Sealed: {done.sealed}. The next is not as it was signed, and nothing after it "
                f"is sealed:\n{done.refused}"
            )
        self.stdout.write(f"Signed programs sealed with the key: {done.sealed}.")
