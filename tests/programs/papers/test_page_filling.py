"""Which exercises share a page, and how large their pictures are there."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

import pytest

from programs.papers.page_filling import Filled, filled, opening_mm
from programs.papers.paper_parts import Chapter, Dose, DoseTable
from programs.papers.picture_room import LEAST_TENTHS, MOST_TENTHS, block_mm, height_mm
from tests.programs.papers.test_picture_room import block
from tests.programs.sample_papers import handout_of, snapshot_of

pytestmark = [pytest.mark.long, pytest.mark.counted]

#: Lines of the head and the foot of a page.
EDGES = 2
TABLE = DoseTable(heads=("Weeks", "Sets"), rows=(("1", "2"),) * 4, reading=("Sets: so many.",))


def chapter(*blocks: object, do: int = 2, table: DoseTable | None = None) -> Chapter:
    lines = ("Rest between sets.",) * do
    return Chapter(title="Lifting", do=lines, doses=(), table=table, blocks=blocks)  # type: ignore[arg-type]


def pages_of(found: Sequence[Filled]) -> list[int]:
    """Return on which page each exercise stands, from 1."""
    begins = [
        placed.begins or (number == 0 and one.begins)
        for one in found
        for number, placed in enumerate(one.placed)
    ]
    return list(accumulate(begins))


def test_short_ones_share_a_page_and_a_long_one_has_its_own() -> None:
    found = filled([chapter(block(), block(), block(steps=18), block())], 16, "A4", EDGES)
    assert pages_of(found) == [1, 1, 2, 3]
    assert found[0].begins
    assert [one.begins for one in found[0].placed] == [False, False, True, True]


def test_a_chapter_goes_on_where_the_one_before_ends() -> None:
    short = chapter(block(), do=1)
    first, second = filled([short, short], 16, "A4", EDGES)
    assert (first.begins, second.begins) == (True, False)
    first, second = filled([chapter(block(steps=20)), chapter(block(steps=12))], 16, "A4", EDGES)
    assert (first.begins, second.begins) == (True, True)
    assert not second.placed[0].begins


def test_an_opening_stands_where_it_has_room_and_its_first_exercise_on_the_next_page() -> None:
    long = chapter(block(steps=14), do=16, table=TABLE)
    (found,) = filled([long], 16, "A4", EDGES)
    assert (found.begins, found.placed[0].begins) == (True, True)
    _, second = filled([chapter(block(steps=8), do=1), chapter(block(steps=18))], 16, "A4", EDGES)
    assert (second.begins, second.placed[0].begins) == (False, True)


def test_a_chapter_without_exercises_is_left_out() -> None:
    (found,) = filled([chapter(), chapter(block())], 16, "A4", EDGES)
    assert found.begins
    assert filled([chapter()], 16, "A4", EDGES) == ()


@pytest.mark.parametrize("type_pt", [16, 20])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("person", ["hip_first", "vertebral_fracture", "seated"])
def test_each_page_is_full_and_none_too_full(person: str, paper: str, type_pt: int) -> None:
    """Nothing more would fit on it with its smallest pictures, and no picture could be larger."""
    chapters = handout_of(snapshot_of(person), last_week=4).chapters
    high = height_mm(paper, type_pt, EDGES)
    found = filled(chapters, type_pt, paper, EDGES)
    used = [0.0]
    for one in found:
        for number, placed in enumerate(one.placed):
            mine = block_mm(placed.block, type_pt, placed.room)
            if number == 0 and not placed.begins:
                mine += opening_mm(one.chapter, type_pt)
            if placed.begins or (number == 0 and one.begins):
                used.append(0.0)
            used[-1] += mine
            assert LEAST_TENTHS[type_pt] / 10 <= placed.room.growth <= MOST_TENTHS / 10
    assert max(used) <= high
    assert sum(used) / (len(used) - 1) > high * 0.6


def test_pictures_grow_until_the_page_is_full() -> None:
    (alone,) = filled([chapter(block(steps=6), do=0)], 16, "A4", EDGES)
    (shared,) = filled([chapter(block(steps=6), block(steps=6), do=0)], 16, "A4", EDGES)
    assert alone.placed[0].room.growth > shared.placed[0].room.growth >= LEAST_TENTHS[16] / 10
    assert {one.room.growth for one in shared.placed} == {shared.placed[0].room.growth}


def test_doses_stand_in_the_block_as_long_as_there_is_room() -> None:
    (few,) = filled([chapter(block(doses=10), do=0)], 20, "A4", EDGES)
    assert not few.placed[0].room.apart
    (many,) = filled([chapter(block(doses=99), do=0)], 20, "A4", EDGES)
    assert many.placed[0].room.apart
    assert many.placed[0].room.growth == LEAST_TENTHS[20] / 10


def test_a_wide_picture_has_nothing_beside_it() -> None:
    (found,) = filled([chapter(block(wide=150), do=0)], 16, "A4", EDGES)
    room = found.placed[0].room
    assert (room.column, room.care_beside) == (False, False)


def test_an_opening_takes_more_with_a_table_and_in_larger_letters() -> None:
    plain, tabled = chapter(block()), chapter(block(), table=TABLE)
    dosed = Chapter(
        title="Balance", do=plain.do, doses=(Dose(weeks="1", text="2"),), table=None, blocks=()
    )
    assert opening_mm(plain, 16) < opening_mm(dosed, 16) < opening_mm(tabled, 16)
    assert opening_mm(plain, 16) < opening_mm(plain, 20)


def test_a_paper_that_is_not_known_is_refused() -> None:
    with pytest.raises(KeyError):
        filled([chapter(block())], 16, "A3", EDGES)


def test_a_picture_says_its_size() -> None:
    bare = replace(block(), figure="<svg></svg>")
    with pytest.raises(ValueError, match="without its size"):
        filled([chapter(bare)], 16, "A4", EDGES)
