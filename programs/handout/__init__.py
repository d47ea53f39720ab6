"""The papers made from a signed snapshot: what each says; templates lay them out."""

from programs.handout.pages import issue_of, pages
from programs.handout.said import ENGLISH, Block, Chapter, Handout, Issue, Section, Words
from programs.handout.todo import week_page

__all__ = [
    "ENGLISH",
    "Block",
    "Chapter",
    "Handout",
    "Issue",
    "Section",
    "Words",
    "issue_of",
    "pages",
    "week_page",
]
