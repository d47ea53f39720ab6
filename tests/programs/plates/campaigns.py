"""The long run over recordings whose truth is known: ten thousand, a hundred at a time."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from hypothesis import strategies as st

from tests.campaign import Campaign

BLOCK, BLOCKS = 100, 100
#: The share of intervals that hold the truth, and how far chance takes it in a smaller run.
_LOW, _HIGH, _CHANCE = 0.93, 0.97, 3.0
#: Of a plain sine the crest and the knock are known without error.
_AT_LEAST = ("crest", "knock_percent")
_held: dict[int, tuple[int, Counter[str]]] = {}


def _breaches(block: int) -> Iterator[str]:
    """Yield what is wrong with a hundred recordings, and with all that were tried so far."""
    from tests.programs.plates.recording.test_truth import held

    first = block * BLOCK
    tried, inside, wrong = held(range(first, first + BLOCK))
    _held[block] = tried, inside
    yield from wrong
    whole = sum(count for count, _ in _held.values())
    chance = 0 if whole > 0.9 * BLOCK * BLOCKS else _CHANCE * math.sqrt(0.05 * 0.95 / whole)
    for name, count in sum((held_of for _, held_of in _held.values()), Counter[str]()).items():
        share = count / whole
        if share < _LOW - chance or (share > _HIGH + chance and name not in _AT_LEAST):
            yield f"held {name}: {share:.3f} of {whole}"


CAMPAIGNS = (
    Campaign(
        name="plates measured from recordings, a hundred at a time",
        cases=st.sampled_from(range(BLOCKS)),
        breaches=_breaches,
        many=BLOCKS,
        few=1,
    ),
)
