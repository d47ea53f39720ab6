"""From the PDF's own text: for two people no number is lost, changed or added by the press."""

from __future__ import annotations

import pytest

from tests.rendered.pdf_against_page import lacking

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]


@pytest.mark.parametrize(
    ("who", "language", "paper", "type_pt"),
    [("DEMO-01", "en", "A4", 16), ("vertebral_fracture", "es", "Letter", 20)],
)
def test_the_file_has_the_numbers_of_its_page(
    who: str, language: str, paper: str, type_pt: int
) -> None:
    assert lacking(who, language, paper, type_pt) == []


def test_a_number_that_the_press_changes_is_found() -> None:
    assert lacking("DEMO-01", "en", "A4", 16, broken="45>54") == [
        "1 of 45 too few",
        "1 of 54 too many",
    ]
