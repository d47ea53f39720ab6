"""Review programs without the web pages: followup/1 lines in, proposal/1 lines out."""

from __future__ import annotations

from programs.management.json_lines import JsonLinesCommand
from programs.review.document import answer, refusal


class Command(JsonLinesCommand):
    """Read followup/1 documents, one a line, and write one proposal/1 document a line."""

    help = (
        "Review programs from followup/1 lines. Saves nothing. Exit status 1 if a line was refused."
    )

    answer = staticmethod(answer)
    refusal = staticmethod(refusal)
