"""The figures: every exercise drawn, its wrong way too, and clean SVG."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from programs.exercises import EXERCISES
from programs.figures import (
    FOOTROOM,
    GAP,
    NARROWEST,
    SCENES,
    THREE_WIDEST_MM,
    UNIT_MM,
    WIDEST_MM,
    _poses,
    figure_svg,
    poses_of,
    sized,
    wrong_svg,
)
from programs.figures.linework import arrow
from programs.figures.props import landing
from tests.each import each
from tests.programs.figures.drawn import SVG, WORDS, WRONG, root, sizes, words_for

pytestmark = pytest.mark.long


def _placed(transform: str) -> tuple[float, float, float]:
    """Return where a group stands in the picture, and how many times as large it is."""
    found = re.fullmatch(r"translate\(([\d.]+) ([\d.]+)\) scale\(([\d.]+)\)", transform)
    assert found, transform
    x, y, larger = map(float, found.groups())
    return x, y, larger


class TestScenes:
    def test_every_exercise_is_drawn_and_nothing_else(self):
        """Getting up from the floor is no exercise: the page about a fall shows it."""
        assert set(SCENES) == {*EXERCISES, "get_up"}

    @each("code", SCENES)
    def test_the_wrong_way_is_drawn_or_it_is_said_why_not(self, code):
        scene = SCENES[code]
        assert (scene.wrong is None) is bool(scene.unpictured)
        assert bool(wrong_svg(code, "x")) is (scene.wrong is not None)

    @pytest.mark.parametrize(
        "told, code",
        sorted(
            (word, code)
            for code, exercise in EXERCISES.items()
            for word in ("round", "arch", "slump", "poke", "bend at the waist", "lean back")
            if word in exercise.avoid
        ),
    )
    def test_a_wrong_back_is_always_drawn(self, told, code):
        assert SCENES[code].wrong is not None

    @each("name", WRONG)
    def test_the_wrong_pose_is_none_of_the_right_ones(self, name):
        scene = SCENES[name.removesuffix("-wrong")]
        rights = [panel.pose for panel in scene.panels[1:] or scene.panels]
        assert WRONG[name] not in rights

    def test_what_misleads_in_two_poses_has_three(self):
        """Findings on the figures: the turn onto the side, the parcel, the way over and up."""
        for code in ("log_roll", "floor_pick_up", "step_up", "step_over", "one_leg_hop", "get_up"):
            assert poses_of(code) == 3

    @each("code", SCENES)
    def test_something_changes_and_an_arrow_says_which_way(self, code):
        scene = SCENES[code]
        if scene.still:
            assert poses_of(code) == 1
            return
        assert scene.arrows or scene.ways
        assert (
            scene.start != scene.end
            or scene.around_end is not None
            or scene.carried_end is not None
            or scene.between is not None
        )

    @each("code", SCENES)
    def test_held_equipment_is_drawn(self, code):
        if code not in EXERCISES:
            return
        equipment = EXERCISES[code].equipment
        scene = SCENES[code]
        if equipment & {"dumbbells", "bands", "barbell", "cable", "weighted_vest"}:
            assert scene.carried or scene.behind
        if equipment & {"chair", "step", "plate", "leg_press", "leg_extension", "cable"}:
            assert scene.around

    def test_stronger_landings_have_more_rays(self):
        rays = [landing(60.0, strength)[0].each for strength in (1, 2, 3)]
        assert [len(each_one) for each_one in rays] == [2, 4, 6]

    def test_an_arrow_may_have_two_heads(self):
        one, two = (arrow((0.0, 0.0), (20.0, 0.0), both=both) for both in (False, True))
        assert (len(one), len(two)) == (2, 3)


class TestSvg:
    @each("code", SCENES)
    def test_title_comes_first_and_the_rest_is_plain_marks(self, code):
        for text in filter(None, (figure_svg(code, "A title", words_for(code)), wrong(code))):
            svg = ET.fromstring(text)
            assert svg.tag == f"{SVG}svg"
            assert svg[0].tag == f"{SVG}title"
            assert svg[0].text == "A title"
            assert {child.tag for child in svg[1:]} <= {
                f"{SVG}{name}" for name in ("polyline", "polygon", "circle", "path", "g")
            }
            assert not [e for e in svg.iter() if e.get("style") or e.get("class")]

    @pytest.mark.counted
    @each("code", SCENES)
    def test_black_and_grey_only(self, code):
        drawn = figure_svg(code, "x", words_for(code)) + wrong(code)
        colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', drawn))
        assert colours
        for colour in colours - {"none"}:
            assert re.fullmatch(r"#(..)\1\1", colour)

    @each("code", SCENES)
    def test_pictures_are_of_one_scale_and_fit_the_column(self, code):
        whole, height, width_mm, height_mm = sizes(root(code))
        widest = WIDEST_MM if poses_of(code) < 3 else THREE_WIDEST_MM
        scale = width_mm / whole
        assert height_mm / height == pytest.approx(scale, rel=0.01)
        assert width_mm <= widest + 0.05
        assert scale == pytest.approx(min(UNIT_MM, widest / whole), rel=0.01)
        # Nobody stands less than 3 cm tall on paper, even a tenth smaller.
        assert scale * 100 * 0.9 >= 30

    @each(
        ("code", "growth", "type_pt"),
        [(code, *size) for code in SCENES for size in ((1.0, 16), (0.8, 16), (1.0, 20), (2.0, 20))],
    )
    def test_a_word_stands_under_each_pose_in_the_papers_letters(self, code, growth, type_pt):
        words = ("Beginning", "On & on", "End")[: poses_of(code)]
        svg = ET.fromstring(sized(figure_svg(code, "x", words), growth, type_pt))
        whole, height, width_mm, height_mm = sizes(svg)
        assert height_mm / height == pytest.approx(width_mm / whole, rel=0.01)
        groups = [one for one in svg if one.tag == f"{SVG}g" and one[0].tag == f"{SVG}text"]
        assert tuple(one[0].text for one in groups) == words
        placed = [_placed(one.get("transform")) for one in groups]
        middles = [x for x, _, _ in placed]
        assert middles == sorted(middles)
        assert all(b - a > NARROWEST + GAP - 0.1 for a, b in pairwise(middles))
        for (_, top, larger), (text,) in zip(placed, groups, strict=True):
            size_mm = float(text.get("font-size")) * larger * width_mm / whole
            assert size_mm == pytest.approx(type_pt / 72 * 25.4, rel=0.01)
            # The letters' feet have a fifth of a letter below them.
            foot_mm = (height - top - float(text.get("y")) * larger) * width_mm / whole
            assert foot_mm >= 0.2 * size_mm
            ground_mm = FOOTROOM * width_mm / whole
            assert float(text.get("y")) * larger * width_mm / whole + ground_mm > 0.9 * size_mm

    @each("code", SCENES)
    def test_each_panel_has_the_ground_line(self, code):
        marks = [m for m in root(code) if m.tag == f"{SVG}polyline"]
        flat = [
            m
            for m in marks
            if m.get("stroke") == "#000000" and m.get("stroke-width") == "1.6" and _level(m) > 38
        ]
        assert len(flat) >= poses_of(code)

    def test_same_call_same_bytes(self):
        for code in SCENES:
            words = words_for(code)
            once = figure_svg(code, "x", words)
            _poses.cache_clear()
            assert figure_svg(code, "x", words) == once

    def test_no_picture_is_heavy(self):
        """A picture is read again for each paper: bytes and elements are time."""
        drawn = [figure_svg(code, "x", words_for(code)) for code in SCENES]
        assert sum(map(len, drawn)) / len(drawn) < 17_000
        assert sum(text.count("<") for text in drawn) / len(drawn) < 90

    def test_a_title_cannot_break_out(self):
        title = '</title><script>alert("x")</script>&'
        svg = root("leg_press", title)
        assert svg[0].text == title
        assert not list(svg.iter(f"{SVG}script"))

    @pytest.mark.counted
    def test_an_unknown_exercise_is_refused(self):
        with pytest.raises(KeyError):
            figure_svg("no_such_exercise", "x", WORDS)

    @pytest.mark.counted
    def test_words_that_are_not_as_many_as_the_poses_are_refused(self):
        with pytest.raises(ValueError, match=r"shorter|longer"):
            figure_svg("leg_press", "x", WORDS)


def wrong(code):
    return wrong_svg(code, "A title")


def _level(mark):
    """Return how long a level line is, or nothing for another one."""
    (ax, ay), *_, (bx, by) = (tuple(map(float, p.split(","))) for p in mark.get("points").split())
    return abs(bx - ax) if ay == by else 0.0
