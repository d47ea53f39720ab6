"""Draft programs without the web pages: facts/1 lines in, draft/1 lines out."""

from __future__ import annotations

from programs.draft.document import answer, refusal
from programs.management.json_lines import JsonLinesCommand


class Command(JsonLinesCommand):
    """Read facts/1 documents, one a line, and write one draft/1 document a line."""

    help = "Draft programs from facts/1 lines. Saves nothing. Exit status 1 if a line was refused."

    answer = staticmethod(answer)
    refusal = staticmethod(refusal)
