"""The figures: true segment lengths, feet on the ground, marks inside the frame, clean SVG."""

import math
import re
import xml.etree.ElementTree as ET

import pytest

from programs.exercises import EXERCISES
from programs.figures import (
    GAP,
    SCENES,
    UNIT_MM,
    WIDEST_MM,
    WORDS_MM,
    figure_svg,
)
from programs.figures.body import body_of
from programs.figures.linework import LIGHT, PALE, Stroke, arrow
from programs.figures.poses import (
    FOOT_BREADTH,
    FOREARM,
    HAND,
    SHANK,
    SOLE_RADIUS,
    THIGH,
    TRUNK,
    UPPER_ARM,
    At,
    Plant,
    Reach,
    ankle_of,
    skeleton,
)
from programs.figures.props import landing
from programs.figures.scenes import face, stand

SVG = "{http://www.w3.org/2000/svg}"
POSES = {
    f"{code}-{part}": pose
    for code, scene in SCENES.items()
    for part, pose in (("start", scene.start), ("end", scene.end))
}
STANDING = {name: pose for name, pose in POSES.items() if 25 < pose.trunk < 155}
#: Off the floor at the end of the movement, or held by a machine's seat and foot plate.
AIRBORNE = {f"{code}-end" for code in ("held_jump", "small_jump", "one_leg_hop", "star_jump")}
ON_MACHINES = {
    f"{code}-{part}"
    for code in ("leg_press", "leg_extension", "cable_row")
    for part in ("start", "end")
}
#: The heights a foot may stand on: floor, low step, plate, higher step.
SURFACES = (0.0, 6.3, 7.0, 9.4)
#: Arms turned out to the side, which a side view cannot show as a plain hinge.
OUT_OF_PLANE = {"chest_opener-end", "log_roll-end", "barbell_squat-start", "barbell_squat-end"}


WORDS = ("Start", "End")


def root(code, title="A title", words=WORDS):
    return ET.fromstring(figure_svg(code, title, words))


def sizes(svg):
    """Return width and height of a picture in its own units and in mm."""
    left, top, *units = map(float, svg.get("viewBox").split())
    assert (left, top) == (0, 0)
    return *units, *(float(svg.get(name).removesuffix("mm")) for name in ("width", "height"))


def marks_of(svg):
    """Return the marks of the panels, and those of the arrow between the words."""
    texts = [n for n, child in enumerate(svg) if child.tag == f"{SVG}text"]
    return list(svg[1 : texts[0]]), list(svg[texts[-1] + 1 :])


def lowest(pose, side):
    points = skeleton(pose)
    radius = FOOT_BREADTH / 2 if pose.view == "front" else SOLE_RADIUS
    return min(points[f"{side}_heel"][1], points[f"{side}_toe"][1]) - radius


def extents(element):
    """Return the x and y reach of an element, half its stroke included."""
    edge = float(element.get("stroke-width")) / 2
    if element.tag == f"{SVG}circle":
        x, y, r = (float(element.get(name)) for name in ("cx", "cy", "r"))
        return (x - r - edge, x + r + edge), (y - r - edge, y + r + edge)
    pairs = [pair.split(",") for pair in element.get("points").split()]
    xs, ys = ([float(pair[i]) for pair in pairs] for i in (0, 1))
    return (min(xs) - edge, max(xs) + edge), (min(ys) - edge, max(ys) + edge)


class TestBody:
    """Drillis and Contini 1966, as quoted by Winter 2009; lengths of a body of 160 cm."""

    @pytest.mark.parametrize(
        "start, end, cm",
        [
            ("near_hip", "near_knee", 39.2),
            ("near_knee", "near_ankle", 39.4),
            ("near_shoulder", "near_elbow", 29.8),
            ("near_elbow", "near_wrist", 23.4),
            ("near_wrist", "near_fingertip", 17.3),
        ],
    )
    def test_lengths_at_160_cm(self, start, end, cm):
        points = skeleton(stand())
        assert math.dist(points[start], points[end]) * 1.6 == pytest.approx(cm, abs=0.05)

    def test_foot_at_160_cm(self):
        points = skeleton(stand())
        foot = math.dist(points["near_heel"], points["near_toe"]) + 2 * SOLE_RADIUS
        assert foot * 1.6 == pytest.approx(24.3, abs=0.05)

    @pytest.mark.parametrize(
        "joint, cm", [("shoulder", 130.9), ("hip", 84.8), ("knee", 45.6), ("ankle", 6.2)]
    )
    def test_heights_at_160_cm(self, joint, cm):
        assert skeleton(stand())[f"near_{joint}"][1] * 1.6 == pytest.approx(cm, abs=0.05)

    def test_the_top_of_the_head_is_the_body_height(self):
        assert skeleton(stand())["head"][1] + 13.0 / 2 == pytest.approx(100.0)

    @pytest.mark.parametrize("name", POSES)
    def test_no_pose_stretches_a_segment(self, name):
        pose = POSES[name]
        points = skeleton(pose)
        assert math.dist(points["hip"], points["chest"]) == pytest.approx(TRUNK)
        for side in ("near", "far"):
            joints = {j: points[f"{side}_{j}"] for j in ("shoulder", "elbow", "wrist", "fingertip")}
            arm = [
                math.dist(a, b)
                for a, b in zip(list(joints.values())[:-1], list(joints.values())[1:], strict=True)
            ]
            assert arm == pytest.approx([UPPER_ARM, FOREARM, HAND], abs=0.06)
            thigh = math.dist(points[f"{side}_hip"], points[f"{side}_knee"])
            shank = math.dist(points[f"{side}_knee"], points[f"{side}_ankle"])
            if pose.view == "side":
                assert [thigh, shank] == pytest.approx([THIGH, SHANK], abs=0.06)
            else:
                assert thigh <= THIGH + 0.06
                assert shank <= SHANK + 0.06

    @pytest.mark.parametrize("name", sorted(n for n, p in POSES.items() if p.view == "side"))
    def test_knees_and_elbows_bend_the_right_way(self, name):
        points = skeleton(POSES[name])

        def turn(a, b, c):
            (ax, ay), (bx, by), (cx, cy) = (points[p] for p in (a, b, c))
            return math.degrees(
                math.remainder(
                    math.atan2(cy - by, cx - bx) - math.atan2(by - ay, bx - ax), 2 * math.pi
                )
            )

        for side in ("near", "far"):
            knee = turn(f"{side}_hip", f"{side}_knee", f"{side}_ankle")
            assert -150 <= knee <= 3
            elbow = turn(f"{side}_shoulder", f"{side}_elbow", f"{side}_wrist")
            assert -3 <= elbow <= 178 or name in OUT_OF_PLANE

    @pytest.mark.parametrize("name", POSES)
    def test_nothing_sinks_into_the_ground(self, name):
        points = skeleton(POSES[name])
        assert min(lowest(POSES[name], side) for side in ("near", "far")) >= -0.05
        assert min(y for _, y in points.values()) > 0

    @pytest.mark.parametrize("name", sorted(STANDING.keys() - AIRBORNE - ON_MACHINES))
    def test_a_foot_stands_on_the_ground_a_step_or_a_plate(self, name):
        soles = [lowest(STANDING[name], side) for side in ("near", "far")]
        assert any(abs(sole - top) <= 0.06 for sole in soles for top in SURFACES)

    @pytest.mark.parametrize("name", sorted(AIRBORNE))
    def test_a_jump_leaves_the_ground(self, name):
        assert min(lowest(POSES[name], side) for side in ("near", "far")) >= 2.0

    def test_a_foot_turned_down_keeps_its_toes_and_one_turned_up_its_heel(self):
        flat, down, up = (
            skeleton(stand(hip=(60.0, 50.0), near_leg=Plant(60.0, 0.0, foot)))
            for foot in (0.0, -15.0, 10.0)
        )
        assert down["near_toe"] == pytest.approx(flat["near_toe"])
        assert up["near_heel"] == pytest.approx(flat["near_heel"])
        assert ankle_of(Plant(60.0)) == (60.0, 3.9)

    def test_a_hand_out_of_reach_is_refused(self):
        with pytest.raises(ValueError, match="cannot reach"):
            skeleton(stand(near_arm=Reach(120.0, 60.0)))

    def test_a_foot_out_of_reach_is_refused_in_both_views(self):
        with pytest.raises(ValueError, match="cannot reach"):
            skeleton(stand(near_leg=At(120.0, 3.9, 0.0)))
        with pytest.raises(ValueError, match="cannot reach"):
            skeleton(face(near_leg=Plant(20.0)))

    def test_far_limbs_are_drawn_before_the_body_and_paler(self):
        pose = SCENES["march"].end
        fills = [m.colour for m in body_of(pose, skeleton(pose)) if isinstance(m, Stroke)]
        last_far = max(i for i, fill in enumerate(fills) if fill == PALE)
        assert last_far < min(i for i, fill in enumerate(fills) if fill == LIGHT)

    def test_knees_on_the_plate_bend_20_to_30_degrees(self):
        """Rulebook row 12."""
        for code in ("plate_knees_bent", "plate_deep_bend"):
            scene = SCENES[code]
            bent = scene.end if code == "plate_knees_bent" else scene.start
            assert 20 <= knee_bend(bent) <= 30
        assert 55 <= knee_bend(SCENES["plate_deep_bend"].end) <= 65


def knee_bend(pose):
    points = skeleton(pose)
    gap = math.dist(points["near_hip"], points["near_ankle"])
    inside = math.acos((THIGH**2 + SHANK**2 - gap**2) / (2 * THIGH * SHANK))
    return 180 - math.degrees(inside)


class TestScenes:
    def test_every_exercise_is_drawn_and_nothing_else(self):
        assert set(SCENES) == set(EXERCISES)

    @pytest.mark.parametrize("code", SCENES)
    def test_something_changes_and_an_arrow_says_which_way(self, code):
        scene = SCENES[code]
        assert scene.arrows
        assert (
            scene.start != scene.end
            or scene.around_end is not None
            or scene.carried_end is not None
        )

    @pytest.mark.parametrize("code", SCENES)
    def test_held_equipment_is_drawn(self, code):
        equipment = EXERCISES[code].equipment
        scene = SCENES[code]
        if equipment & {"dumbbells", "bands", "barbell", "cable", "weighted_vest"}:
            assert scene.carried
        if equipment & {"chair", "step", "plate", "leg_press", "leg_extension", "cable"}:
            assert scene.around

    def test_stronger_landings_have_more_rays(self):
        assert [len(landing(60.0, strength)) for strength in (1, 2, 3)] == [2, 4, 6]

    def test_an_arrow_may_have_two_heads(self):
        one, two = (arrow((0.0, 0.0), (20.0, 0.0), both=both) for both in (False, True))
        assert (len(one), len(two)) == (2, 3)


class TestSvg:
    @pytest.mark.parametrize("code", SCENES)
    def test_title_comes_first_and_the_rest_is_plain_marks(self, code):
        svg = root(code)
        assert svg.tag == f"{SVG}svg"
        assert svg[0].tag == f"{SVG}title"
        assert svg[0].text == "A title"
        assert {child.tag for child in svg[1:]} <= {
            f"{SVG}{name}" for name in ("polyline", "polygon", "circle", "text")
        }
        assert not [e for e in svg.iter() if e.get("style") or e.get("class")]

    @pytest.mark.parametrize("code", SCENES)
    def test_black_and_grey_only(self, code):
        colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', figure_svg(code, "x", WORDS)))
        assert colours
        for colour in colours - {"none"}:
            assert re.fullmatch(r"#(..)\1\1", colour)

    @pytest.mark.parametrize("code", SCENES)
    def test_every_mark_stays_in_its_own_panel_above_the_words(self, code):
        svg = root(code)
        whole, height, _, _ = sizes(svg)
        panel = (whole - GAP) / 2
        marks, between = marks_of(svg)
        words = [child for child in svg if child.tag == f"{SVG}text"]
        highest = min(float(word.get("y")) - float(word.get("font-size")) for word in words)
        for mark in marks:
            (left, right), (top, bottom) = extents(mark)
            assert top >= 0
            assert bottom <= highest + 0.5
            assert (left >= 0 and right <= panel) or (left >= panel + GAP and right <= whole)
        for mark in between:
            (left, right), (top, bottom) = extents(mark)
            assert left >= panel - 5
            assert right <= panel + GAP + 5
            assert highest < top
            assert bottom < height

    @pytest.mark.parametrize("code", SCENES)
    def test_pictures_are_of_one_scale_and_fit_beside_the_text(self, code):
        whole, height, width_mm, height_mm = sizes(root(code))
        scale = width_mm / whole
        assert height_mm / height == pytest.approx(scale, rel=0.01)
        assert width_mm <= WIDEST_MM + 0.05
        assert scale == pytest.approx(min(UNIT_MM, WIDEST_MM / whole), rel=0.01)
        # Nobody stands less than 3 cm tall on paper.
        assert scale * 100 >= 30

    @pytest.mark.parametrize("code", SCENES)
    def test_words_stand_under_the_middle_of_each_panel_at_14_pt(self, code):
        svg = root(code, words=("Beginning", "End & rest"))
        whole, height, width_mm, _ = sizes(svg)
        panel = (whole - GAP) / 2
        first, second = (child for child in svg if child.tag == f"{SVG}text")
        assert (first.text, second.text) == ("Beginning", "End & rest")
        assert float(first.get("x")) == pytest.approx(panel / 2, abs=0.01)
        assert float(second.get("x")) == pytest.approx(panel * 1.5 + GAP, abs=0.01)
        for word in (first, second):
            size_mm = float(word.get("font-size")) * width_mm / whole
            assert size_mm == pytest.approx(WORDS_MM, rel=0.01)
            assert float(word.get("y")) < height

    @pytest.mark.parametrize("code", SCENES)
    def test_both_panels_have_the_ground_line(self, code):
        marks, _ = marks_of(root(code))
        flat = [
            mark
            for mark in marks
            if mark.tag == f"{SVG}polyline"
            and mark.get("stroke") == "#000000"
            and extents(mark)[1][1] - extents(mark)[1][0] == pytest.approx(1.6)
        ]
        assert len(flat) >= 2

    def test_same_call_same_bytes(self):
        for code in SCENES:
            assert figure_svg(code, "x", WORDS) == figure_svg(code, "x", WORDS)

    def test_a_title_cannot_break_out(self):
        title = '</title><script>alert("x")</script>&'
        svg = root("leg_press", title)
        assert svg[0].text == title
        assert not list(svg.iter(f"{SVG}script"))

    def test_an_unknown_exercise_is_refused(self):
        with pytest.raises(KeyError):
            figure_svg("no_such_exercise", "x", WORDS)
