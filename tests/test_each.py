"""A test over every row: each row is tried, each that fails is named, none is lost."""

import inspect

import pytest

from tests.each import each


def test_every_row_is_tried_and_each_failure_named() -> None:
    tried = []

    @each(("n", "word"), [(1, "one"), (2, "two"), (3, "three")], ids=["a", "b", "c"])
    def odd(n: int, word: str) -> None:
        tried.append(word)
        assert n % 2, word

    with pytest.raises(pytest.fail.Exception, match=r"(?s)1 of 3 rows failed\nb\n.*two"):
        odd()
    assert tried == ["one", "two", "three"]


def test_a_fixture_is_asked_for_and_a_row_is_not() -> None:
    @each("n", [0])
    def both(n: int, fixture: int) -> None:
        assert n < fixture

    assert [*inspect.signature(both).parameters] == ["fixture"]
    both(fixture=1)


def test_a_table_without_rows_is_refused() -> None:
    with pytest.raises(AssertionError, match="tests nothing"):
        each("n", [])
