"""Contrast of the style sheet's colours on its two papers (WCAG 2.2, 1.4.3 and 1.4.11)."""

import re
from pathlib import Path

import pytest

SHEET = Path(__file__).parents[2] / "static" / "calcar.css"
COLOURS = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", SHEET.read_text()))
TEXT = ["ink", "quiet", "blue", *(name for name in COLOURS if name.startswith("tone-"))]


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("paper", ["paper", "sheet"])
@pytest.mark.parametrize("name", TEXT)
def test_text_is_readable(name: str, paper: str) -> None:
    assert contrast(COLOURS[name], COLOURS[paper]) >= 4.5


def test_edges_of_fields_are_seen() -> None:
    assert contrast(COLOURS["line"], COLOURS["paper"]) >= 3


@pytest.mark.parametrize(
    "level", ["contraindicated", "needs_clearance", "missing", "precaution", "refer"]
)
def test_each_level_has_a_sign_and_a_tone(level: str) -> None:
    rule = re.search(rf"\.level-{level} {{(.*?)}}", SHEET.read_text())
    assert rule
    assert "--tone:" in rule[1]
    assert "--sign:" in rule[1]
