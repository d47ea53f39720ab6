"""What stands beside an exercise's picture: all where there is room, less where there is not."""

import pytest

from programs.handout.room import FEW_DOSES, HEIGHT_MM, Arrangement, arrangement, block_mm
from programs.handout.said import Block, Dose

ALL = Arrangement(doses_beside=True, care_beside=True)
CARE_BELOW = Arrangement(doses_beside=True, care_beside=False)
DOSES_APART = Arrangement(doses_beside=False, care_beside=True)
NOTHING = Arrangement(doses_beside=False, care_beside=False)


def block(
    doses: int = 1, steps: int = 3, feel: str = "Feel it.", wide: int = 60, high: int = 40
) -> Block:
    return Block(
        name="Bridge",
        figure=f'<svg width="{wide}.0mm" height="{high}.0mm"></svg>',
        steps=("Go up slowly and come down slowly.",) * steps,
        doses=tuple(Dose(weeks=f"Week {n}", text="34 kg") for n in range(doses)),
        feel=feel,
        avoid="Do not rush.",
    )


@pytest.mark.parametrize(("doses", "found"), [(FEW_DOSES, ALL), (FEW_DOSES + 1, CARE_BELOW)])
def test_many_doses_leave_no_place_for_the_care(doses: int, found: Arrangement) -> None:
    assert arrangement(block(doses), 16) == found


def test_a_long_care_beside_a_wide_picture_goes_below() -> None:
    long = block(feel="Feel the long muscles work. " * 12, wide=96, steps=6)
    assert block_mm(long, 20, ALL) > HEIGHT_MM >= block_mm(long, 20, CARE_BELOW)
    assert arrangement(long, 20) == CARE_BELOW


def test_doses_that_find_no_room_stand_apart() -> None:
    many = block(doses=30)
    assert block_mm(many, 20, CARE_BELOW) > HEIGHT_MM >= block_mm(many, 20, DOSES_APART)
    assert arrangement(many, 20) == DOSES_APART


def test_what_fits_nowhere_takes_the_least() -> None:
    assert arrangement(block(steps=60), 20) == NOTHING


def test_on_both_sides_of_the_page() -> None:
    """The picture alone decides, to a millimetre."""
    rest = block_mm(block(high=100), 16, ALL) - 100
    room = int(HEIGHT_MM - rest)
    assert arrangement(block(high=room), 16) == ALL
    assert arrangement(block(high=room + 1), 16) != ALL


def test_larger_letters_take_more() -> None:
    assert block_mm(block(), 20, ALL) > block_mm(block(), 16, ALL)


def test_a_picture_says_its_size() -> None:
    bare = Block(name="", figure="<svg></svg>", steps=(), doses=(), feel="", avoid="")
    with pytest.raises(ValueError, match="without its size"):
        arrangement(bare, 16)
