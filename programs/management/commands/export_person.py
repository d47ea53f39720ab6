"""Write everything kept of a person to a new file."""

import os
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.models.patient import Patient
from patients.standing import erasure_of, erasure_words
from programs.actions.clinic import details_in_force
from programs.actions.person_export import write_archive
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.management.answering import AnsweredCommand


class Command(AnsweredCommand):
    help = (
        "Write everything kept of a person to a new file: a ZIP with all of it as JSON, as a "
        "paper for reading, and each paper that was made. It is written in the record."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("id", type=int, help="as the banner of the patient's pages has it")
        parser.add_argument("file", type=Path)

    def handle(self, *args: Any, id: int, file: Path, by: User | None, **options: Any) -> None:
        patient = Patient.objects.filter(pk=id).first()
        if patient is None:
            gone = erasure_of(id)
            raise CommandError(erasure_words(gone) if gone else f"Nobody has the id {id}.")
        try:
            # For its owner alone, and never over another file.
            made = os.open(file, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
        except OSError as error:
            raise CommandError(f"{file} cannot be written: {error.strerror}.") from error
        try:
            with os.fdopen(made, "w+b") as to:
                paper = details_in_force().paper
                write_archive(patient=patient, by=by, at=timezone.now(), to=to, paper=paper)
        except (PaperRefused, PaperUnavailable, OSError) as refusal:
            file.unlink(missing_ok=True)
            raise CommandError(f"Nothing was written: {refusal}") from refusal
        self.stdout.write(f"{file}: everything kept of id {id}.")
