"""The scale of pain: eleven numbers, three parts by the rule for pain, black on white."""

import re
import xml.etree.ElementTree as ET

import pytest

from programs.figures.of_pain_scale import PARTS, WIDTH, high_mm, pain_scale_svg
from programs.papers.advice import PAIN

SVG = "{http://www.w3.org/2000/svg}"
WORDS = ("Go on", "Stop|that <one>", "Stop all")
MADE = pain_scale_svg("Pain & all", WORDS, 16)


def test_it_holds_each_number_once_and_its_words() -> None:
    said = [one.text for one in ET.fromstring(MADE).iter(f"{SVG}text")]
    assert said[:11] == [str(number) for number in range(11)]
    assert said[11:] == ["Go on", "Stop", "that <one>", "Stop all"]
    assert next(ET.fromstring(MADE).iter(f"{SVG}title")).text == "Pain & all"


def test_its_parts_are_those_of_the_rule() -> None:
    """Rulebook row 26a, as the paper's own sentences tell it."""
    bounds = [(part.first, part.last) for part in PARTS]
    assert bounds == [(0, 3), (4, 5), (6, 10)]
    told = " ".join(PAIN)
    assert "pain of 0 to 3 points" in told
    assert "pain of 4 to 5 points" in told
    assert "pain of 6 points or more" in told


def test_it_is_black_on_white() -> None:
    """So that a grey or a hard copy says the same."""
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', MADE))
    assert colours == {"none", "#000000"}
    assert "opacity" not in MADE


def test_each_face_is_another_one_and_all_stay_on_the_page() -> None:
    circles = [one.attrib for one in ET.fromstring(MADE).iter(f"{SVG}circle")]
    heads = [one for one in circles if one["fill"] == "none"]
    assert len(heads) == 3
    mouths = {(part.mouth, part.brows) for part in PARTS}
    assert len(mouths) == 3
    for one in circles:
        assert 0 < float(one["cx"]) < WIDTH
        assert 0 < float(one["cy"]) - float(one["r"]) < high_mm(16)


@pytest.mark.parametrize("type_pt", [16, 20])
def test_its_letters_are_those_of_the_paper(type_pt: int) -> None:
    made = ET.fromstring(pain_scale_svg("Pain", WORDS, type_pt))
    letters = [one.attrib for one in made.iter(f"{SVG}text")]
    sizes = {round(float(one["font-size"]) * 72 / 25.4, 1) for one in letters}
    assert sizes == {type_pt, 1.25 * type_pt}
    assert all(0 < float(one["y"]) < high_mm(type_pt) for one in letters)
    assert made.get("height") == f"{high_mm(type_pt):.3f}mm"
