"""Rescreen everybody whose rulebook or facts are newer than her last screen."""

from collections.abc import Iterable
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.models.patient import Patient
from programs.actions.rescreening import Batch, rescreen_all, where_it_stopped
from programs.actions.rescreens_to_look_at import sentence_of
from programs.management.answering import AnsweredCommand
from programs.models.rescreen import Rescreen
from safety.rules.all_rules import RULEBOOK

AT_ONCE = 100


class Command(AnsweredCommand):
    help = (
        "Rescreen everybody whose rulebook or facts are newer than her last screen; say what "
        "changed, and what the paper in her hand says of it. Killed half-way, it goes on where it "
        "stopped. Exit status 1 where what is entered of somebody cannot stand together."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--at-once", type=int, default=AT_ONCE, help="people of a batch")

    def handle(self, *args: Any, at_once: int, **options: Any) -> None:
        if (stopped := where_it_stopped()) is not None:
            self.stdout.write(f"Goes on after patient {stopped}, where the last run was stopped.")
        batches = []
        for batch in rescreen_all(by=options["by"], at=timezone.now(), at_once=max(at_once, 1)):
            batches.append(batch)
            for row in batch.rows:
                self._tell(row)
        self._sum_up(batches)

    def _tell(self, row: Rescreen) -> None:
        if row.rank is not None:
            self.stdout.write(f"{_name(row.patient)}: {sentence_of(row)}")

    def _sum_up(self, batches: list[Batch]) -> None:
        rows = [row for batch in batches for row in batch.rows]
        without = [one for batch in batches for one in batch.without_facts]
        cannot = [one for batch in batches for one in batch.contradicting]
        looked_at = sum(batch.looked_at for batch in batches)
        meanwhile = sum(batch.meanwhile for batch in batches)
        if not rows and not meanwhile:
            self.stdout.write("Nothing is newer than the last screens: nothing was done.")
        self.stdout.write(
            f"Rulebook {RULEBOOK}. People: {looked_at}. Rescreened: {len(rows)}. "
            f"To look at: {sum(row.rank is not None for row in rows)}. "
            f"Changed in the meantime, left to the next run: {meanwhile}. "
            f"Without facts: {len(without)}. Contradicting: {len(cannot)}."
        )
        if without:
            self.stdout.write(f"Without facts: {_names(without)}.")
        if cannot:
            raise CommandError(f"The facts entered do not fit together: {_names(cannot)}.")


def _names(patients: Iterable[Patient]) -> str:
    return ", ".join(map(_name, patients))


def _name(patient: Patient) -> str:
    return patient.record_number or f"no record number, id {patient.pk}"
