"""Copy the database to a new file while Calcar runs, and look the copy over."""

from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from programs.actions.anchors import anchor_head
from programs.machine.copies import Made, make, make_dated, remove_old
from programs.machine.key import fingerprint
from programs.machine.refusals import NotPossible
from programs.management.answering import AnsweredCommand
from programs.management.pass_phrase import pass_phrase


class Command(AnsweredCommand):
    help = "Copy the database to a new file, also while Calcar runs. Nothing is overwritten."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, nargs="?")
        parser.add_argument("--folder", type=Path, help="instead: a folder of dated copies")
        parser.add_argument(
            "--keep", type=int, help="with --folder: remove its older copies but so many"
        )
        parser.add_argument("--encrypt", action="store_true", help="with a pass phrase")
        parser.add_argument("--pass-phrase-file", type=Path, help="unless it is to be asked for")

    def handle(self, *args: Any, **options: Any) -> None:
        file, folder, keep = options["file"], options["folder"], options["keep"]
        if (file is None) == (folder is None) or (keep is not None and (keep < 1 or not folder)):
            raise CommandError("Name a new file; or --folder, and with it --keep 1 or more.")
        source = options["pass_phrase_file"]
        if source and not options["encrypt"]:
            raise CommandError("A pass phrase is for --encrypt.")
        phrase = pass_phrase(source, new=True) if options["encrypt"] else ""
        try:
            made = _made(file, folder, phrase, options["by"])
            self._tell(made)
            anchor_head(timezone.now())
            for name in remove_old(folder, keep=keep, newest=made.file) if keep else []:
                self.stdout.write(f"Removed: {name}")
        except NotPossible as refusal:
            raise CommandError(str(refusal)) from refusal

    def _tell(self, made: Made) -> None:
        held = made.held
        if made.broken:
            found = "\n".join(made.broken)
            raise CommandError(
                f"The copy was written to {made.file}, but it is not as it was written once, and "
                f"so is the database (manage.py check_record). No older copy was removed.\n{found}"
            )
        self.stdout.write(
            f"{made.file}: whole, {held.lines} lines in the record of who did what. "
            f"People: {held.people}. Signed programs: {held.programs}. "
            f"Kept papers: {held.papers}. Each is as it was written."
        )
        self.stdout.write("".join(f"{words}\n" for words in made.erased), ending="")
        self.stdout.write(f"Seal of the last line, to be kept elsewhere: {held.seal or 'none'}")
        self.stdout.write(
            f"Fingerprint of the secret key that belongs to it: {fingerprint()}. "
            "Without that key a restore is refused: keep it elsewhere too."
        )


def _made(file: Path | None, folder: Path | None, phrase: str, by: User | None) -> Made:
    if file is not None:
        return make(file, phrase=phrase, by=by, at=timezone.now())
    assert folder is not None
    return make_dated(folder, phrase=phrase, by=by, at=timezone.now())
