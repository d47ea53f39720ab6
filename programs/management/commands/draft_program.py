"""Draft programs without the web pages: facts/1 lines in, draft/1 lines out."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, TextIO

from django.core.management.base import BaseCommand, CommandParser

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
            self.stdout.write(json.dumps(found, ensure_ascii=False))
        if refused:
            sys.exit(1)


def _lines(files: Iterable[Path]) -> Iterator[str]:
    sources: list[TextIO] = [path.open(encoding="utf-8") for path in files] or [sys.stdin]
    for source in sources:
        with source:
            yield from (line for line in source if line.strip())


def _answer(line: str) -> dict[str, Any]:
    try:
        document = json.loads(line, parse_constant=_refuse_constant)
    except ValueError:
        return refusal((Problem(at="", text="This line is not a JSON document."),))
    return answer(document)


def _refuse_constant(name: str) -> None:
    raise ValueError(name)
