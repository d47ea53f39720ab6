"""The picture of an address for the camera of a phone (QR code, ISO/IEC 18004)."""

from __future__ import annotations

from html import escape

import segno

#: Modules left white around the picture, as the standard asks.
QUIET = 4
#: Level M: some 15 % of the picture may be lost to wear and it is still read.
_ERROR = "m"


def matrix(text: str) -> list[list[bool]]:
    """Return the modules of a text, True for a dark one, without the quiet zone."""
    made = segno.make(text, error=_ERROR, micro=False)
    return [[bool(module) for module in row] for row in made.matrix]


def svg(text: str, told: str) -> str:
    """Return the picture, quiet zone and white ground included.

    told   what a reader hears who does not see it
    """
    rows = matrix(text)
    wide = len(rows) + 2 * QUIET
    runs = "".join(
        f"M{start + QUIET} {y + QUIET}h{length}v1h-{length}z"
        for y, row in enumerate(rows)
        for start, length in _runs(row)
    )
    return (
        f'<svg class="qr" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {wide}" '
        f'role="img" shape-rendering="crispEdges"><title>{escape(told)}</title>'
        f'<rect width="{wide}" height="{wide}" fill="#fff"/><path d="{runs}" fill="#000"/></svg>'
    )


def _runs(row: list[bool]) -> list[tuple[int, int]]:
    """Return the dark runs of a row: where each starts, and how long it is."""
    found: list[tuple[int, int]] = []
    for x, dark in enumerate(row):
        if not dark:
            continue
        if found and sum(found[-1]) == x:
            found[-1] = (found[-1][0], found[-1][1] + 1)
        else:
            found.append((x, 1))
    return found
