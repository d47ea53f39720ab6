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

#: Each line of a table has this much air; its caption, a heading and the rule above it, in em.
_CELL_EM, _CAPTION_EM, _HEADING_EM = 0.5, 1.7, 2.5
_BETWEEN_LINES_EM, _BETWEEN_PARTS_EM = 0.3, 0.7


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
    """An exercise with what stands above it: the opening of its chapter, where it is the first.

    under_mm   how high the opening is; 0 for the others, and where both find no room on one page
    opens      it is the first of its chapter
    """

    block: Block
    under_mm: float
    opens: bool
    choices: tuple[tuple[Arrangement, float], ...]

    @property
    def least_mm(self) -> float:
        return self.under_mm + _least_mm(self.choices)

    @property
    def leaves_its_opening(self) -> bool:
        return self.opens and not self.under_mm

    def largest(self, growth: float) -> tuple[Arrangement, float] | None:
        """Return the lowest arrangement of those with the largest picture of at most `growth`."""
        fitting = [one for one in self.choices if one[0].growth <= growth and _is_whole(one[0])]
        return max(fitting, key=lambda one: (one[0].growth, -one[1]), default=None)


def filled(chapters: Sequence[Chapter], type_pt: int, paper: str) -> tuple[Filled, ...]:
    """Return chapters with their exercises on pages; the first begins a page of its own.

    Raises ValueError for a picture that does not say its size, KeyError for a paper not known.
    """
    high = height_mm(paper, type_pt)
    items = [item for chapter in chapters for item in _items(chapter, type_pt, high)]
    placed = iter([one for page in _pages(items, high) for one in _grown(page, high)])
    return tuple(_chapter(chapter, [next(placed) for _ in chapter.blocks]) for chapter in chapters)


def _chapter(chapter: Chapter, placed: Sequence[tuple[_Item, Arrangement, bool]]) -> Filled:
    return Filled(
        chapter=chapter,
        begins=any(item.opens and begins for item, _, begins in placed),
        placed=tuple(
            Placed(
                block=item.block,
                room=room,
                begins=begins and (not item.opens or item.leaves_its_opening),
            )
            for item, room, begins in placed
        ),
    )


def opening_mm(chapter: Chapter, type_pt: int) -> float:
    """Return about how high is what stands above the first exercise of a chapter."""
    doses = [f"{dose.weeks}: {dose.text}" for dose in chapter.doses]
    lines = [*chapter.do, *doses]
    rows = 0
    if chapter.table is not None:
        lines += chapter.table.reading
        rows = 1 + len(chapter.table.rows)
    air = _HEADING_EM + _BETWEEN_LINES_EM * len(lines) + 2 * _BETWEEN_PARTS_EM
    air += rows * _CELL_EM + (_CAPTION_EM if rows else 0)
    return lines_mm([*lines, *["row"] * rows], type_pt) + air * type_pt * 25.4 / 72


def _items(chapter: Chapter, type_pt: int, high: float) -> Iterator[_Item]:
    opening = opening_mm(chapter, type_pt)
    for number, block in enumerate(chapter.blocks):
        found = tuple(choices(block, type_pt))
        together = number == 0 and opening + _least_mm(found) <= high
        yield _Item(
            block=block,
            under_mm=opening if together else 0.0,
            opens=number == 0,
            choices=found,
        )


def _pages(items: Iterable[_Item], high: float) -> Iterator[list[_Item]]:
    """Yield the exercises of each page."""
    page: list[_Item] = []
    for item in items:
        full = sum(one.least_mm for one in (*page, item)) > high
        if page and (full or item.leaves_its_opening):
            yield page
            page = []
        page.append(item)
    if page:
        yield page


def _grown(page: Sequence[_Item], high: float) -> Iterator[tuple[_Item, Arrangement, bool]]:
    """Yield the exercises of a page with the largest pictures that it has room for.

    Where even the smallest find no room, an exercise has a page to itself, and its doses go apart.
    """
    room = high - sum(one.under_mm for one in page)
    arranged = [one.choices[-1][0] for one in page]
    for tenths in range(MOST_TENTHS, min(LEAST_TENTHS.values()) - 1, -1):
        found = [chosen for one in page if (chosen := one.largest(tenths / 10))]
        if len(found) == len(page) and sum(mm for _, mm in found) <= room:
            arranged = [chosen for chosen, _ in found]
            break
    for number, (one, chosen_room) in enumerate(zip(page, arranged, strict=True)):
        yield one, chosen_room, number == 0


def _is_whole(arranged: Arrangement) -> bool:
    return arranged.doses != "apart"


def _least_mm(found: Sequence[tuple[Arrangement, float]]) -> float:
    """Return the least height of an exercise whose doses stand with it."""
    return min(mm for arranged, mm in found if _is_whole(arranged))
