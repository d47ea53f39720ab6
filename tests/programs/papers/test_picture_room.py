"""How high an exercise is by what stands beside its picture, and how a picture grows."""

import re
from dataclasses import replace
from itertools import pairwise, product

import pytest
from fontTools.ttLib import TTFont

from programs.actions.papers import words_of
from programs.figures import GAP, LINE_MM, NARROWEST, UNIT_MM, size_of, sized
from programs.papers.paper_parts import ENGLISH, Block, Dose, told
from programs.papers.picture_room import (
    BESIDE_MM,
    COLUMN_EM,
    LEAST_TENTHS,
    WIDTH_MM,
    Arrangement,
    block_mm,
    choices,
    height_mm,
    widened,
)
from programs.papers.pictured import UNDER, picture

WRONG = '<svg width="20.0mm" height="30.0mm"></svg>'


def block(
    doses: int = 1,
    steps: int = 3,
    feel: str = "Feel it.",
    wide: int = 60,
    high: int = 40,
    wrong: str = "",
) -> Block:
    return Block(
        code="bridge",
        name="Bridge",
        figure=f'<svg width="{wide}.0mm" height="{high}.0mm"></svg>',
        steps=("Go up slowly and come down slowly.",) * steps,
        doses=tuple(Dose(weeks=f"Week {n}", text="34 kg") for n in range(doses)),
        feel=feel,
        avoid="Do not rush.",
        wrong=wrong,
    )


def test_doses_stand_in_lines_of_the_whole_width_or_apart() -> None:
    place = Arrangement(care_beside=True)
    few, many = (block_mm(block(doses), 16, place) for doses in (1, 40))
    # Forty of "Week 12: 34 kg" in lines of some 55 letters.
    assert 40 < many - few < 100
    apart = replace(place, apart=True)
    assert block_mm(block(40), 16, apart) == block_mm(block(1), 16, apart) < few


def test_all_text_beside_a_narrow_picture_takes_least() -> None:
    one = block(steps=5, wide=40, wrong=WRONG)
    column, rows = (block_mm(one, 16, Arrangement(column=held)) for held in (True, False))
    assert column < rows
    # The wrong way below the picture may be higher than the text.
    few = replace(one, steps=())
    assert block_mm(few, 16, Arrangement(column=True)) > block_mm(
        replace(few, wrong=""), 16, Arrangement(column=True)
    )


def test_each_height_is_that_of_its_arrangement_and_the_last_takes_least() -> None:
    one = block()
    found = list(choices(one, 16))
    assert all(mm == block_mm(one, 16, arranged) for arranged, mm in found)
    least = Arrangement(apart=True, growth=LEAST_TENTHS[16] / 10)
    assert found[-1][0] == least


@pytest.mark.parametrize("type_pt", [16, 20])
def test_words_side_by_side_have_their_width_in_the_smallest_picture(type_pt: int) -> None:
    """Of the words of both languages, with the narrowest panels next to each other."""
    letters = TTFont("static/fonts/AtkinsonHyperlegible-Regular.ttf")
    wide = letters["hmtx"].metrics
    known = letters.getBestCmap()
    apart_mm = (NARROWEST + GAP) * UNIT_MM * LEAST_TENTHS[type_pt] / 10
    for under, language in product((UNDER[2], UNDER[3]), ("en", "es")):
        said = told(under, words_of(language))
        mm = [
            sum(wide[known[ord(sign)]][0] for sign in word)
            / letters["head"].unitsPerEm
            * type_pt
            / 72
            * 25.4
            for word in said
        ]
        # Half of each, and between them at least 3 mm with the arrow.
        assert all((a + b) / 2 + 3 <= apart_mm for a, b in pairwise(mm)), (said, mm)


@pytest.mark.parametrize("wide", [100, 150])
def test_what_stands_beside_a_picture_has_its_width(wide: int) -> None:
    for one, _ in choices(block(wide=wide), 16):
        em = 16 / 72 * 25.4
        beside = COLUMN_EM * em if one.column else BESIDE_MM * one.care_beside
        assert wide * one.growth <= (WIDTH_MM - beside - 6 if beside else WIDTH_MM)


def test_the_lower_paper_has_less_room() -> None:
    assert height_mm("Letter", 16, 2) < height_mm("A4", 16, 2)
    assert height_mm("A4", 16, 3) < height_mm("A4", 16, 2)


def test_the_wrong_way_narrows_the_steps_and_is_not_cut_off() -> None:
    place = Arrangement(care_beside=True)
    without, with_it = (block(steps=1, wrong=wrong) for wrong in ("", WRONG))
    assert block_mm(with_it, 16, place) > block_mm(without, 16, place)
    # A line that just fits in the whole width takes two beside the crossed-out picture.
    whole = next(n for n in range(1, 99) if block_mm(one_step(n + 1), 16, place) > of_one_line())
    assert block_mm(one_step(whole), 16, place) == of_one_line()
    many = replace(one_step(whole), steps=("x " * whole,) * 6)
    assert block_mm(replace(many, wrong=WRONG), 16, place) > block_mm(many, 16, place) + 30


def one_step(words: int) -> Block:
    return replace(block(), steps=("x " * words,))


def of_one_line() -> float:
    return block_mm(one_step(1), 16, Arrangement(care_beside=True))


def test_larger_letters_take_more() -> None:
    place = Arrangement(care_beside=True)
    assert block_mm(block(), 20, place) > block_mm(block(), 16, place)


def test_a_picture_grows_in_both_directions_and_nothing_else_changes() -> None:
    figure = '<svg width="60.000mm" height="40.000mm" viewBox="0 0 9 9"><rect width="3"/></svg>'
    grown = sized(figure, 1.5, 20)
    assert re.findall(r'"([\d.]+)mm"', grown) == ["90.000", "60.000"]
    assert 'viewBox="0 0 9 9.000"><rect width="3"/>' in grown


def test_the_line_of_words_grows_with_the_letters_alone() -> None:
    figure = picture("calf_raise", ENGLISH)
    wide, high = size_of(figure, 1.0, 16)
    assert size_of(figure, 2.0, 16) == pytest.approx((2 * wide, 2 * (high - LINE_MM) + LINE_MM))
    assert size_of(figure, 1.0, 20) == pytest.approx((wide, high + LINE_MM / 4))
    with pytest.raises(ValueError, match="without its size"):
        size_of("<svg></svg>", 1.0, 16)


def test_a_picture_may_be_given_its_width() -> None:
    assert 'width="90.000mm" height="60.000mm"' in widened(block().figure, 90, 16)
