"""From what a paper says to its PDF. Writes nothing and reaches nothing outside the project.

Known gaps in access for readers who do not see the page, all of the PDF maker's tagging:
cells of a table's head carry no scope, so a reader infers it from its place in the head row
(WeasyPrint issue 2508); the name and page number on each page are tagged as content and are
read out on every page; a name in Hebrew or Arabic letters is not marked as another language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils import translation

from programs.actions import press
from programs.actions.press import PaperRefused, PaperUnavailable
from programs.handout.said import Issue

__all__ = ["PAPERS", "TYPES_PT", "PaperRefused", "PaperUnavailable", "pdf", "unprintable"]

#: All that a paper may use.
FILES = frozenset(
    {
        "handout.css",
        "fonts/AtkinsonHyperlegible-Regular.ttf",
        "fonts/AtkinsonHyperlegible-Bold.ttf",
        "fonts/DejaVuSans.ttf",
        "fonts/DejaVuSans-Bold.ttf",
    }
)
FACES = {
    "regular": ("fonts/AtkinsonHyperlegible-Regular.ttf", "fonts/DejaVuSans.ttf"),
    "bold": ("fonts/AtkinsonHyperlegible-Bold.ttf", "fonts/DejaVuSans-Bold.ttf"),
}
#: Paper sizes by the name that CSS knows them by.
PAPERS = {"A4": "A4", "Letter": "letter"}
TYPES_PT = (16, 20)
#: Most doses that fit beside an exercise's picture, with its steps below, on one Letter page.
BESIDE_FIGURE = {16: 14, 20: 6}

_MARGIN_MM = 20
#: The width of a line in points, on the narrower paper; the height of a line at the head of a
#: page; then comes a gap. The foot is one line with its gap. For colleagues it is all smaller.
_LINE_PT, _HEAD_PT, _HEAD_LINE_MM, _HEAD_GAP_MM, _FOOT_MM = 476, 14, 6.4, 6.0, 12.0
_SMALL = 10 / 14


def pdf(
    template: str,
    context: Mapping[str, Any],
    *,
    issue: Issue | None,
    language: str,
    paper: str,
    type_pt: int,
    draft: bool = False,
) -> bytes:
    """Return a paper as tagged PDF (PDF/UA-1). The same arguments give the same bytes.

    issue   whose paper it is; None for a blank form
    Raises KeyError for a paper size that is not known, PaperRefused, PaperUnavailable.
    """
    shown = {
        **context,
        "issue": issue,
        "language": language,
        "paper": paper,
        "type_pt": type_pt,
        "beside_figure": BESIDE_FIGURE.get(type_pt),
        "draft": draft,
    }
    with translation.override(language):
        text = render_to_string(template, shown)
        page = _page(PAPERS[paper], issue, type_pt)
    return press.apart(press.Order(text=printable(text), sheet=page, files=_files()))


def _page(size: str, issue: Issue | None, type_pt: int) -> str:
    """Return the size of the page, with room at its head for the longest names."""
    small = _SMALL if type_pt < min(TYPES_PT) else 1.0
    head = f"{issue.name}, {translation.gettext('born')} {issue.born}" if issue else ""
    lines = _lines(printable(head), _HEAD_PT * small)
    top = _MARGIN_MM + (lines * _HEAD_LINE_MM + _HEAD_GAP_MM) * small
    # Half of a table's outer rule lies outside of the table.
    side, bottom = _MARGIN_MM + 1, _MARGIN_MM + _FOOT_MM * small
    return f"@page {{ size: {size}; margin: {top:.1f}mm {side}mm {bottom:.1f}mm }}"


def _lines(text: str, size_pt: float) -> int:
    """Return the lines that a text takes in bold letters, broken at spaces where it can be."""
    lines, filled = 1, 0.0
    for word in text.split():
        wide = sum(_widths().get(ord(sign), 1.0) for sign in f"{word} ") * size_pt
        if filled and filled + wide > _LINE_PT:
            lines, filled = lines + 1, 0.0
        lines += int(wide // _LINE_PT)
        filled = (filled + wide) % _LINE_PT
    return lines


def _files() -> dict[str, str]:
    """Return where each file lies that a paper may use."""
    return {name: _place(name) for name in sorted(FILES)}


@lru_cache
def _place(name: str) -> str:
    found = finders.find(name)
    assert isinstance(found, str)
    return found


# --- Letters that the typefaces lack ---------------------------------------------------------


def unprintable(text: str) -> tuple[str, ...]:
    """Return the characters that the papers cannot show, each once, in the order they come."""
    shown = _shown()
    return tuple(
        dict.fromkeys(sign for sign in text if ord(sign) not in shown and sign not in "\n\r\t")
    )


def printable(text: str) -> str:
    """Return the text with each character that cannot be shown named instead: [U+4E2D]."""
    lacking = unprintable(text)
    if not lacking:
        return text
    return re.sub(
        f"[{re.escape(''.join(lacking))}]", lambda found: f"[U+{ord(found[0]):04X}]", text
    )


@lru_cache
def _shown() -> frozenset[int]:
    """Return the code points that can be shown both in plain and in bold letters."""
    plain, bold = ({code for name in names for code in _face(name)[0]} for names in FACES.values())
    return frozenset(plain & bold)


@lru_cache
def _widths() -> dict[int, float]:
    """Return the width of each bold letter, as a part of the letters' size."""
    found: dict[int, float] = {}
    for name in reversed(FACES["bold"]):
        signs, widths, unit = _face(name)
        found |= {code: widths[glyph][0] / unit for code, glyph in signs.items()}
    return found


def _face(name: str) -> tuple[dict[int, str], dict[str, tuple[int, int]], int]:
    """Return a typeface's glyph of each code point, the glyphs' widths, and their unit."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    with TTFont(_place(name)) as font:
        return font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
