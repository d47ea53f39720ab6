"""Show a file of the evidence watch, or put it in the place of the one there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.may import may
from patients.staff.rights import Right, why_not
from programs.actions.evidence_watch import in_force, looked_at, put_in
from programs.actions.refusals import NotDone
from programs.management.answering import AnsweredCommand
from programs.watch.file import BadFile, WatchFile
from programs.watch.standing import by_status, noticed, watched


class Command(AnsweredCommand):
    help = (
        "Tell how the papers stand that the product rests on, by the file in force or by one that "
        "is named; --take puts that in its place. An older one, or one that says less, asks for "
        "--reason. Nothing is looked up: the file is all that is read."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, nargs="?", help="as the page Evidence watch gives")
        parser.add_argument("--take", action="store_true", help="put it in; else it is only shown")
        parser.add_argument("--reason", default="", help="why an older one should take its place")

    def handle(self, *args: Any, file: Path | None, by: User | None, **options: Any) -> None:
        if file is None:
            self._tell(in_force().file)
            return
        try:
            self._tell(self._shown_or_taken(file.read_bytes(), by, options))
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        except BadFile as bad:
            raise CommandError("\n".join(bad.problems)) from bad
        except NotDone as refusal:
            raise CommandError(str(refusal)) from refusal

    def _shown_or_taken(
        self, content: bytes, by: User | None, options: dict[str, Any]
    ) -> WatchFile:
        at = timezone.now()
        new, lines = looked_at(content, at)
        for line in lines:
            self.stdout.write(f"older or less: {line}")
        if options["take"]:
            if by is None:
                raise CommandError("Say with --by in whose name the file is put in.")
            if not may(by, Right.EVIDENCE):
                raise CommandError(why_not(Right.EVIDENCE))
            put_in(content=content, reason=options["reason"], by=by, at=at)
            self.stdout.write("The file is in force.")
        return new

    def _tell(self, held: WatchFile) -> None:
        """Write what a file comes to: its day, the papers with a notice, and the counts."""
        self.stdout.write(f"of {held.as_of}, drawn up by {held.drawn_up_by}")
        for one in noticed(held):
            self.stdout.write(f"{one.look.status.words}: {one.paper.cited} {one.look.notice}")
        counts = by_status(watched(held))
        self.stdout.write("; ".join(f"{count} {words}" for words, count in counts))
