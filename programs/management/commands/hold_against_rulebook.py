"""Hold every program in force that an older rulebook was signed under against today's, once."""

from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from programs.actions.rulebook_check import hold_all
from programs.management.answering import AnsweredCommand
from programs.models.rulebook_check import RulebookCheck
from programs.review.against_rulebook import read
from safety.rules.all_rules import RULEBOOK

AT_ONCE = 50


class Command(AnsweredCommand):
    help = (
        "Hold each signed program in force of an older rulebook against today's, and say what its "
        "paper tells above what that allows. What was held before is not held again; stopped "
        "half-way, it goes on where it was."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--at-once", type=int, default=AT_ONCE, help="programs of a batch")

    def handle(self, *args: Any, at_once: int, **options: Any) -> None:
        held = differ = 0
        while rows := hold_all(by=options["by"], at=timezone.now(), most=max(at_once, 1)):
            held += len(rows)
            for row in rows:
                differ += self._tell(row)
        self.stdout.write(f"Held against rulebook {RULEBOOK}: {held}. To look at again: {differ}.")

    def _tell(self, row: RulebookCheck) -> bool:
        found = read(row.differs)
        if found:
            self.stdout.write(f"Patient {row.signed.patient_id}, version {row.signed.version}:")
        for one in found:
            self.stdout.write(f"  {one.words}")
        return bool(found)
