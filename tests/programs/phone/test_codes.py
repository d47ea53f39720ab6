"""How a code is written, typed and kept."""

import pytest

from programs.phone.codes import CODE_BYTES, digest_of, grouped, written

SECRET = bytes(range(CODE_BYTES))
CODE = written(SECRET)


def test_128_bits_are_26_letters_that_an_address_takes_as_they_are() -> None:
    assert CODE_BYTES * 8 == 128
    assert len(CODE) == 26
    assert set(CODE) <= set("abcdefghijklmnopqrstuvwxyz234567")
    assert written(bytes(CODE_BYTES)) != CODE


@pytest.mark.parametrize("typed", [CODE, CODE.upper(), grouped(CODE), f" {grouped(CODE)} "])
def test_typed_with_dashes_spaces_or_capitals_it_is_the_same(typed: str) -> None:
    assert digest_of(typed) == digest_of(CODE)
    assert CODE not in digest_of(CODE)


def test_another_letter_is_another_code() -> None:
    assert digest_of(CODE[:-1] + "2") != digest_of(CODE)
    assert [len(part) for part in grouped(CODE).split("-")] == [5, 5, 5, 5, 5, 1]
