"""All rows, in one table."""

from __future__ import annotations

from collections import Counter

from config.asvs.of_what_comes_in_and_goes_out import IN_AND_OUT
from config.asvs.of_what_is_kept import WHAT_IS_KEPT
from config.asvs.of_who_comes_in import WHO_COMES_IN
from config.asvs.row import Row, Verdict

CHAPTERS = (*WHO_COMES_IN, *IN_AND_OUT, *WHAT_IS_KEPT)
ROWS: tuple[Row, ...] = tuple(row for chapter in CHAPTERS for row in chapter.rows)


def counted() -> list[tuple[Verdict, int]]:
    """Return how many rows stand how."""
    held = Counter(row.verdict for row in ROWS)
    return [(verdict, held[verdict]) for verdict in Verdict if held[verdict]]
