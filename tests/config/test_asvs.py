"""The table of what the door is held to, and its page; that its tests are there: test_hazards."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.test import Client

from config.asvs.all_rows import ROWS, counted
from config.asvs.row import Verdict, holds, is_open, not_here

NUMBERS = re.compile(r"\d+\.\d+\.\d+(?:(?:, | to )\d+\.\d+\.\d+)*")


def test_each_row_has_its_numbers_once() -> None:
    assert all(NUMBERS.fullmatch(row.numbers) for row in ROWS)
    assert len({row.numbers for row in ROWS}) == len(ROWS) > 40
    assert all(row.level in (1, 2, 3) for row in ROWS)
    assert sum(count for _, count in counted()) == len(ROWS)


def test_nothing_holds_without_a_test_and_nothing_else_stands_without_a_sentence() -> None:
    with pytest.raises(ValueError, match="nothing holds that no test shows"):
        holds("1.2.3", 1, "Something is so.")
    for verdict in (not_here, is_open):
        with pytest.raises(ValueError, match="say in a sentence why"):
            verdict("1.2.3", 1, "Something is so.", "")
    assert is_open("1.2.3", 1, "Something is so.", "Not yet.").verdict is Verdict.OPEN


@pytest.mark.django_db
def test_the_page_shows_each_row_and_is_led_to(signed_in: Client) -> None:
    page = unescape(signed_in.get("/clinic/door/").content.decode())
    for row in ROWS:
        assert row.words in page
        assert row.note in page
        assert all(test in page for test in row.tests)
    assert "/clinic/door/" in signed_in.get("/clinic/").content.decode()
