"""The papers made from a signed program: what each says; templates lay them out."""

from programs.papers.pages import issue_of, pages
from programs.papers.paper_parts import (
    ENGLISH,
    Block,
    Chapter,
    Handout,
    Issue,
    Section,
    WeekPage,
    WeekSheet,
    Words,
)
from programs.papers.span import Span
from programs.papers.week_page import week_page
from programs.papers.week_sheet import sheets, week_sheet

__all__ = [
    "ENGLISH",
    "Block",
    "Chapter",
    "Handout",
    "Issue",
    "Section",
    "Span",
    "WeekPage",
    "WeekSheet",
    "Words",
    "issue_of",
    "pages",
    "sheets",
    "week_page",
    "week_sheet",
]
