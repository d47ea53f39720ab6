"""How many lines a text takes, by the widths of the typeface's own letters."""

import pytest
from fontTools.ttLib import TTFont

from programs.papers.letter_widths import OTHER, WIDTHS, lines, width_em


def test_each_width_is_that_of_the_typeface() -> None:
    with TTFont("static/fonts/AtkinsonHyperlegible-Regular.ttf") as face:
        known, wide = face.getBestCmap(), face["hmtx"].metrics
        unit = face["head"].unitsPerEm
        assert {one: wide[known[ord(one)]][0] / unit for one in WIDTHS} == dict(WIDTHS)
        for accented in "éèêàçñóúüÉÑ":
            assert width_em(accented) == wide[known[ord(accented)]][0] / unit


def test_all_letters_of_the_alphabet_are_there() -> None:
    assert set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:;-") <= set(
        WIDTHS
    )


def test_another_letter_is_taken_as_wide() -> None:
    assert width_em("王") == OTHER


@pytest.mark.parametrize(
    ("text", "room", "count"),
    [
        *(("", 5, 1), ("a", 5, 1), ("aaa aaa", 3.5, 1), ("aaa aaa", 3.4, 2)),
        # A word that is wider than the line stands alone in one.
        *(("aaaaaaaaaa a", 2, 2), ("a aaaaaaaaaa", 2, 2)),
    ],
)
def test_lines_break_at_spaces(text: str, room: float, count: int) -> None:
    assert lines(text, room) == count
