"""Put a copy of the database in the place of the present one, or only try it out."""

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from programs.actions.database_copies import Held
from programs.machine.encrypted import is_encrypted
from programs.machine.refusals import NotPossible
from programs.machine.restoring import rehearse, restore
from programs.management.answering import AnsweredCommand
from programs.management.pass_phrase import pass_phrase


class Command(AnsweredCommand):
    help = (
        "Put a copy that back_up made in the place of the present database, which is kept under "
        "another name. Stop Calcar first. With --rehearse nothing is changed."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--yes", action="store_true", help="do not ask")
        parser.add_argument("--rehearse", action="store_true", help="only try it out")
        parser.add_argument("--pass-phrase-file", type=Path, help="unless it is to be asked for")

    def who(self, by: str | None) -> Any:
        """Return the name as it is: whose it is, is looked up in the copy that is put back."""
        return by

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        if not file.is_file():
            raise CommandError(f"{file} is not there.")
        sealed = is_encrypted(file)
        phrase = pass_phrase(options["pass_phrase_file"], new=False) if sealed else ""
        try:
            if options["rehearse"]:
                held = rehearse(file, phrase=phrase, by=options["by"], at=timezone.now())
                self._tell(held, f"{file} is GOOD: a restore from it would hold.")
                return
            done = restore(
                file,
                phrase=phrase,
                by=options["by"],
                at=timezone.now(),
                agreed=self._asker(options["yes"]),
            )
        except NotPossible as refusal:
            raise CommandError(f"{refusal}\nNothing was restored.") from refusal
        if done is None:
            raise CommandError("Nothing was changed.")
        if done.damage:
            raise CommandError(
                f"NOT GOOD after the restore, though the copy was: {done.damage}\nCheck this "
                f"machine's disk. The database from before is kept as {done.kept}"
            )
        self._tell(done.held, "GOOD. This is now the database.")
        self.stdout.write("".join(f"{words}\n" for words in done.erased), ending="")
        self.stdout.write(f"The database from before is kept as {done.kept}")

    def _asker(self, yes: bool) -> Any:
        def agreed(words: str) -> bool:
            self.stdout.write(words)
            if yes:
                return True
            if not sys.stdin.isatty():
                raise CommandError("Nothing was changed. To go on without a question: --yes")
            return input("Restore all the same? Type yes: ").strip().lower() == "yes"

        return agreed

    def _tell(self, held: Held, verdict: str) -> None:
        self.stdout.write(
            f"{verdict} Lines of the record: {held.lines}. People: {held.people}. Signed "
            f"programs: {held.programs}. Kept papers: {held.papers}. Each is as it was written.\n"
            f"Seal of the last line: {held.seal or 'none'}"
        )
