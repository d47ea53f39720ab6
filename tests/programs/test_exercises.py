"""The catalogue holds together, its words are plain, and the choice among it is sound."""

import itertools
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.exercises import (
    BALANCE_RUNGS,
    DAILY_MOVEMENTS,
    EXERCISES,
    SPARE_SPINE_BARS,
    balance_rung,
    choose_lifts,
    impact_ladder,
    of,
    possible,
    posture_set,
)
from programs.exercises.choice import ORDER_BY_AIM, REGIONS
from programs.exercises.exercise import BARS, EQUIPMENT, POSITIONS, SITES, linked
from safety.findings import Modality

ALL = tuple(EXERCISES.values())
EVERYTHING = EQUIPMENT
NONE: frozenset[str] = frozenset()

VERBS_TEXT = """
    Bend Breathe Bring Change Check Cross Do Draw Feel Go Grip Grow
    Help Hold Hop Jump Keep Kneel Land Lean Let Lie Lift Lighten
    Line Look Lower Make March Move Name Place Point Press Push Put
    Reach Relax Rest Rise Roll Set Shift Sit Slide Slow Squeeze Stamp
    Stand Stay Step Stop Touch Turn Walk Wring Ask Choose Split
"""
VERBS = frozenset(VERBS_TEXT.split())


def texts(exercise):
    return (exercise.start, *exercise.steps, exercise.feel, exercise.avoid)


def sentences(text):
    return [part for part in re.split(r"[.;!?]", text) if part.strip()]


def syllables(word):
    """A plain count: runs of vowels, less a silent last e."""
    letters = re.sub(r"[^a-z]", "", word.lower())
    silent = letters.endswith("e") and not letters.endswith("le")
    return max(1, len(re.findall(r"[aeiouy]+", letters)) - silent)


def grade(text):
    """The Flesch-Kincaid grade (Kincaid et al. 1975, from memory, to be confirmed)."""
    words = re.findall(r"[A-Za-z'-]+", text)
    per_sentence = len(words) / len(sentences(text))
    per_word = sum(map(syllables, words)) / len(words)
    return 0.39 * per_sentence + 11.8 * per_word - 15.59


def codes(exercises):
    return [exercise.code for exercise in exercises]


class TestCatalogue:
    def test_at_least_sixty_over_five_modalities(self):
        assert len(ALL) >= 60
        assert {exercise.modality for exercise in ALL} == set(Modality)
        assert len(of(Modality.RESISTANCE)) >= 24
        assert len(of(Modality.IMPACT)) >= 9
        assert len(of(Modality.BALANCE)) >= 14
        assert len(of(Modality.POSTURE)) >= 12
        assert len(of(Modality.PLATE)) >= 5

    def test_no_code_is_declared_twice(self):
        from programs.exercises import catalogue

        declared = [e.code for table in catalogue._TABLES for e in table.EXERCISES]
        assert len(declared) == len(set(declared)) == len(ALL)

    def test_no_code_stands_on_two_ladders(self):
        from programs.exercises import catalogue

        on_ladders = [c for t in catalogue._TABLES for ladder in t.LADDERS for c in ladder]
        assert len(on_ladders) == len(set(on_ladders))

    @pytest.mark.parametrize("exercise", ALL, ids=codes(ALL))
    def test_declared_words(self, exercise):
        assert re.fullmatch(r"[a-z][a-z0-9_]*", exercise.code)
        assert exercise.loads
        assert exercise.loads <= SITES
        assert exercise.equipment <= EQUIPMENT
        assert exercise.bars <= BARS
        assert exercise.position in POSITIONS
        assert exercise.muscles
        assert exercise.on_floor == ("floor" in exercise.bars) or exercise.code == "floor_pick_up"

    @pytest.mark.parametrize("exercise", ALL, ids=codes(ALL))
    def test_neighbours_resolve_and_agree(self, exercise):
        if exercise.easier:
            assert EXERCISES[exercise.easier].harder == exercise.code
            assert EXERCISES[exercise.easier].modality == exercise.modality
        if exercise.harder:
            assert EXERCISES[exercise.harder].easier == exercise.code
            assert EXERCISES[exercise.harder].modality == exercise.modality

    def test_a_ladder_that_names_nobody_is_refused(self):
        with pytest.raises(KeyError):
            linked(ALL, [("leg_press", "no_such_exercise")])

    def test_only_what_can_be_loaded_in_kg_has_a_lift(self):
        assert all(exercise.loadable for exercise in ALL if exercise.lift)
        assert {e.lift for e in ALL if e.lift} == {
            "leg_press",
            "leg_extension",
            "squat",
            "deadlift",
            "bench_press",
            "row",
            "overhead_press",
            "lat_pull",
        }

    def test_only_impact_has_a_force_and_each_has_its_source(self):
        for exercise in ALL:
            is_impact = exercise.modality == Modality.IMPACT
            assert (exercise.peak_bw is not None) == is_impact
            assert (exercise.peak_bw_source is not None) == is_impact

    def test_a_fragile_spine_is_never_offered_what_is_barred_for_it(self):
        assert not [e.code for e in ALL if e.fragile_spine and e.bars & SPARE_SPINE_BARS]

    def test_a_lift_unfit_for_a_fragile_spine_is_barred_by_what_it_involves(self):
        unfit = [e for e in of(Modality.RESISTANCE) if not e.fragile_spine]
        assert unfit
        assert all(exercise.bars & SPARE_SPINE_BARS for exercise in unfit)

    def test_lifts_from_the_floor_are_flagged(self):
        assert "floor_lift" in EXERCISES["deadlift"].bars
        assert "floor_lift" in EXERCISES["floor_pick_up"].bars


class TestWords:
    @pytest.mark.parametrize("exercise", ALL, ids=codes(ALL))
    def test_three_to_five_steps_each_led_by_a_verb(self, exercise):
        assert 3 <= len(exercise.steps) <= 5
        for text in texts(exercise):
            assert text.split()[0].strip(",") in VERBS
            assert text.endswith(".")
        assert exercise.feel.startswith("Feel ")
        assert exercise.avoid.startswith("Do not ")

    @pytest.mark.parametrize("exercise", ALL, ids=codes(ALL))
    def test_no_sentence_over_twenty_words(self, exercise):
        for text in texts(exercise):
            assert all(len(sentence.split()) <= 20 for sentence in sentences(text))
        assert len(sentences(exercise.start)) == 1

    @pytest.mark.parametrize("exercise", ALL, ids=codes(ALL))
    def test_reading_grade_is_six_or_less(self, exercise):
        assert grade(" ".join(texts(exercise))) <= 6

    def test_the_grade_can_fail(self):
        assert grade("Maintain appropriate thoracolumbar stabilization throughout.") > 6

    @pytest.mark.parametrize("movement", DAILY_MOVEMENTS, ids=lambda m: m.code)
    def test_daily_movements_say_what_to_do_instead(self, movement):
        assert movement.leave_out.startswith("Do not ")
        for sentence in sentences(movement.instead):
            assert sentence.split()[0] in VERBS
            assert len(sentence.split()) <= 20
        assert grade(movement.leave_out + " " + movement.instead) <= 6

    def test_the_spine_sparing_table_covers_the_day(self):
        assert {m.code for m in DAILY_MOVEMENTS} >= {
            "sit",
            "bend",
            "lift",
            "turn_in_bed",
            "cough",
            "reach",
        }


class TestPossible:
    def test_nothing_barred_and_everything_there_gives_all(self):
        for modality in Modality:
            assert possible(modality, EVERYTHING, NONE) == of(modality)

    def test_needs_all_of_its_equipment(self):
        assert "dumbbell_chair_stand" not in codes(
            possible(Modality.RESISTANCE, frozenset({"chair"}), NONE)
        )
        assert "dumbbell_chair_stand" in codes(
            possible(Modality.RESISTANCE, frozenset({"chair", "dumbbells"}), NONE)
        )

    @pytest.mark.parametrize("bar", sorted(BARS - {"twist"}))
    def test_each_bar_takes_something_away(self, bar):
        before = {e for m in Modality for e in possible(m, EVERYTHING, NONE)}
        after = {e for m in Modality for e in possible(m, EVERYTHING, frozenset({bar}))}
        assert after < before
        assert all(bar in exercise.bars for exercise in before - after)

    def test_nothing_in_the_catalogue_twists_the_spine(self):
        assert not [e.code for e in ALL if "twist" in e.bars]

    @pytest.mark.parametrize("equipment", sorted(EQUIPMENT))
    def test_every_piece_of_equipment_is_used(self, equipment):
        assert [e for e in ALL if equipment in e.equipment]

    def test_every_region_has_a_way_with_nothing_but_support(self):
        able = set(codes(possible(Modality.RESISTANCE, NONE, SPARE_SPINE_BARS | {"floor"})))
        assert all(able & set(region) for region in REGIONS.values())


AIMS = st.lists(
    st.sampled_from(["hip", "spine", "wrist", "falls", "strength"]), unique=True, max_size=5
).map(tuple)
KIT = st.frozensets(st.sampled_from(sorted(EQUIPMENT)))
BARRED = st.frozensets(st.sampled_from(sorted(BARS)))


class TestChooseLifts:
    def test_every_lift_has_one_region(self):
        in_regions = list(itertools.chain.from_iterable(REGIONS.values()))
        assert sorted(in_regions) == sorted(codes(of(Modality.RESISTANCE)))

    def test_every_aim_has_an_order_of_all_regions_led_by_the_legs(self):
        for order in ORDER_BY_AIM.values():
            assert sorted(order) == sorted(REGIONS)
            assert order[0] == "legs"

    @given(KIT, BARRED, AIMS, st.integers(1, 6))
    def test_never_barred_never_impossible_and_as_many_as_asked(self, kit, barred, aims, count):
        lifts = choose_lifts(kit, barred, aims, count)
        assert len(set(lifts)) == len(lifts) == count
        assert all(e.equipment <= kit and not e.bars & barred for e in lifts)
        assert all(e.modality == Modality.RESISTANCE for e in lifts)

    @pytest.mark.slow
    @given(KIT, BARRED, AIMS)
    def test_cutting_keeps_the_first(self, kit, barred, aims):
        four = choose_lifts(kit, barred, aims, 4)
        assert choose_lifts(kit, barred, aims, 2) == four[:2]
        assert four[0].code in REGIONS["legs"]

    @given(KIT, BARRED, AIMS)
    def test_five_cover_every_region(self, kit, barred, aims):
        five = choose_lifts(kit, barred, aims, 5)
        assert {r for r, members in REGIONS.items() for e in five if e.code in members} == set(
            REGIONS
        )

    def test_a_leg_press_comes_before_a_chair_stand(self):
        kit = frozenset({"leg_press", "chair"})
        assert choose_lifts(kit, NONE, ("hip",), 1)[0].code == "leg_press"
        assert choose_lifts(frozenset({"chair"}), NONE, ("hip",), 1)[0].code == "chair_stand"

    def test_the_spine_as_first_aim_brings_the_back_second(self):
        kit = frozenset({"leg_press", "cable"})
        assert codes(choose_lifts(kit, NONE, ("spine",), 2)) == ["leg_press", "cable_row"]
        assert codes(choose_lifts(kit, NONE, ("hip",), 2)) == ["leg_press", "cable_side_leg"]

    def test_the_aim_decides_between_equals(self):
        push = [e for e in choose_lifts(EVERYTHING, NONE, ("spine",), 5) if "spine" in e.loads]
        assert "dumbbell_overhead_press" in codes(push)

    def test_a_fragile_spine_gets_none_of_what_it_must_not_do(self):
        lifts = choose_lifts(EVERYTHING, SPARE_SPINE_BARS, ("spine",), 6)
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


class TestImpactLadder:
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
            assert EXERCISES[code].peak_bw_source.startswith(honest)

    def test_group_c_walks_only(self):
        """No more than brisk walking with vertebral or several low-trauma fractures:
        Brooke-Wavell et al. 2022."""
        assert codes(impact_ladder(1.5)) == ["brisk_walk"]
        assert impact_ladder(1.49) == ()

    def test_between_walking_and_the_first_counted_rung_it_is_still_walking(self):
        assert codes(impact_ladder(1.9)) == ["brisk_walk"]

    def test_above_walking_it_starts_at_two_or_less(self):
        for cap_bw in (2.0, 3.0, 4.0):
            rungs = impact_ladder(cap_bw)
            assert rungs[0].peak_bw <= 2.0
            assert all(rung.counted for rung in rungs)

    @given(st.floats(0, 10))
    def test_rising_and_never_over_the_cap(self, cap_bw):
        forces = [rung.peak_bw for rung in impact_ladder(cap_bw)]
        assert forces == sorted(set(forces))
        assert all(force <= cap_bw for force in forces)

    def test_the_cap_is_inside(self):
        assert "stamp" in codes(impact_ladder(3.08))
        assert "stamp" not in codes(impact_ladder(3.0))
        assert impact_ladder(4.0)[-1].code == "small_jump"

    def test_group_b_never_hops_or_jumps(self):
        assert not [e.code for e in impact_ladder(3.0) if "jump" in e.bars]

    def test_what_is_never_drafted_is_above_every_ceiling_or_says_why(self):
        never = {e.code for e in of(Modality.IMPACT) if not e.drafted}
        assert never == {"march", "one_leg_hop", "firm_stamp", "heel_drop", "star_jump"}
        assert not never & set(codes(impact_ladder(100)))

    def test_equipment_and_bars_are_heeded_when_given(self):
        assert "step_down_low" in codes(impact_ladder(4.0))
        assert "step_down_low" not in codes(impact_ladder(4.0, NONE))
        assert "held_jump" not in codes(impact_ladder(4.0, NONE, frozenset({"jump"})))
        assert impact_ladder(2.0, NONE)[0].code == "soft_heel_raise"


class TestBalanceRungs:
    def test_six_to_eight_rungs_with_two_each(self):
        assert 6 <= BALANCE_RUNGS <= 8
        for n in range(1, BALANCE_RUNGS + 1):
            assert len(balance_rung(n)) == 2

    def test_only_balance_has_rungs(self):
        assert all((e.rung is not None) == (e.modality == Modality.BALANCE) for e in ALL)

    def test_holds_are_five_to_ten_seconds(self):
        """Holds of 5 to 10 s: common practice."""
        holds = [e.hold_s for e in of(Modality.BALANCE) if e.hold_s]
        assert holds
        assert set(holds) <= {5, 10}

    def test_harder_is_never_a_lower_rung(self):
        for exercise in of(Modality.BALANCE):
            if exercise.harder:
                assert EXERCISES[exercise.harder].rung >= exercise.rung

    @pytest.mark.parametrize("n", [0, BALANCE_RUNGS + 1])
    def test_no_such_rung(self, n):
        with pytest.raises(ValueError, match="balance rung"):
            balance_rung(n)


class TestPostureSet:
    def test_back_endurance_and_hip_hinge_lead(self):
        assert codes(posture_set(True, 2)) == ["lying_back_press", "hip_hinge"]
        assert codes(posture_set(False, 2)) == ["prone_lift", "hip_hinge"]

    def test_a_spared_spine_gets_only_what_is_fit_for_it(self):
        assert all(exercise.fragile_spine for exercise in posture_set(True, 99))

    @pytest.mark.parametrize("spare", [True, False])
    def test_all_that_are_drafted_and_nothing_that_can_be_barred(self, spare):
        expected = {
            e.code for e in of(Modality.POSTURE) if e.drafted and (e.fragile_spine or not spare)
        }
        chosen = posture_set(spare, 99)
        assert set(codes(chosen)) == expected
        assert len(chosen) == len(expected)
        assert not [e.code for e in chosen if e.bars or e.equipment or e.on_floor]

    def test_a_count_below_one_is_refused(self):
        with pytest.raises(ValueError, match="count of posture"):
            posture_set(False, 0)
