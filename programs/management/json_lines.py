"""JSON Lines in and out, for commands that answer one document with one document."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import ExitStack, closing
from functools import partial
from itertools import chain, islice
from multiprocessing import Pool
from pathlib import Path
from typing import Any, BinaryIO

from django.core.management.base import BaseCommand, CommandError, CommandParser

from patients.facts.document import Problem

Answer = dict[str, Any]


#: Lines that a process is handed at once.
LINES_AT_ONCE = 32


class JsonLinesCommand(BaseCommand):
    """Read one document a line, and write one answer a line, in the same order.

    answer, refusal   the answer to a document, and to a line that is none: functions of a module,
                      for other processes find them by name
    """

    requires_system_checks: list[str] = []
    answer: Callable[[object], Answer]
    refusal: Callable[[tuple[Problem, ...]], Answer]

    def add_arguments(self, parser: CommandParser) -> None:
        """Take files, or standard input where there is none, and how many processes answer."""
        parser.add_argument("files", nargs="*", type=Path)
        parser.add_argument(
            "--processes", type=int, default=1, help="how many answer side by side (1)"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Answer every line in its order."""
        if options["processes"] < 1:
            raise CommandError("--processes is 1 or more.")
        refused = False
        with closing(self._answers(_lines(options["files"]), options["processes"])) as answers:
            for text, was_refused in answers:
                refused = refused or was_refused
                self.stdout.write(text)
        if refused:
            sys.exit(1)

    def _answers(self, lines: Iterator[bytes], processes: int) -> Generator[tuple[str, bool]]:
        """Yield each answer as it is written, and whether it refuses its line."""
        write = partial(written, answer=self.answer, refusal=self.refusal)
        first = list(islice(lines, 1))  # a file that is not there is told before anything starts
        if processes == 1:
            yield from map(write, chain(first, lines))
            return
        with Pool(processes) as pool:
            yield from pool.imap(write, chain(first, lines), LINES_AT_ONCE)


def written(
    line: bytes,
    answer: Callable[[object], Answer],
    refusal: Callable[[tuple[Problem, ...]], Answer],
) -> tuple[str, bool]:
    """Return the answer to a line as it is written, and whether it refuses the line."""
    found = answered(line, answer, refusal)
    # In ASCII: what a document quotes may be text that no encoding can write.
    return json.dumps(found), "errors" in found


def _lines(files: Iterable[Path]) -> Iterator[bytes]:
    """Yield the lines that are not empty, as bytes: one that is no text spoils no other."""
    with ExitStack() as opened:
        try:
            sources: list[BinaryIO] = [opened.enter_context(path.open("rb")) for path in files]
        except OSError as error:
            raise CommandError(str(error)) from None
        for source in sources or [sys.stdin.buffer]:
            yield from (line for line in source if line.strip())


class _Twice(ValueError):
    """A key stands twice in one object, so it has no one answer."""


def answered(
    line: bytes,
    answer: Callable[[object], Answer],
    refusal: Callable[[tuple[Problem, ...]], Answer],
) -> Answer:
    """Return the answer to a line."""
    try:
        document = json.loads(
            line.decode("utf-8-sig"), parse_constant=_refuse_constant, object_pairs_hook=_object
        )
    except _Twice as twice:
        return refusal((Problem(at="", text=str(twice)),))
    except (ValueError, RecursionError):
        return refusal((Problem(at="", text="This line is not a JSON document."),))
    return answer(document)


def _refuse_constant(name: str) -> None:
    raise ValueError(name)


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _Twice(f"The key {key} is given twice.")
        found[key] = value
    return found
