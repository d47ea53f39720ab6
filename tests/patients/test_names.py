"""Names folded for search, and which words differ by one slip. Pure."""

import pytest

from patients.names import covering, fold, keys_of, one_less, one_slip, spelt

FOLDED = [
    ("Håkansson", "hakansson"),
    ("Strauß", "strauss"),
    ("O'Brien", "obrien"),
    ("O\u02bcConnor", "oconnor"),
    ("Kahale\u02bba", "kahalea"),
    ("Iğdır", "igdir"),
    ("İpek", "ipek"),
    ("Ħelena", "helena"),
    ("Łukasz Ðura Þóra", "lukasz dura thora"),
    ("Ex\u200bample\u00ad", "example"),
    ("Grady-Muñoz", "grady munoz"),
    ("Mun\u0303oz", "munoz"),
]


@pytest.mark.parametrize(("name", "folded"), FOLDED)
def test_i08_letters_that_no_accent_explains(name: str, folded: str) -> None:
    assert fold(name) == folded


def test_a_name_of_several_words_stands_there_as_one_too() -> None:
    assert spelt("Ann", "Mc Carthy", "X-77") == " ann mc carthy x 77 mccarthy x77 "
    assert spelt("Ann", "Grady", "") == " ann grady "


@pytest.mark.parametrize(
    "typed", ["smth", "smithh", "simth", "smitj", "xmith", "ssmith", "mith", "smiht", "smit"]
)
def test_one_slip(typed: str) -> None:
    assert one_slip(typed, "smith")
    assert one_slip("smith", typed)
    assert one_less(typed) & one_less("smith")


@pytest.mark.parametrize("typed", ["smith", "smithhh", "tmish", "smtih2", "sithm", "msiht", "smt"])
def test_none_or_more_than_one(typed: str) -> None:
    assert not one_slip(typed, "smith")


@pytest.mark.parametrize(("name", "count"), [("smit", 0), ("smith", 6), ("12345", 0)])
def test_only_names_of_five_letters_have_keys(name: str, count: int) -> None:
    assert len(keys_of(name)) == count


@pytest.mark.parametrize("text", ["abc", "abcd", "abcde", "abcdef", " smith ", "aaaaaa"])
def test_covering_trigrams_leave_no_sign_out(text: str) -> None:
    parts = covering(text)
    assert len(set(parts)) == len(parts)
    assert all(len(part) == 3 and part in text for part in parts)
    assert set(text) == set("".join(parts))
    assert len(parts) <= -(-len(text) // 3)
