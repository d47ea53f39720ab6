"""The choice of lifts, impact, balance and posture is sound for who stands, sits, or mends."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.exercises import (
    EXERCISES,
    SPARE_SPINE_BARS,
    choose_lifts,
    counted_rungs,
    of,
    possible,
    walking,
)
from programs.exercises.catalogue import LADDER_OF
from programs.exercises.exercise import BARS, EQUIPMENT
from programs.exercises.regions import (
    ORDER_BY_AIM,
    REGIONS,
    SEATED_ORDER_BY_AIM,
    SEATED_REGIONS,
    TOO_HARD_FOR_WEAK_STANDS,
)
from safety.findings import Modality

ALL = tuple(EXERCISES.values())
EVERYTHING = EQUIPMENT
NONE: frozenset[str] = frozenset()
CHAIR = frozenset({"chair"})
WHEELCHAIR = frozenset({"standing"})
BED = frozenset({"standing", "sitting"})
ARMS = frozenset({"arms"})
#: Everything that the rulebook may bar at once, for who stands and for who does not.
WORST = BARS - {"standing", "sitting"}


def codes(exercises):
    return [exercise.code for exercise in exercises]


class TestPossible:
    def test_nothing_barred_and_everything_there_gives_all(self):
        for modality in Modality:
            assert possible(modality, EVERYTHING, NONE) == of(modality)

    def test_needs_all_of_its_equipment(self):
        assert "dumbbell_chair_stand" not in codes(possible(Modality.RESISTANCE, CHAIR, NONE))
        assert "dumbbell_chair_stand" in codes(
            possible(Modality.RESISTANCE, frozenset({"chair", "dumbbells"}), NONE)
        )

    def test_who_may_not_stand_has_a_seat(self):
        assert "knee_straightening" in codes(possible(Modality.RESISTANCE, NONE, WHEELCHAIR))
        assert "knee_straightening" not in codes(possible(Modality.RESISTANCE, NONE, NONE))

    @pytest.mark.parametrize("bar", sorted(BARS - {"twist"}))
    def test_each_bar_takes_something_away(self, bar):
        before = {e for m in Modality for e in possible(m, EVERYTHING, NONE)}
        after = {e for m in Modality for e in possible(m, EVERYTHING, frozenset({bar}))}
        assert after < before
        assert all(bar in exercise.bars for exercise in before - after)

    @pytest.mark.parametrize("equipment", sorted(EQUIPMENT))
    def test_every_piece_of_equipment_is_used(self, equipment):
        assert [e for e in ALL if equipment in e.equipment]

    def test_every_region_has_a_way_with_nothing_but_support(self):
        able = set(codes(possible(Modality.RESISTANCE, NONE, SPARE_SPINE_BARS | {"floor"})))
        assert all(able & set(region) for region in REGIONS.values())

    def test_every_region_has_a_way_on_a_seat(self):
        able = set(codes(possible(Modality.RESISTANCE, NONE, SPARE_SPINE_BARS | WHEELCHAIR)))
        assert all(able & set(region) for region in SEATED_REGIONS.values())


AIMS = st.lists(
    st.sampled_from(["hip", "spine", "wrist", "falls", "strength"]), unique=True, max_size=5
).map(tuple)
KIT = st.frozensets(st.sampled_from(sorted(EQUIPMENT)))
BARRED = st.frozensets(st.sampled_from(sorted(BARS)))
#: Who may not sit may not stand.
BARRED = BARRED.map(lambda bars: bars | {"standing"} if "sitting" in bars else bars)
TESTED = st.frozensets(st.sampled_from(sorted({one.lift for one in ALL if one.lift})))


def movements(lifts):
    """Return how many different movements there are, two of one ladder being one."""
    return len({LADDER_OF.get(one.code, one.code) for one in lifts})


class TestRegions:
    def test_every_lift_has_one_region_of_who_stands_or_of_who_does_not(self):
        for regions in (REGIONS, SEATED_REGIONS):
            in_regions = list(itertools.chain.from_iterable(regions.values()))
            assert len(in_regions) == len(set(in_regions))
        both = {
            code for regions in (REGIONS, SEATED_REGIONS) for r in regions.values() for code in r
        }
        assert sorted(both) == sorted(codes(of(Modality.RESISTANCE)))

    def test_all_that_needs_no_feet_is_there_for_who_does_not_stand(self):
        in_regions = set(itertools.chain.from_iterable(SEATED_REGIONS.values()))
        assert in_regions == set(codes(possible(Modality.RESISTANCE, EVERYTHING, WHEELCHAIR)))

    def test_every_aim_has_an_order_of_all_regions(self):
        assert ORDER_BY_AIM.keys() == SEATED_ORDER_BY_AIM.keys()
        for order in (*ORDER_BY_AIM.values(), *SEATED_ORDER_BY_AIM.values()):
            assert sorted(order) == sorted(REGIONS) == sorted(SEATED_REGIONS)
        assert {order[0] for order in ORDER_BY_AIM.values()} == {"legs"}


class TestChooseLifts:
    @given(KIT, BARRED, AIMS, st.integers(1, 6), TESTED, st.booleans())
    def test_never_barred_never_impossible_and_no_movement_twice(
        self, kit, barred, aims, count, tested, weak
    ):
        lifts = choose_lifts(kit, barred, aims, count, tested, weak_stands=weak)
        able = possible(Modality.RESISTANCE, kit, barred)
        regions = SEATED_REGIONS if "standing" in barred else REGIONS
        drafted = {code for region in regions.values() for code in region}
        fit = [
            e
            for e in able
            if e.code in drafted and not (weak and e.code in TOO_HARD_FOR_WEAK_STANDS)
        ]
        assert set(lifts) <= set(fit)
        assert len(lifts) == movements(lifts) == min(count, movements(fit))

    @pytest.mark.slow
    @given(KIT, BARRED, AIMS, TESTED)
    def test_cutting_keeps_the_first(self, kit, barred, aims, tested):
        four = choose_lifts(kit, barred, aims, 4, tested)
        assert choose_lifts(kit, barred, aims, 2, tested) == four[:2]

    @given(
        KIT, BARRED.map(lambda bars: bars - {"standing", "sitting", "arms", "unsupported"}), AIMS
    )
    def test_five_cover_every_region(self, kit, barred, aims):
        five = choose_lifts(kit, barred, aims, 5)
        assert five[0].code in REGIONS["legs"]
        assert {r for r, members in REGIONS.items() for e in five if e.code in members} == set(
            REGIONS
        )

    def test_a_leg_press_comes_before_a_chair_stand(self):
        kit = frozenset({"leg_press", "chair"})
        assert choose_lifts(kit, NONE, ("hip",), 1)[0].code == "leg_press"
        assert choose_lifts(CHAIR, NONE, ("hip",), 1)[0].code == "chair_stand"

    def test_the_spine_as_first_aim_brings_the_back_second(self):
        kit = frozenset({"leg_press", "cable"})
        assert codes(choose_lifts(kit, NONE, ("spine",), 2)) == ["leg_press", "cable_row"]
        assert codes(choose_lifts(kit, NONE, ("hip",), 2)) == ["leg_press", "cable_side_leg"]

    def test_the_aim_decides_between_equals(self):
        push = [e for e in choose_lifts(EVERYTHING, NONE, ("spine",), 5) if "spine" in e.loads]
        assert "dumbbell_overhead_press" in codes(push)

    @pytest.mark.parametrize("others", [NONE, WHEELCHAIR, BED])
    def test_a_fragile_spine_gets_none_of_what_it_must_not_do(self, others):
        lifts = choose_lifts(EVERYTHING, SPARE_SPINE_BARS | others, ("spine",), 6)
        assert all(exercise.fragile_spine for exercise in lifts)

    def test_the_floor_is_the_last_resort(self):
        lifts = choose_lifts(frozenset({"dumbbells"}), NONE, ("hip",), 6)
        assert not [e.code for e in lifts if e.on_floor]

    @pytest.mark.parametrize("count", [0, 7])
    def test_a_count_outside_one_to_six_is_refused(self, count):
        with pytest.raises(ValueError, match="count of lifts"):
            choose_lifts(NONE, NONE, (), count)

    def test_fewer_come_back_when_no_more_are_possible(self, monkeypatch):
        from programs.exercises import choice

        monkeypatch.setattr(choice, "REGIONS", dict.fromkeys(REGIONS, ("calf_raise",)))
        assert codes(choice.choose_lifts(NONE, NONE, (), 3)) == ["calf_raise"]


class TestTested:
    """Rulebook row 19d: the lift that was tested is preferred where nothing speaks against it."""

    KIT = frozenset({"leg_press", "leg_extension", "chair", "dumbbells", "barbell", "cable"})

    def test_first_in_its_region_by_lift_or_by_code(self):
        for tested in ("leg_extension", "squat", "barbell_squat"):
            first = choose_lifts(self.KIT, NONE, ("hip",), 1, frozenset({tested}))[0]
            assert tested in (first.code, first.lift)

    def test_its_region_keeps_its_place(self):
        lifts = choose_lifts(self.KIT, NONE, ("hip",), 5, frozenset({"lat_pull"}))
        assert lifts[0].code == "leg_press"
        assert lifts[-1].code == "lat_pull_down"

    def test_not_when_something_speaks_against_it(self):
        barred = SPARE_SPINE_BARS | {"barbell"}
        lifts = choose_lifts(self.KIT, barred, ("hip",), 6, frozenset({"squat", "deadlift"}))
        assert not {"barbell_squat", "deadlift"} & set(codes(lifts))

    def test_not_on_the_floor_before_another(self):
        tested = frozenset({"dumbbell_chest_press"})
        lifts = choose_lifts(frozenset({"dumbbells"}), NONE, ("wrist",), 5, tested)
        assert "dumbbell_chest_press" not in codes(lifts)


class TestWeakStands:
    """Rulebook row 19c: under eight chair stands the version with hands."""

    @pytest.mark.parametrize(
        "kit", [CHAIR, CHAIR | {"step"}, CHAIR | {"dumbbells"}, CHAIR | {"weighted_vest"}]
    )
    def test_with_hands_instead_of_without(self, kit):
        assert choose_lifts(kit, NONE, ("falls",), 1)[0].code != "chair_stand_with_hands"
        weak = choose_lifts(kit, NONE, ("falls",), 6, weak_stands=True)
        assert weak[0].code == "chair_stand_with_hands"
        assert not TOO_HARD_FOR_WEAK_STANDS & set(codes(weak))

    def test_a_mending_arm_cannot_push_and_squats_at_the_worktop(self):
        weak = choose_lifts(CHAIR, ARMS, ("hip",), 2, weak_stands=True)
        assert weak[0].code == "worktop_squat"


class TestAFrame:
    """Rulebook row 3b: hands on support in every standing exercise."""

    def test_with_a_chair_there_are_four_with_a_hand_on_something(self):
        barred = SPARE_SPINE_BARS | {"unsupported", "barbell"}
        lifts = choose_lifts(CHAIR, barred, ("falls",), 4)
        assert lifts[0].code == "chair_stand_with_hands"
        assert len(lifts) == 4
        assert all(e.hands_allowed for e in lifts if "standing" in e.bars)


class TestWhoDoesNotStand:
    """Rulebook rows 3b and 4."""

    @given(KIT, AIMS)
    def test_a_wheelchair_user_has_four_lifts_and_none_on_her_feet(self, kit, aims):
        lifts = choose_lifts(kit, WHEELCHAIR | WORST - ARMS, aims, 4)
        assert len(lifts) == 4
        assert {e.position for e in lifts} <= {"seated", "lying"}

    def test_with_nothing_but_a_chair_all_of_it_is_on_a_seat(self):
        lifts = choose_lifts(CHAIR, WHEELCHAIR, ("strength",), 4)
        assert codes(lifts) == [
            "sitting_elbow_press",
            "sitting_palm_press",
            "knee_straightening",
            "sitting_towel_wring",
        ]

    def test_strong_arms_with_weights_and_bands_have_a_load(self):
        kit = frozenset({"chair", "dumbbells", "bands"})
        lifts = choose_lifts(kit, WHEELCHAIR | {"floor_lift", "barbell"}, ("strength",), 4)
        assert [e.code for e in lifts if e.loadable] == ["dumbbell_overhead_press", "sitting_curl"]

    @given(KIT, AIMS)
    def test_in_bed_there_are_two_lying_down(self, kit, aims):
        for barred in (BED | WORST - ARMS, BED | WORST):
            lifts = choose_lifts(kit, barred, aims, 4)
            assert len(lifts) >= 2
            assert {e.position for e in lifts} == {"lying"}

    @given(KIT, AIMS)
    def test_while_an_arm_mends_there_are_two_that_spare_it(self, kit, aims):
        for others in (NONE, WORST, WHEELCHAIR, WHEELCHAIR | WORST):
            lifts = choose_lifts(kit | {"chair"}, ARMS | others, aims, 4)
            assert len(lifts) >= 2
            assert not [e.code for e in lifts if e.equipment & {"dumbbells", "barbell"}]


class TestImpact:
    def test_forces_from_published_work(self):
        """Ryan 2021; DOI 10.11648/j.ijsts.20210906.16; Clissold 2019; Bassey 1998;
        Santos-Rocha 2006; PMID 23439490."""
        assert EXERCISES["stamp"].peak_bw == 3.08
        assert EXERCISES["firm_stamp"].peak_bw == 4.58
        assert EXERCISES["heel_drop"].peak_bw == 4.9
        assert EXERCISES["star_jump"].peak_bw == 5.38
        assert EXERCISES["small_jump"].peak_bw == 4.0
        assert EXERCISES["march"].peak_bw == 1.4
        assert EXERCISES["one_leg_hop"].peak_bw == 2.61

    def test_what_was_not_measured_says_so(self):
        honest = ("common practice", "from memory", "project choice")
        for code in ("soft_heel_raise", "brisk_walk", "step_down_low", "gentle_stamp"):
            assert EXERCISES[code].peak_bw_source.lower().startswith(honest)

    def test_walking_is_dosed_by_minutes_and_stays_under_its_cap(self):
        """No more than brisk walking with vertebral or several low-trauma fractures:
        Brooke-Wavell et al. 2022."""
        assert walking().code == walking(NONE).code == "brisk_walk"
        assert walking().peak_bw <= 1.5
        assert counted_rungs(1.5) == counted_rungs(1.9) == ()

    @given(st.floats(0, 10))
    def test_rising_and_never_over_the_cap(self, cap_bw):
        forces = [rung.peak_bw for rung in counted_rungs(cap_bw)]
        assert forces == sorted(set(forces))
        assert all(force <= cap_bw for force in forces)

    def test_the_cap_is_inside(self):
        assert "stamp" in codes(counted_rungs(3.08))
        assert "stamp" not in codes(counted_rungs(3.0))
        assert counted_rungs(4.0)[-1].code == "small_jump"

    def test_group_b_never_hops_or_jumps(self):
        assert not [e.code for e in counted_rungs(3.0) if "jump" in e.bars]

    def test_what_is_never_drafted_is_above_every_ceiling_or_says_why(self):
        never = {e.code for e in of(Modality.IMPACT) if not e.drafted}
        assert never == {"march", "one_leg_hop", "firm_stamp", "heel_drop", "star_jump"}
        assert not never & set(codes(counted_rungs(100)))

    def test_equipment_and_bars_are_heeded_when_given(self):
        assert "step_down_low" in codes(counted_rungs(4.0))
        assert "step_down_low" not in codes(counted_rungs(4.0, NONE))
        assert "held_jump" not in codes(counted_rungs(4.0, NONE, frozenset({"jump"})))
        assert counted_rungs(4.0, NONE, WHEELCHAIR) == ()
        assert counted_rungs(2.0, NONE)[0].code == "soft_heel_raise"


# --- Exercises that give place (row 29a) ------------------------------------------------------


def changed_to(equipment: set[str], *changed: str, aim: str = "hip", barred: str = "") -> set[str]:
    """Return the lifts that come in where these give place."""
    bars = frozenset({barred}) if barred else frozenset()
    owned = frozenset(equipment)
    made = choose_lifts(owned, bars, (aim,), 4, changed=frozenset(changed))
    before = choose_lifts(owned, bars, (aim,), 4)
    assert len(made) == len(before)
    return {one.code for one in made} - {one.code for one in before}


def test_a_lift_gives_place_within_its_region_to_one_with_a_load_as_well() -> None:
    weights = {"chair", "dumbbells", "leg_press"}
    assert changed_to(weights, "leg_press") == {"dumbbell_chair_stand"}
    assert changed_to(weights, "leg_press", barred="unsupported") == set()
    # Without a load is no change for one with a load, nor is the floor.
    assert changed_to({"dumbbells"}, "dumbbell_row", "dumbbell_hip_hinge") == set()


def test_it_gives_place_to_no_harder_form_of_the_same_movement() -> None:
    assert "band_row" not in changed_to({"chair", "bands"}, "wall_elbow_press")
    assert changed_to({"chair"}, "chair_stand", aim="falls") == set()


def test_another_loads_one_of_its_bones_and_the_sites_of_the_aims() -> None:
    assert changed_to({"chair"}, "chair_stand") == set()
    assert changed_to({"chair"}, "bridge") == {"side_leg_raise"}
    assert changed_to({"chair"}, "bridge", aim="spine") == set()
