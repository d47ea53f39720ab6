"""A copy of a kept paper that must not be used, marked so across each page."""

from __future__ import annotations

import io
import math

import pikepdf
from pikepdf import Dictionary, Name

from programs.papers.paper_parts import Words
from programs.papers.stop_notice import MARKS

#: Width of a letter of bold Helvetica, of its size: between its widest and its narrowest.
_LETTER = 0.68
_OF_DIAGONAL = 0.85


def marked(pdf: bytes, state: str, words: Words) -> bytes:
    """Return a PDF with the mark of a state across each of its pages, all else as it was.

    Its letters are one of the fonts that every reader of PDF has, so nothing is embedded.
    """
    text, made = words.gettext(MARKS[state]), io.BytesIO()
    font = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type1,
        BaseFont=Name("/Helvetica-Bold"),
        Encoding=Name.WinAnsiEncoding,
    )
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            used = str(page.add_resource(font, Name.Font, name=Name.CopyMark))
            left, bottom, right, top = map(float, page.mediabox)
            drawn = _drawn(text, used, (left, bottom), (right - left, top - bottom))
            # What the page does to its own coordinates ends with it.
            page.contents_add(b"q", prepend=True)
            page.contents_add(b"Q" + drawn)
        document.save(made, deterministic_id=True)
    return made.getvalue()


def _drawn(text: str, font: str, corner: tuple[float, float], size: tuple[float, float]) -> bytes:
    """Return what draws a text from the lower left to the upper right, in grey."""
    wide, high = size
    diagonal = math.hypot(wide, high)
    points = diagonal * _OF_DIAGONAL / (len(text) * _LETTER)
    cos, sin = wide / diagonal, high / diagonal
    length = points * _LETTER * len(text)
    x = corner[0] + (wide - length * cos) / 2 + points / 3 * sin
    y = corner[1] + (high - length * sin) / 2 - points / 3 * cos
    place = " ".join(f"{n:.4f}" for n in (cos, sin, -sin, cos, x, y))
    letters = text.encode("cp1252").hex()
    return (
        f"\n/Artifact BMC q BT {font} {points:.2f} Tf 1 Tr 0.45 G 0.7 w {place} Tm "
        f"<{letters}> Tj ET Q EMC\n"
    ).encode("ascii")
