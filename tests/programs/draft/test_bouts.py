"""Minutes in bouts: as even as the room allows, none under the least."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.draft.bouts import at_least, at_most, in_bouts, usable

rooms = st.lists(st.integers(0, 14), max_size=4).map(
    lambda minutes: dict(zip(("mon", "tue", "wed", "thu"), minutes, strict=False))
)


@pytest.mark.parametrize(
    ("total", "room", "shared"),
    [
        (12, (20, 20, 20), (6, 6, 0)),
        (30, (20, 20, 4), (15, 15, 0)),
        (30, (8, 20, 20), (8, 11, 11)),
        (8, (6, 6, 0), (6, 0, 0)),  # 4 and 4 would be too short
        (4, (20, 20, 20), (0, 0, 0)),
        (99, (5, 5, 5), (5, 5, 5)),
        (0, (5, 5, 5), (0, 0, 0)),
    ],
)
def test_as_even_as_the_room_allows(
    total: int, room: tuple[int, ...], shared: tuple[int, ...]
) -> None:
    days = ("mon", "wed", "fri")
    found = in_bouts(total, dict(zip(days, room, strict=True)), 5)
    assert tuple(sorted(found.values())) == tuple(sorted(shared))


def _sums(room: dict[str, int]) -> set[int]:
    """Return every total that bouts of five minutes or more can make, tried one by one."""
    each = [(0, *range(5, minutes + 1)) for minutes in room.values()]
    return {sum(one) for one in product(*each)}


@given(room=rooms, total=st.integers(0, 40))
def test_the_most_and_the_fewest_are_those_of_every_way_tried(
    room: dict[str, int], total: int
) -> None:
    sums = _sums(room)
    assert at_most(total, room) == max(one for one in sums if one <= total)
    more = [one for one in sums if one >= total]
    if total:
        assert at_least(total, room) == min(more, default=max(sums))
    assert usable(room) == max(sums)


@given(room=rooms, total=st.integers(0, 40))
def test_sharing_gives_the_most_and_passes_no_room(room: dict[str, int], total: int) -> None:
    found = in_bouts(total, room, 5)
    assert sum(found.values()) == at_most(total, room)
    assert all(minutes == 0 or 5 <= minutes <= room[day] for day, minutes in found.items())
