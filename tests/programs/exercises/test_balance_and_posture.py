"""The exercises of balance and posture: for who stands, who sits, who lies, and with a load."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.exercises import (
    BALANCE_RUNGS,
    EXERCISES,
    SPARE_SPINE_BARS,
    balance_rung,
    of,
    possible,
    posture_set,
    seated_balance,
)
from programs.exercises.exercise import BARS, EQUIPMENT
from safety.findings import Modality

ALL = tuple(EXERCISES.values())
NONE: frozenset[str] = frozenset()
FALLER = frozenset({"free_hands", "backward", "head_turn"})
WHEELCHAIR = frozenset({"standing"})
BED = frozenset({"standing", "sitting"})
#: Who may not sit may not stand.
BARRED = st.frozensets(st.sampled_from(sorted(BARS))).map(
    lambda bars: bars | {"standing"} if "sitting" in bars else bars
)


def codes(exercises):
    return [exercise.code for exercise in exercises]


class TestBalanceRungs:
    def test_six_to_eight_rungs_with_two_each(self):
        assert 6 <= BALANCE_RUNGS <= 8
        for n in range(1, BALANCE_RUNGS + 1):
            assert len(balance_rung(n)) == 2

    def test_only_balance_on_the_feet_has_rungs(self):
        for one in ALL:
            on_feet = one.modality == Modality.BALANCE and "standing" in one.bars
            assert (one.rung is not None) == on_feet

    def test_holds_are_five_to_ten_seconds(self):
        """Holds of 5 to 10 s: common practice."""
        holds = [e.hold_s for e in of(Modality.BALANCE) if e.hold_s]
        assert holds
        assert set(holds) <= {5, 10}

    def test_harder_is_never_a_lower_rung(self):
        for exercise in of(Modality.BALANCE):
            if exercise.harder:
                assert (EXERCISES[exercise.harder].rung or 0) >= (exercise.rung or 0)

    @pytest.mark.parametrize("n", [0, BALANCE_RUNGS + 1])
    def test_no_such_rung(self, n):
        with pytest.raises(ValueError, match="balance rung"):
            balance_rung(n)

    @pytest.mark.parametrize(
        ("n", "left"),
        [
            (4, ["one_leg_stand_held", "slow_turn"]),
            (5, ["tandem_walk"]),
            (6, ["step_over"]),
            (7, ["walk_and_carry"]),
        ],
    )
    def test_a_faller_has_what_is_left_of_a_rung(self, n, left):
        """Rulebook row 21."""
        assert codes(balance_rung(n, FALLER)) == left

    def test_a_rung_with_nothing_left_gives_the_nearest_lower_one(self):
        barred = frozenset({"head_turn", "arms", "backward"})
        assert codes(balance_rung(7, barred)) == ["step_over"]

    def test_nothing_left_on_the_feet_gives_the_sitting_ones(self):
        assert balance_rung(3, WHEELCHAIR) == seated_balance()

    @given(st.integers(1, BALANCE_RUNGS), BARRED, st.booleans())
    def test_never_barred_never_above_the_rung_never_empty(self, n, barred, seated):
        found = balance_rung(n, barred, seated)
        assert found
        assert all((e.rung or 0) <= n and not e.bars & barred for e in found)


class TestSeatedBalance:
    def test_on_a_seat_there_are_reaches_and_weight_shifts(self):
        """Rulebook row 3b."""
        expected = ["sitting_reach", "sitting_weight_shift", "sitting_foot_lift"]
        assert codes(seated_balance()) == expected
        assert seated_balance() == balance_rung(1, seated=True) == balance_rung(None)

    def test_in_bed_they_are_done_propped_up(self):
        assert codes(seated_balance(BED)) == ["propped_reach", "propped_weight_shift"]

    def test_a_mending_arm_does_not_reach(self):
        assert codes(seated_balance(WHEELCHAIR | {"arms"})) == [
            "sitting_weight_shift",
            "sitting_foot_lift",
        ]
        assert codes(seated_balance(BED | {"arms"})) == ["propped_weight_shift"]


class TestPostureSet:
    def test_back_endurance_and_hip_hinge_lead(self):
        assert codes(posture_set(True, 2)) == ["lying_back_press", "hip_hinge"]
        assert codes(posture_set(False, 2)) == ["prone_lift", "hip_hinge"]
        assert codes(posture_set(False, 2, barred=WHEELCHAIR)) == ["sit_tall", "trunk_lean"]

    def test_all_that_are_drafted_for_who_stands(self):
        expected = {
            e.code
            for e in of(Modality.POSTURE)
            if e.drafted and e.position != "seated" and e.code != "loaded_prone_lift"
        }
        assert set(codes(posture_set(False, 99))) == expected
        assert set(codes(posture_set(True, 99))) == expected - {"prone_lift"}

    def test_the_load_takes_the_place_of_the_chest_lift(self):
        """Rulebook row 22: from week 17, where nothing spares the spine."""
        loaded = codes(posture_set(False, 99, loaded=True))
        assert loaded[0] == "loaded_prone_lift"
        assert loaded[1:] == codes(posture_set(False, 99))[1:]

    @pytest.mark.parametrize("others", [NONE, WHEELCHAIR, BED])
    def test_no_load_where_something_speaks_against_it(self, others):
        assert posture_set(True, 3, loaded=True) == posture_set(True, 3)
        for barred in (others | {"arms"}, others | {"arching"}):
            assert posture_set(False, 3, barred=barred, loaded=True) == posture_set(
                False, 3, barred=barred
            )

    @given(st.booleans(), st.integers(2, 12), BARRED, st.booleans())
    def test_never_barred_and_two_at_least_for_anybody(self, spare, count, barred, loaded):
        chosen = posture_set(spare, count, barred=barred, loaded=loaded)
        assert 2 <= len(chosen) == len(set(chosen)) <= count
        assert not [e.code for e in chosen if e.bars & barred or e.on_floor or not e.drafted]
        assert not spare or all(e.fragile_spine for e in chosen)

    def test_a_frame_keeps_a_hand_on_something_or_lies_down(self):
        """Rulebook row 3b."""
        chosen = posture_set(True, 3, barred=frozenset({"unsupported"}))
        assert codes(chosen) == ["lying_back_press", "lying_head_press", "heel_slide"]

    def test_the_worst_at_once_leaves_two(self):
        for barred in (BARS, BARS - BED, BARS - {"sitting"}):
            assert len(posture_set(True, 3, barred=barred)) >= 2

    def test_a_count_below_one_is_refused(self):
        with pytest.raises(ValueError, match="count of posture"):
            posture_set(False, 0)


class TestAWorseSpine:
    """Rulebook row 5a: a worse fact about bone never adds an exercise in lifting or posture."""

    @given(BARRED, st.booleans())
    def test_posture(self, barred, loaded):
        spared = set(posture_set(True, 99, barred=barred, loaded=loaded))
        unspared = set(posture_set(False, 99, barred=barred)) | set(
            posture_set(False, 99, barred=barred, loaded=loaded)
        )
        assert spared <= unspared
        assert spared <= set(possible(Modality.POSTURE, EQUIPMENT, barred))

    @given(BARRED, st.frozensets(st.sampled_from(sorted(EQUIPMENT))))
    def test_lifting(self, barred, kit):
        for modality in (Modality.RESISTANCE, Modality.POSTURE):
            spared = possible(modality, kit, barred | SPARE_SPINE_BARS | {"arching"})
            assert set(spared) <= set(possible(modality, kit, barred))
