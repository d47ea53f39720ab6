"""The page of what the door is held to, made from the rows of config.asvs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from config.asvs.all_rows import CHAPTERS, counted
from config.asvs.row import STANDARD, Verdict

_TONES = {Verdict.HOLDS: "fine", Verdict.NOT_HERE: "missing", Verdict.OPEN: "needs_clearance"}


@require_GET
def door(request: HttpRequest) -> HttpResponse:
    """Show each requirement with its verdict and the tests that show it."""
    context = {
        "standard": STANDARD,
        "chapters": [
            (chapter.name, [(row, _TONES[row.verdict]) for row in chapter.rows])
            for chapter in CHAPTERS
        ],
        "counted": counted(),
    }
    return render(request, "door.html", context)
