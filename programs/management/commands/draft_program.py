"""Draft programs without the web pages: facts/1 lines in, draft/1 lines out."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any, BinaryIO

from django.core.management.base import BaseCommand, CommandError, CommandParser

from patients.exchange import Problem
from programs.answer import answer, refusal


class Command(BaseCommand):
    """Read facts/1 documents, one a line, and write one draft/1 document a line."""

    help = "Draft programs from facts/1 lines. Saves nothing. Exit status 1 if a line was refused."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take files, or standard input where there is none."""
        parser.add_argument("files", nargs="*", type=Path)

    def handle(self, *args: Any, **options: Any) -> None:
        """Answer every line in its order."""
        refused = False
        for line in _lines(options["files"]):
            found = _answer(line)
            refused = refused or "errors" in found
            # In ASCII: what a document quotes may be text that no encoding can write.
            self.stdout.write(json.dumps(found))
        if refused:
            sys.exit(1)


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


def _answer(line: bytes) -> dict[str, Any]:
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
