"""Labels within a line."""

from __future__ import annotations

import pytest

from patients.facts.codes import CONDITIONS, in_a_line


@pytest.mark.parametrize(
    ("label", "expected"),
    [
        ("Feet side by side", "feet side by side"),
        ("T-score", "T-score"),
        ("BMD", "BMD"),
        (CONDITIONS["stroke"], "stroke or TIA"),
        (CONDITIONS["movement_disorder"], "Parkinson disease or another disorder of movement"),
        ("", ""),
    ],
)
def test_a_label_within_a_line(label: str, expected: str) -> None:
    assert in_a_line(label) == expected
