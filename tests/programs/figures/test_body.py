"""The body: true segment lengths, feet on the ground, hands on what holds them."""

import math
from itertools import pairwise

import pytest

from programs.figures import (
    SCENES,
)
from programs.figures.body import SHADE, TROUSERS, body_of
from programs.figures.linework import Body
from programs.figures.poses import (
    FOREARM,
    HAND,
    HEAD,
    SHANK,
    SOLE_RADIUS,
    THIGH,
    TRUNK,
    UPPER_ARM,
    Ahead,
    At,
    Plant,
    Reach,
    ankle_of,
    skeleton,
)
from programs.figures.props import WORKTOP
from programs.figures.scenes import face, sit_facing, stand
from tests.each import each
from tests.programs.figures.drawn import (
    AIRBORNE,
    OUT_OF_PLANE,
    POSES,
    RIGHT,
    SLUMPED,
    STANDING,
    SURFACES,
    knee_bend,
    lowest,
    to_line,
)


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

    @each("name", POSES)
    def test_no_pose_stretches_a_segment(self, name):
        pose = POSES[name]
        points = skeleton(pose)
        halves = [
            math.dist(points[a], points[b]) for a, b in (("hip", "waist"), ("waist", "chest"))
        ]
        assert halves == pytest.approx([TRUNK / 2, TRUNK / 2])
        for side in ("near", "far"):
            if isinstance(getattr(pose, f"{side}_arm"), Ahead):
                continue
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

    @each("name", sorted(n for n, p in POSES.items() if p.view == "side"))
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

    @each("name", POSES)
    def test_nothing_sinks_into_the_ground(self, name):
        points = skeleton(POSES[name])
        assert min(lowest(POSES[name], side) for side in ("near", "far")) >= -0.05
        assert min(y for name, (_, y) in points.items() if not name.endswith("_ball")) > 0

    @each("name", STANDING)
    def test_a_foot_stands_on_the_ground_a_step_or_a_plate(self, name):
        pose = STANDING[name]
        soles = [
            lowest(pose, side)
            for side in ("near", "far")
            if isinstance(getattr(pose, f"{side}_leg"), Plant)
        ]
        assert soles
        for sole in soles:
            assert any(abs(sole - top) <= 0.06 for top in SURFACES)

    @pytest.mark.parametrize("name", sorted(AIRBORNE))
    def test_a_jump_leaves_the_ground(self, name):
        assert min(lowest(POSES[name], side) for side in ("near", "far")) >= 2.0

    @each("name", RIGHT)
    def test_a_hand_on_the_worktop_lies_on_it(self, name):
        """Half the thickness of a hand above it, neither in it nor over it."""
        points = skeleton(RIGHT[name])
        for side in ("near", "far"):
            arm = getattr(RIGHT[name], f"{side}_arm")
            if isinstance(arm, Reach) and abs(arm.y - WORKTOP) < 4 and name in STANDING:
                assert 1.4 <= points[f"{side}_hand"][1] - WORKTOP <= 2.6

    @each("name", RIGHT)
    def test_a_straight_back_is_straight(self, name):
        assert (RIGHT[name].curl == 0.0) is (name not in SLUMPED)

    @each("name", sorted(n for n, p in RIGHT.items() if p.view == "side"))
    def test_no_arm_hides_the_face(self, name):
        """The nearer arm keeps off the half of the head that looks."""
        pose, points = RIGHT[name], skeleton(RIGHT[name])
        gaze = pose.nose if pose.nose is not None else pose.head - 90.0
        eye = (
            points["head"][0] + 3.5 * math.cos(math.radians(gaze)),
            points["head"][1] + 3.5 * math.sin(math.radians(gaze)),
        )
        joints = [points[f"near_{joint}"] for joint in ("elbow", "wrist", "fingertip")]
        for start, end in pairwise(joints):
            assert to_line(eye, start, end) > 3.0

    @each("name", POSES)
    def test_head_and_trunk_do_not_meet_but_by_the_neck(self, name):
        points = skeleton(POSES[name])
        least = 6.0 if POSES[name].sunk else HEAD / 2
        assert math.dist(points["head"], points["chest"]) >= least

    def test_a_foot_turned_down_keeps_its_toes_and_one_turned_up_its_heel(self):
        flat, down, up = (
            skeleton(stand(hip=(60.0, 50.0), near_leg=Plant(60.0, 0.0, foot)))
            for foot in (0.0, -15.0, 10.0)
        )
        assert down["near_ball"] == pytest.approx(flat["near_ball"])
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

    def test_who_sits_facing_has_her_feet_on_the_floor_under_her_knees(self):
        points = skeleton(sit_facing())
        for side in ("near", "far"):
            assert points[f"{side}_knee"][0] == points[f"{side}_ankle"][0]
            assert lowest(sit_facing(), side) == pytest.approx(0.0)

    def test_far_limbs_are_drawn_before_the_body_and_in_shade(self):
        pose = SCENES["march"].end
        fills = [m.fill for m in body_of(pose, skeleton(pose)) if isinstance(m, Body)]
        assert fills.index(SHADE) < max(i for i, fill in enumerate(fills) if fill == TROUSERS)

    def test_knees_on_the_plate_bend_20_to_30_degrees(self):
        """Rulebook row 12."""
        for code in ("plate_knees_bent", "plate_deep_bend"):
            scene = SCENES[code]
            bent = scene.end if code == "plate_knees_bent" else scene.start
            assert 20 <= knee_bend(bent) <= 30
        assert 55 <= knee_bend(SCENES["plate_deep_bend"].end) <= 65
