"""Bring people in from a list, shown before it is taken."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.actions.importing import Outcome, look_at, take, undo
from patients.actions.refusals import Refused
from patients.files.columns import Unfit
from patients.files.reading import ENCODINGS
from patients.forms.people_file import Row, rows_of
from patients.may import may
from patients.staff.rights import Right, why_not
from programs.management.answering import AnsweredCommand


class Command(AnsweredCommand):
    help = (
        "Show what a list of people (CSV) would add, and add them with --take. Each row is added "
        "or refused with its reason; whoever may be on record already is asked about; the same "
        "list again adds nobody. --undo closes the records that a list added, as entered in error."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="heads: given name, family name, date of birth")
        what = parser.add_mutually_exclusive_group()
        what.add_argument("--take", action="store_true", help="add them; else they are only shown")
        what.add_argument("--undo", metavar="WHY", default="", help="close what this list added")
        parser.add_argument(
            "--other",
            type=int,
            nargs="+",
            default=[],
            metavar="LINE",
            help="lines of those who are another person than the one found, with --reason",
        )
        parser.add_argument("--reason", default="", help="how it is known that they are")
        parser.add_argument("--encoding", choices=ENCODINGS)

    def handle(self, *args: Any, file: Path, by: User | None, **options: Any) -> None:
        if options["other"] and not options["reason"].strip():
            raise CommandError("Say with --reason how it is known that they are other people.")
        try:
            rows = rows_of(file.read_bytes(), timezone.localdate(), options["encoding"])
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        except Unfit as unfit:
            raise CommandError(str(unfit)) from unfit
        self._tell(rows, self._done([(row.line, row.who) for row in rows if row.who], by, options))

    def _done(
        self, people: list[Any], by: User | None, options: dict[str, Any]
    ) -> Iterable[Outcome]:
        if not (options["take"] or options["undo"]):
            return look_at(people)
        if by is None:
            raise CommandError("Say with --by in whose name the people are added or closed.")
        right = Right.JOIN if options["undo"] else Right.ENTER
        if not may(by, right):
            raise CommandError(why_not(right))
        if options["undo"]:
            return undo(people, by=by, at=timezone.now(), note=options["undo"])
        told = {"others": options["other"], "reason": options["reason"].strip()}
        return take(people, by=by, at=timezone.now(), **told)

    def _tell(self, rows: list[Row], outcomes: Iterable[Outcome]) -> None:
        """Write a line a row as it is done, in the order of the file, and the sums."""
        left, done = iter(outcomes), 0
        refused = 0
        for row in rows:
            if row.who is None:
                refused += 1
                self.stdout.write(f"line {row.line}: refused. {' '.join(row.wrong)}")
                continue
            try:
                outcome = next(left)
            except Refused as refusal:
                raise CommandError(f"Line {row.line}: {refusal}") from refusal
            done += outcome.done
            self.stdout.write(f"line {row.line}: {outcome.words}")
        left_over = len(rows) - done - refused
        self.stdout.write(f"{len(rows)} rows: {done} done, {left_over} left, {refused} refused.")
