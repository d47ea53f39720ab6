"""Look the record of who did what over: its chain, the signed programs, the kept papers."""

import re
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.standing import erasure_words, erasures
from programs.actions.anchors import anchor_head
from programs.actions.older_seals import SEAL_THEM, unsealed
from programs.actions.record_check import check_record
from programs.management.answering import AnsweredCommand

NOT_SEEN = (
    "Not seen by this: lines cut off the end since the last anchor together with all that they "
    "tell of (give --seal), and what somebody rewrote throughout who holds the secret key too."
)


class Command(AnsweredCommand):
    help = (
        "Check whether every line of the record, every row of a person and of the clinic, "
        f"every signed program and every kept paper is as it was written. {NOT_SEEN}"
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--seal",
            default="",
            help="of a line, as back_up or a paper printed it: 12 digits or all 64",
        )

    def handle(self, *args: Any, seal: str, **options: Any) -> None:
        if seal and not re.fullmatch("[0-9a-f]{12}|[0-9a-f]{64}", seal):
            # One mistyped would be kept as a record that was cut off.
            raise CommandError(f"{seal} is not a seal: 12 or 64 digits and letters a to f.")
        found = check_record(by=options["by"], at=timezone.now(), seal=seal)
        self.stdout.write(
            f"Lines of the record: {found.lines}. Signed programs: {found.programs}. "
            f"Kept papers: {found.papers}."
        )
        self.stdout.write("".join(f"{erasure_words(one)}\n" for one in erasures()), ending="")
        if found.broken:
            raise CommandError(f"Not as it was written:\n{found.broken}")
        self.stdout.write("Each is as it was written.")
        if left := unsealed():
            self.stdout.write(f"Without a keyed seal, as older ones are: {left} {SEAL_THEM}")
        anchor_head(timezone.now())
        self.stdout.write(f"Seal of the last line, to be kept elsewhere: {found.seal or 'none'}")
        self.stdout.write(NOT_SEEN)
