"""Signs beside a body, and what is seen of it in words."""

import pytest

from programs.figures import (
    SCENES,
)
from programs.figures.body import GHOST, body_of, fists, ghost_of
from programs.figures.linework import Body, Frame, Lines, extent_of, svg_of
from programs.figures.poses import (
    At,
    Plant,
    ankle_of,
    skeleton,
)
from programs.figures.scenes import face, rounded, stand
from programs.figures.seen import seen
from programs.figures.signs import at_work, contacts, gaps
from programs.papers.pictured import SEEN
from tests.each import each
from tests.programs.figures.drawn import POSES


class TestSigns:
    def test_a_ghost_holds_only_what_moved(self):
        still, moved = stand(), stand(near_leg=At(66.0, 20.0, 0.0))
        there = body_of(still, skeleton(still))
        assert ghost_of(still, skeleton(still), there) == ()
        (ghost,) = ghost_of(moved, skeleton(moved), there)
        assert (ghost.fill, ghost.width) == (GHOST, 0.0)
        whole = sum(len(m.outlines) for m in there if isinstance(m, Body))
        assert 0 < len(ghost.outlines) < whole / 2

    def test_closed_hands_are_drawn_over_what_they_hold(self):
        pose, front, behind = stand(), face(), face(seen_from="back")
        assert len(fists(pose, skeleton(pose), "both")) == 1
        assert len(fists(front, skeleton(front), "both")) == 2
        assert len(fists(front, skeleton(front), "near")) == 1
        assert fists(front, skeleton(front), "") == ()
        assert fists(behind, skeleton(behind), "both") == ()

    def test_a_pad_is_under_each_foot_that_bears_weight(self):
        one_up = stand(near_leg=At(66.0, 20.0, 0.0))
        assert len(contacts(stand(), skeleton(stand()))) == 2
        assert len(contacts(one_up, skeleton(one_up))) == 1

    @pytest.mark.parametrize("foot, part", [(0.0, 17.0), (-30.0, 6.0), (20.0, 3.0)])
    def test_the_pad_is_under_the_part_of_the_foot_that_bears_it(self, foot, part):
        leg = Plant(60.0, 0.0, foot)
        hip = (ankle_of(leg)[0], ankle_of(leg)[1] + 48.0)
        pose = stand(hip=hip, near_leg=leg, far_leg=leg)
        pad = contacts(pose, skeleton(pose))[0]
        assert pad.points[1][0] - pad.points[0][0] < part

    @pytest.mark.parametrize("height, marked", [(1.0, False), (12.0, True), (40.0, False)])
    def test_a_lift_is_marked_where_it_is_seen(self, height, marked):
        pose = stand(near_leg=At(70.0, height + 3.9, 0.0))
        assert bool(gaps(pose, skeleton(pose))) is marked

    def test_nobody_in_bed_or_off_the_floor_has_a_lift_marked(self):
        for code in ("heel_slide", "star_jump"):
            pose = SCENES[code].end
            assert gaps(pose, skeleton(pose)) == ()

    def test_muscles_are_hatched_two_at_most_and_from_the_side_alone(self):
        points = skeleton(stand())
        assert len(at_work(("calves",), stand(), points)) == 1
        assert len(at_work(("calves", "neck", "forearms", "chest"), stand(), points)) == 2
        assert at_work(("calves",), face(), skeleton(face())) == ()

    def test_a_back_may_be_round_or_hollow(self):
        upright = skeleton(stand())["waist"][0]
        assert skeleton(rounded(stand()))["waist"][0] < upright
        assert skeleton(rounded(stand(), -20.0))["waist"][0] > upright

    def test_many_lines_are_one_element(self):
        lines = Lines((((0.0, 0.0), (1.0, 2.0)), ((3.0, 0.0), (4.0, 9.0))))
        assert svg_of(lines, Frame(0.0, 10.0)).count("<") == 1
        assert extent_of([lines]).top == pytest.approx(9.45)


class TestSeen:
    @each("name", POSES)
    def test_each_pose_has_words(self, name):
        assert set(seen(POSES[name])) <= SEEN.keys()

    @pytest.mark.parametrize(
        "code, said",
        [
            ("calf_raise", ("standing", "heels", "worktop")),
            ("one_leg_stand", ("standing", "one_foot")),
            ("side_leg_raise", ("standing", "leg_aside", "worktop")),
            ("back_leg_raise", ("standing", "leg_back", "worktop")),
            ("sitting_foot_lift", ("sitting", "one_foot")),
            ("knee_straightening", ("sitting", "leg_ahead")),
            ("sitting_toe_heel_raise", ("sitting", "toes")),
            ("tandem", ("standing", "stride", "one_worktop")),
            ("feet_together_held", ("standing", "together", "worktop")),
            ("barbell_overhead_press", ("standing", "up")),
            ("band_pull_apart", ("standing", "out")),
            ("biceps_curl", ("standing", "elbows")),
            ("bridge", ("lying", "knees", "hips")),
            ("bird_dog", ("hands_and_knees", "leg_back", "one_reach")),
            ("hip_hinge", ("standing", "knees", "forward")),
            ("plate_knees_bent", ("plate", "knees")),
            ("plate_feet_wide", ("plate", "apart")),
            ("step_up", ("step",)),
            ("step_down_low", ("standing", "on_step", "knees")),
            ("star_jump", ("standing", "airborne", "up")),
            ("propped_arm_raise", ("propped", "one_reach")),
            ("sitting_reach", ("sitting", "aside", "one_out")),
            ("log_roll", ("on_bed",)),
            ("floor_pick_up", ("one_knee",)),
        ],
    )
    def test_the_end_is_told_as_it_is_drawn(self, code, said):
        assert seen(SCENES[code].end) == said

    @pytest.mark.parametrize(
        "code, said",
        [
            ("hip_hinge", "round"),
            ("bridge", "hollow"),
            ("backward_walk", "backward"),
            ("weight_shift", "aside"),
            ("sitting_shoulder_squeeze", "shrug"),
            ("chest_opener", "head"),
        ],
    )
    def test_so_is_what_is_wrong(self, code, said):
        assert said in seen(SCENES[code].wrong)
