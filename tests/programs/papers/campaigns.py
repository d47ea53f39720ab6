"""The long runs over papers: every person, weeks, language and size, by page and by PDF."""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import django
from hypothesis import strategies as st

from tests.campaign import Campaign

LANGUAGES, PAPERS, TYPES_PT = ("en", "es"), ("A4", "Letter"), (16, 20)


def _ready() -> None:
    """Set the framework up, with the bundled typefaces alone; once is enough."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings_test")
    django.setup()
    if "FONTCONFIG_FILE" not in os.environ:
        from programs.actions import pdf_process

        os.environ.update(pdf_process.bundled_fonts_alone(Path(mkdtemp(prefix="calcar-faces-"))))


def _people() -> list[str]:
    _ready()
    from tests.programs.papers.test_cross_check import EVERYBODY

    return list(EVERYBODY)


def _page_breaches(case: tuple[str, str, int]) -> Iterator[str]:
    """Yield what differs on the page of weeks that begin anywhere in a program."""
    _ready()
    from programs.papers.span import Span, all_weeks
    from tests.programs.papers.test_cross_check import found, held_of, laid_out
    from tests.programs.sample_papers import program_of

    who, language, first = case
    whole = all_weeks(program_of(held_of(who)))
    for code in ("handout", "sheets"):
        for last in range(min(first, whole.last), whole.last + 1, 4):
            span = Span(first=min(first, whole.last), last=last)
            html = laid_out(held_of(who), code, span, language)
            for difference in found(who, code, span, language, html):
                yield f"{code}: {who}, {language}, weeks {span}: {difference}"


def _file_breaches(case: tuple[Any, ...]) -> Iterator[str]:
    """Yield what the PDF of a paper to the next visit lacks of its page."""
    _ready()
    from tests.rendered.pdf_against_page import lacking

    for line in lacking(*case):
        yield f"the file: {case}: {line}"


_PAGES = list(product(_people(), LANGUAGES, range(1, 27, 3)))
_FILES = list(product(_people(), LANGUAGES, PAPERS, TYPES_PT))
CAMPAIGNS = (
    Campaign(
        name="pages of papers against what was signed",
        cases=st.sampled_from(_PAGES),
        breaches=_page_breaches,
        many=len(_PAGES),
        few=2,
    ),
    Campaign(
        name="files of papers against their pages",
        cases=st.sampled_from(_FILES),
        breaches=_file_breaches,
        many=len(_FILES),
        few=1,
    ),
)
