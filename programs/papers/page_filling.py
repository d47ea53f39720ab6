"""Which exercises share a page, and how large their pictures are there.

A page takes as many exercises as fit with small pictures; then the pictures grow until the page is
full, so that none stays half empty. Heights are estimates in millimetres (picture_room.py); where
a page ends is therefore said to the layout, not left to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from programs.papers.paper_parts import Block, Chapter
from programs.papers.picture_room import (
    LEAST_TENTHS,
    MOST_TENTHS,
    Arrangement,
    choices,
    height_mm,
    lines_mm,
)

#: Each line of a table has this much air; its caption, a heading and the rule above it, and what
#: is below each list, in em.
_CELL_EM, _CAPTION_EM, _HEADING_EM, _BELOW_EM = 0.5, 1.7, 2.7, 0.6
#: How much of a page pictures grow into: a block that is higher than it was taken for stays whole.
_GROWN_INTO = 0.96


@dataclass(frozen=True, kw_only=True)
class Placed:
    """An exercise on its page; `begins` tells that the page begins with it."""

    block: Block
    room: Arrangement
    begins: bool


@dataclass(frozen=True, kw_only=True)
class Filled:
    """A chapter with its exercises on their pages; `begins` tells that it begins a page."""

    chapter: Chapter
    begins: bool
    placed: tuple[Placed, ...]


@dataclass(frozen=True, kw_only=True)
class _Item:
    """What stands whole on a page: an exercise, or the opening of a chapter, which has no block.

    least_mm   how high it is at least
    choices    the arrangements of an exercise, each with its height
    """

    least_mm: float
    block: Block | None = None
    choices: tuple[tuple[Arrangement, float], ...] = ()

    @property
    def lowest(self) -> Arrangement:
        """Return the arrangement that takes least, with its doses above the picture."""
        whole = (one for one in self.choices if not one[0].apart)
        return min(whole, key=lambda one: one[1])[0]

    def largest(self, growth: float) -> tuple[Arrangement, float] | None:
        """Return the lowest arrangement of those with the largest picture of at most `growth`."""
        fitting = [one for one in self.choices if one[0].growth <= growth and not one[0].apart]
        return max(fitting, key=lambda one: (one[0].growth, -one[1]), default=None)


def filled(
    chapters: Sequence[Chapter], type_pt: int, paper: str, edge_lines: int
) -> tuple[Filled, ...]:
    """Return chapters with their exercises on pages; the first begins a page of its own.

    edge_lines   of the head and the foot of a page together
    Raises ValueError for a picture that does not say its size, KeyError for a paper not known.
    """
    high = height_mm(paper, type_pt, edge_lines)
    held = [one for one in chapters if one.blocks]
    items = [item for chapter in held for item in _items(chapter, type_pt)]
    begun = iter([one for page in _pages(items, high) for one in _grown(page, high)])
    return tuple(_chapter(chapter, next(begun)[1], begun) for chapter in held)


def _chapter(chapter: Chapter, begins: bool, begun: Iterator[tuple[Arrangement, bool]]) -> Filled:
    placed = [
        Placed(block=block, room=room, begins=first)
        for block, (room, first) in zip(chapter.blocks, begun, strict=False)
    ]
    return Filled(chapter=chapter, begins=begins, placed=tuple(placed))


def opening_mm(chapter: Chapter, type_pt: int) -> float:
    """Return about how high is what stands above the first exercise of a chapter."""
    doses = [f"{dose.weeks}: {dose.text}" for dose in chapter.doses]
    lines = [*chapter.do, *doses]
    rows = 0
    if chapter.table is not None:
        lines += chapter.table.reading
        rows = 1 + len(chapter.table.rows)
    lists = [chapter.do, doses, chapter.table.reading if chapter.table else ()]
    air = _HEADING_EM + _BELOW_EM * sum(bool(one) for one in lists)
    air += rows * _CELL_EM + (_CAPTION_EM + _BELOW_EM if rows else 0)
    return lines_mm([*lines, *["row"] * rows], type_pt) + air * type_pt * 25.4 / 72


def _items(chapter: Chapter, type_pt: int) -> Iterator[_Item]:
    yield _Item(least_mm=opening_mm(chapter, type_pt))
    for block in chapter.blocks:
        found = tuple(choices(block, type_pt))
        least = min(mm for arranged, mm in found if not arranged.apart)
        yield _Item(block=block, least_mm=least, choices=found)


def _pages(items: Iterable[_Item], high: float) -> Iterator[list[_Item]]:
    """Yield what stands on each page."""
    page: list[_Item] = []
    for item in items:
        if page and sum(one.least_mm for one in (*page, item)) > high:
            yield page
            page = []
        page.append(item)
    if page:
        yield page


def _grown(page: Sequence[_Item], high: float) -> Iterator[tuple[Arrangement, bool]]:
    """Yield how each thing on a page is arranged, and whether it is the first."""
    blocks = [one for one in page if one.block]
    opening = sum(one.least_mm for one in page if not one.block)
    grown = iter(_arranged(blocks, high - opening, high * _GROWN_INTO - opening))
    for number, one in enumerate(page):
        yield next(grown) if one.block else _OPENING, number == 0


def _arranged(blocks: Sequence[_Item], room: float, into: float) -> list[Arrangement]:
    """Return how exercises are arranged on a page, with the largest pictures there is room for.

    room   in which they have to stand
    into   how much of it pictures grow into
    Where even the smallest find no room, an exercise has a page to itself, and its doses go apart.
    """
    for tenths in range(MOST_TENTHS, min(LEAST_TENTHS.values()) - 1, -1):
        found = [chosen for one in blocks if (chosen := one.largest(tenths / 10))]
        if len(found) == len(blocks) and sum(mm for _, mm in found) <= into:
            return [arranged for arranged, _ in found]
    fits = sum(one.least_mm for one in blocks) <= room
    return [one.lowest if fits else one.choices[-1][0] for one in blocks]


#: An opening has no picture to arrange.
_OPENING = Arrangement()
