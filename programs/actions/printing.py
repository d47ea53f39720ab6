"""From what a paper says to its PDF. Writes nothing and reaches nothing outside the project.

What the PDF maker's tags lack for readers who do not see the page is mended after it
(pdf_access.py). A known gap: a name in Hebrew or Arabic letters is not marked as another language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from html import unescape
from typing import Any

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.utils import translation
from django.utils.html import strip_tags
from django.utils.translation import gettext

from programs.actions import clinic_letters, pdf_process, press_queue
from programs.actions.pdf_process import PaperRefused, PaperUnavailable
from programs.actions.press_queue import Line
from programs.papers.paper_parts import Issue

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
#: The families of these in handout.css, in the order in which letters are looked for.
_BUNDLED = '"Atkinson Hyperlegible", "Paper Fallback"'
#: Paper sizes by the name that CSS knows them by.
PAPERS = {"A4": "A4", "Letter": "letter"}
TYPES_PT = (16, 20)

_MARGIN_MM = 20
#: The width of a line in points, on the narrower paper; the height of a line at the head and
#: the foot of a page as a part of its letters' size, which is that of the paper; and the gap
#: between each and the text, smaller for colleagues.
_LINE_PT, _EDGE_LINE, _HEAD_GAP_MM, _FOOT_GAP_MM = 476, 1.3, 5.0, 4.6
_MM_A_POINT, _SMALL = 25.4 / 72, 0.86
#: What stands at the head and at the foot of each page, as the template holds it.
_HEAD, _FOOT = (
    re.compile(f'<div class="{name}">(.*?)</div>', re.DOTALL) for name in ("head", "foot")
)
#: Room for the numbers of pages at the end of the foot.
_NUMBERS = " 00 00"


def pdf(
    template: str,
    context: Mapping[str, Any],
    *,
    issue: Issue | None,
    language: str,
    paper: str,
    type_pt: int,
    draft: bool = False,
    line: Line | None = None,
) -> bytes:
    """Return a paper as tagged PDF (PDF/UA-1). The same arguments give the same bytes.

    issue   whose paper it is; None for a blank form
    line    how it stands in line where presses serve one; None: whoever asks waits here
    Raises KeyError for a paper size that is not known, PaperRefused, PaperUnavailable; BeingMade
    where it is asked for again later.
    """
    shown = {
        **context,
        "issue": issue,
        "language": language,
        "paper": paper,
        "type_pt": type_pt,
        "draft": draft,
    }
    with translation.override(language):
        if issue is not None:
            shown["edge_lines"] = _edge_lines(shown, type_pt)
        text = printable(render_to_string(template, shown))
    own = clinic_letters.places()
    sheet = _page(PAPERS[paper], text, type_pt) + clinic_letters.sheet(_BUNDLED, own)
    order = pdf_process.Order(text=text, sheet=sheet, files=_files() | own)
    if line is None:
        return pdf_process.apart(order)
    return press_queue.paper_of(order, anchor=issue.anchor if issue else "", line=line)


def _page(size: str, text: str, type_pt: int) -> str:
    """Return the size of the page, with room for the longest name, clinic's number or language."""
    small = _SMALL if type_pt < min(TYPES_PT) else 1.0
    line_mm = type_pt * _EDGE_LINE * _MM_A_POINT
    head = _lines(_edge(_HEAD, text), type_pt, "bold")
    foot = _lines(_edge(_FOOT, text) + _NUMBERS, type_pt, "regular")
    top = _MARGIN_MM + head * line_mm + _HEAD_GAP_MM * small
    bottom = _MARGIN_MM + foot * line_mm + _FOOT_GAP_MM * small
    # Half of a table's outer rule lies outside of the table.
    side = _MARGIN_MM + 1
    return f"@page {{ size: {size}; margin: {top:.1f}mm {side}mm {bottom:.1f}mm }}"


def _edge_lines(shown: dict[str, Any], type_pt: int) -> int:
    """Return the lines at the head and the foot of a page, before there is a page."""
    head, foot = (
        _read(render_to_string(f"paper/_{part}.html", shown)) for part in ("head", "foot")
    )
    numbers = f"{gettext('Page')} {gettext('of')}{_NUMBERS}"
    return _lines(head, type_pt, "bold") + _lines(f"{foot} {numbers}", type_pt, "regular")


def _edge(part: re.Pattern[str], text: str) -> str:
    """Return what is read at the head or the foot of a page."""
    found = part.search(text)
    return _read(found[1]) if found else ""


def _read(html: str) -> str:
    return unescape(strip_tags(html))


def _lines(text: str, size_pt: float, face: str) -> int:
    """Return the lines that a text takes in these letters, broken at spaces where it can be."""
    lines, filled = 1, 0.0
    for word in text.split():
        wide = sum(_widths(face).get(ord(sign), 1.0) for sign in f"{word} ") * size_pt
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


#: Ends of lines, and what sets a number apart from words that are written from right to left.
_UNSEEN = "\n\r\t\u2066\u2069"


def unprintable(text: str) -> tuple[str, ...]:
    """Return the characters that the papers cannot show, each once, in the order they come."""
    shown = _shown()
    return tuple(
        dict.fromkeys(sign for sign in text if ord(sign) not in shown and sign not in _UNSEEN)
    )


def printable(text: str) -> str:
    """Return the text with each character that cannot be shown named instead: [U+4E2D]."""
    lacking = unprintable(text)
    if not lacking:
        return text
    return re.sub(
        f"[{re.escape(''.join(lacking))}]", lambda found: f"[U+{ord(found[0]):04X}]", text
    )


def _shown() -> frozenset[int]:
    """Return the code points that can be shown, the clinic's own typefaces included."""
    return _bundled().union(*clinic_letters.letters_of().values())


@lru_cache
def _bundled() -> frozenset[int]:
    """Return the code points that can be shown both in plain and in bold letters."""
    plain, bold = ({code for name in names for code in _face(name)[0]} for names in FACES.values())
    return frozenset(plain & bold)


@lru_cache
def _widths(face: str) -> dict[int, float]:
    """Return the width of each letter of a face, as a part of the letters' size."""
    found: dict[int, float] = {}
    for name in reversed(FACES[face]):
        signs, widths, unit = _face(name)
        found |= {code: widths[glyph][0] / unit for code, glyph in signs.items()}
    return found


def bold_width(text: str) -> float:
    """Return how wide a text is in bold letters, in units of their size."""
    widths = _widths("bold")
    return sum(widths.get(ord(sign), 1.0) for sign in text)


def _face(name: str) -> tuple[dict[int, str], dict[str, tuple[int, int]], int]:
    """Return a typeface's glyph of each code point, the glyphs' widths, and their unit."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    with TTFont(_place(name)) as font:
        return font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
