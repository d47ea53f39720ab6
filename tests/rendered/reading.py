"""What a PDF really holds: its words, its letters and lines with their places, its structure."""

from __future__ import annotations

import ctypes
import io
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf
import pypdfium2
from pypdfium2 import raw

MM = 72 / 25.4
#: Dots a point in which a page is looked at, and the grey from which one is paper.
DOTS_A_POINT, PAPER_WHITE = 2, 250
#: What PDFium calls a group of objects with coordinates of its own.
FORM = raw.FPDF_PAGEOBJ_FORM


@dataclass(frozen=True, kw_only=True)
class Letter:
    """One letter on a page; the box in points from the lower left corner."""

    page: int
    sign: str
    size_pt: float
    box: tuple[float, float, float, float]


@dataclass(frozen=True, kw_only=True)
class Page:
    """One page: its size in points, its text, the boxes of all that is drawn on it."""

    width: float
    height: float
    text: str
    drawn: tuple[tuple[float, float, float, float], ...]


def squeezed(text: str) -> str:
    """Return the text without white space, which lines and columns move about."""
    return "".join(text.split())


def pages_of(pdf: bytes) -> tuple[Page, ...]:
    """Return the pages."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return tuple(_page(document[n]) for n in range(len(document)))
    finally:
        document.close()


def _page(page: Any) -> Page:
    width, height = page.get_size()
    text = page.get_textpage().get_text_range()
    drawn = tuple(_on_page(one) for one in page.get_objects(max_depth=4) if one.type != FORM)
    return Page(width=width, height=height, text=text, drawn=drawn)


def _on_page(drawn: Any) -> tuple[float, float, float, float]:
    """Return an object's box on the page; one that stands in a group tells it in the group's."""
    box, group = drawn.get_bounds(), drawn.container
    while group is not None:
        box, group = group.get_matrix().on_rect(*box), group.container
    left, bottom, right, top = box
    return left, bottom, right, top


def ink_of(pdf: bytes) -> Iterator[tuple[float, float, float, float]]:
    """Yield the box of all ink on each page, in points from the upper left corner.

    What PDFium tells of a line drawn with joins is wider than what is seen of it.
    """
    document = pypdfium2.PdfDocument(pdf)
    try:
        for number in range(len(document)):
            seen = document[number].render(scale=DOTS_A_POINT, grayscale=True).to_pil()
            box = seen.point(lambda light: 255 if light < PAPER_WHITE else 0).getbbox()
            assert box is not None
            left, top, right, bottom = (side / DOTS_A_POINT for side in box)
            yield left, top, right, bottom
    finally:
        document.close()


def text_of(pdf: bytes) -> str:
    """Return all words, without white space."""
    return squeezed("".join(page.text for page in pages_of(pdf)))


def letters_of(pdf: bytes) -> Iterator[Letter]:
    """Yield each letter that leaves ink."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for number in range(len(document)):
            words = document[number].get_textpage()
            for at in range(words.count_chars()):
                sign = chr(raw.FPDFText_GetUnicode(words, at))
                if sign.isspace() or not sign.isprintable():
                    continue
                matrix = raw.FS_MATRIX()
                raw.FPDFText_GetMatrix(words, at, ctypes.byref(matrix))
                scale = (matrix.c**2 + matrix.d**2) ** 0.5
                yield Letter(
                    page=number + 1,
                    sign=sign,
                    size_pt=raw.FPDFText_GetFontSize(words, at) * scale,
                    box=words.get_charbox(at),
                )
    finally:
        document.close()


def fonts_of(pdf: bytes) -> dict[str, bool]:
    """Return the fonts by name, and whether each is embedded."""
    found = {}
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for one in document.objects:
            if isinstance(one, pikepdf.Dictionary) and "/FontDescriptor" in one:
                held = one.FontDescriptor
                name = str(one.BaseFont).partition("+")[2]
                found[name] = any(f"/FontFile{n}" in held for n in ("", "2", "3"))
    return found


def missing_glyphs(pdf: bytes) -> int:
    """Return how many times glyph 0, the box of a letter that the font lacks, is shown."""
    count = 0
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for page in document.pages:
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) in ("Tj", "TJ"):
                    shown = operands[0] if str(operator) == "TJ" else operands
                    count += sum(_zeros(one) for one in shown if isinstance(one, pikepdf.String))
    return count


def _zeros(shown: pikepdf.String) -> int:
    held = bytes(shown)
    return sum(1 for n in range(0, len(held) - 1, 2) if held[n : n + 2] == b"\0\0")


def structure_of(pdf: bytes) -> list[tuple[str, str]]:
    """Return the structure's elements in reading order: kind, and text alternative or nothing."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return list(_elements(document.Root.StructTreeRoot.K))


def _elements(part: Any) -> Iterator[tuple[str, str]]:
    if isinstance(part, pikepdf.Array):
        for one in part:
            yield from _elements(one)
    elif isinstance(part, pikepdf.Dictionary):
        if "/S" in part:
            yield str(part.S)[1:], str(part.get("/Alt", ""))
        if "/K" in part:
            yield from _elements(part.K)


def kinds_of(pdf: bytes) -> Counter[str]:
    """Return how many elements of each kind the structure holds."""
    return Counter(kind for kind, _ in structure_of(pdf))


UNWANTED = {"/EmbeddedFile", "/EmbeddedFiles", "/URI", "/JavaScript", "/JS", "/Launch"}


def brings_along(pdf: bytes) -> set[str]:
    """Return what a paper must not bring along: attachments, links, scripts, by name."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        found = {name for one in document.objects for name in _names(one)}
        return found & UNWANTED | ({"attachment"} if document.attachments else set())


def _names(part: Any, depth: int = 0) -> Iterator[str]:
    """Yield keys and names inside an object; what it points to is an object of its own."""
    if isinstance(part, pikepdf.Name):
        yield str(part)
    elif depth and _elsewhere(part):
        return
    elif isinstance(part, pikepdf.Array):
        for one in part:
            yield from _names(one, depth + 1)
    elif isinstance(part, pikepdf.Dictionary | pikepdf.Stream):
        for key in part.keys():  # noqa: SIM118  a pikepdf object is no mapping
            yield str(key)
            yield from _names(part[key], depth + 1)


def _elsewhere(part: Any) -> bool:
    """Tell whether an object has a number of its own."""
    return isinstance(part, pikepdf.Object) and part.is_indirect
