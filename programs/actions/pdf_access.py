"""A PDF mended for readers who do not see the page, where the library that lays it out does not.

Left to itself it gives heads of tables no scope, names its cells without a tree of the names, keeps
a blank to fill in as an element with nothing in it, and tags the name and number at the edges of
each page as content that belongs nowhere. The same PDF comes out the same, byte by byte.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field
from typing import Any

import pikepdf
from pikepdf import Array, Dictionary, Name, String

#: How the library begins what it marks on a page, and what is put in its place at the edges.
_MARKED = re.compile(rb"/\w+\s<</MCID (\d+)>>\sBDC")
_AT_THE_EDGE = b"/Artifact\n<</Type/Pagination>>\nBDC"
#: Elements that say nothing where nothing is in them; an empty cell is one to write in.
_NOTHING_WHEN_EMPTY = frozenset({"/Span", "/NonStruct", "/P"})


@dataclass(kw_only=True)
class _Seen:
    """What the tree holds: marks on pages by the page's number, and the cells that are named."""

    marks: set[tuple[int, int]] = field(default_factory=set)
    named: list[tuple[str, Any]] = field(default_factory=list)


def mended(pdf: bytes) -> bytes:
    """Return a tagged PDF with scopes, names and edges as PDF/UA-1 asks for them."""
    made = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        root = document.Root.StructTreeRoot
        numbers = {page.objgen: number for number, page in enumerate(document.pages)}
        seen = _Seen()
        for element in _children(root):
            _mend(element, numbers, seen)
        _name(root, seen)
        _set_edges_apart(document, root, seen)
        document.save(made, deterministic_id=True)
    return made.getvalue()


def _children(element: Any) -> list[Any]:
    """Return the elements right below one, leaving out what it marks on a page."""
    held = element.get("/K", [])
    return [one for one in held if isinstance(one, Dictionary) and "/S" in one]


def _mend(
    element: Any, numbers: dict[Any, int], seen: _Seen, within: str = "", table: int = 0
) -> None:
    kind = str(element.S)
    if kind == "/Table":
        table = element.objgen[0]
    if kind in ("/THead", "/TBody"):
        within = kind
    if kind in ("/TH", "/TD"):
        _mend_cell(element, within, table, seen)
    for child in _children(element):
        _mend(child, numbers, seen, within, table)
    _leave_out_empty(element)
    on_page = numbers[element.Pg.objgen] if "/Pg" in element else 0
    seen.marks |= {(on_page, int(one)) for one in element.get("/K", []) if isinstance(one, int)}


def _mend_cell(cell: Any, within: str, table: int, seen: _Seen) -> None:
    """Give a head its scope. The cell in the corner heads the column below it: it is a head too."""
    if within == "/THead":
        cell.S = Name.TH
    about = cell.A
    if cell.S == Name.TH:
        about.Scope = Name.Column if within == "/THead" else Name.Row
        if "/Headers" in about:
            del about.Headers
    if "/Headers" in about:
        # A table that goes on over the page comes again with the same names.
        about.Headers = Array([_within(str(one), table) for one in about.Headers])
    if "/ID" in cell:
        cell.ID = _within(str(cell.ID), table)
        seen.named.append((str(cell.ID), cell))


def _within(name: str, table: int) -> String:
    return String(f"{table}-{name}")


def _leave_out_empty(element: Any) -> None:
    kept = [
        one
        for one in element.get("/K", [])
        if not (
            isinstance(one, Dictionary)
            and str(one.get("/S")) in _NOTHING_WHEN_EMPTY
            and not len(one.get("/K", []))
        )
    ]
    element.K = Array(kept)


def _name(root: Any, seen: _Seen) -> None:
    """Put the names of the cells where a reader looks for them, in the order that it needs."""
    if seen.named:
        ordered = sorted(seen.named, key=lambda one: one[0])
        pairs = [part for name, cell in ordered for part in (String(name), cell)]
        root.IDTree = Dictionary(Names=Array(pairs))


def _set_edges_apart(document: pikepdf.Pdf, root: Any, seen: _Seen) -> None:
    """Mark what no element of the tree holds, the head and foot of a page, as no content."""
    for number, parents in _pages_of(root):
        page = document.pages[number]
        apart = {mark for mark in range(len(parents)) if (number, mark) not in seen.marks}

        def set_apart(found: re.Match[bytes], apart: set[int] = apart) -> bytes:
            return _AT_THE_EDGE if int(found[1]) in apart else found[0]

        drawn = _MARKED.sub(set_apart, page.Contents.read_bytes())
        page.Contents = document.make_stream(drawn)
        for mark in apart:
            parents[mark] = None


def _pages_of(root: Any) -> list[tuple[int, Any]]:
    """Return each page's number with the elements of its marks; a link has but one element."""
    held = list(root.ParentTree.Nums)
    pairs = zip(held[::2], held[1::2], strict=True)
    return [(int(number), parents) for number, parents in pairs if isinstance(parents, Array)]
