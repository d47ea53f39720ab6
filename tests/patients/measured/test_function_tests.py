import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.codes import EITHER
from patients.facts.declared import Tests as Taken
from patients.measured.function_norms import norm
from patients.measured.function_tests import (
    CHAIR_STANDS,
    LABELS,
    Sppb,
    abnormal_words,
    against,
    chair_points,
    chair_stand_cut,
    change,
    cuts,
    gait_m_s,
    measures,
    postural_drop,
    short_fes_i,
    sppb,
    walk_points,
)


def abnormal(tests, age, sex):
    return abnormal_words(tests, age, sex, sppb(tests).total, tests)


def met(age=72, sex="female", **taken):
    held = against(Taken(**taken), cuts(age, sex))
    return {(a.cut.measure, a.cut.sign, a.cut.limit): a.met for a in held}


@pytest.mark.parametrize(
    "seconds, points", [(4.81, 4), (4.82, 3), (6.20, 3), (6.21, 2), (8.70, 2), (8.71, 1)]
)
def test_points_of_the_4_m_walk(seconds, points):
    # public wiki of a UK follow-up study, SPPB page
    assert walk_points(seconds) == points


@pytest.mark.parametrize(
    "seconds, points", [(3.61, 4), (3.62, 3), (4.65, 3), (4.66, 2), (6.52, 2), (6.53, 1)]
)
def test_points_of_the_3_m_walk(seconds, points):
    # from memory; printed under a 4 m heading by PMC3032402
    assert walk_points(seconds, metres=3) == points


@pytest.mark.parametrize("metres", [2.4, 5, 6])
def test_walk_over_another_distance_is_refused(metres):
    with pytest.raises(ValueError, match="over 3 or 4 m"):
        walk_points(5.0, metres)


@pytest.mark.parametrize(
    "seconds, points",
    [
        (11.19, 4),
        (11.20, 3),
        (13.69, 3),
        (13.70, 2),
        (16.69, 2),
        (16.70, 1),
        (60.0, 1),  # from memory
        (60.1, 0),
    ],
)
def test_points_of_five_stands(seconds, points):
    # the same wiki at one decimal; two-decimal edges from memory
    assert chair_points(seconds) == points


@pytest.mark.parametrize(
    "held, points",
    [
        ({"side_by_side_s": 9.9}, 0),
        ({"side_by_side_s": 10, "semi_tandem_s": 9.9}, 1),
        ({"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 2.9}, 2),
        ({"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 3}, 3),
        ({"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 9.9}, 3),
        ({"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 10}, 4),
        ({"semi_tandem_s": 10, "tandem_s": 4}, 3),
        ({"tandem_s": 10}, 4),
        ({"tandem_s": 5}, None),
        ({"semi_tandem_s": 5}, None),
        ({"side_by_side_s": 10, "semi_tandem_s": 10}, None),
        ({}, None),
        ({"unable": ("side_by_side_s",)}, 0),
        ({"side_by_side_s": 10, "unable": ("semi_tandem_s",)}, 1),
        ({"side_by_side_s": 10, "semi_tandem_s": 10, "unable": ("tandem_s",)}, 2),
    ],
)
def test_points_of_balance(held, points):
    # the same wiki
    assert sppb(Taken(**held)).balance == points


def test_sppb_adds_three_parts():
    # points as above; 8 or less is low by EWGSOP2
    found = sppb(
        Taken(side_by_side_s=10, semi_tandem_s=10, tandem_s=5, walk_4m_s=5.0, five_stands_s=14.0)
    )
    assert found == Sppb(balance=3, gait=3, chair=2)
    assert (found.total, found.band) == (8, "low")


@pytest.mark.parametrize("parts", [(None, 3, 3), (3, None, 3), (3, 3, None)])
def test_sppb_with_a_part_not_tested_has_no_total(parts):
    assert (Sppb(*parts).total, Sppb(*parts).band) == (None, None)


def test_part_not_possible_counts_nought():
    found = sppb(Taken(unable=("walk_4m_s", "five_stands_s", "side_by_side_s")))
    assert found.total == 0
    assert sppb(Taken()).gait is None


@pytest.mark.parametrize("total, band", [(8, "low"), (9, "borderline"), (10, "not low")])
def test_sppb_bands(total, band):
    # EWGSOP2 (8); s12877-019-1234-8 (9)
    assert Sppb(4, total - 4, 0).band == band


@pytest.mark.parametrize("seconds, speed", [(5.0, 0.8), (4.0, 1.0), (None, None)])
def test_gait_speed(seconds, speed):
    assert gait_m_s(Taken(walk_4m_s=seconds)) == speed


@pytest.mark.parametrize("seconds, at_risk", [(11.9, False), (12.0, True)])
def test_up_and_go_by_steadi(seconds, at_risk):
    assert met(up_and_go_s=seconds)[("up_and_go_s", ">=", 12)] is at_risk


@pytest.mark.parametrize(
    "seconds, over",
    [
        (14, (True, True, False, False)),
        (13.5, (True, False, False, False)),
        (15, (True, True, False, False)),
        (15.1, (True, True, True, False)),
        (19.9, (True, True, True, False)),
        (20, (True, True, True, True)),
    ],
)
def test_up_and_go_by_four_sources(seconds, over):
    # STEADI; PMC6521916; World Falls Guidelines 2022; EWGSOP2
    found = met(up_and_go_s=seconds)
    keys = ((">=", 12), (">", 13.5), (">", 15), (">=", 20))
    assert tuple(found[("up_and_go_s", *key)] for key in keys) == over


@pytest.mark.parametrize(
    "sex, age, stands, below",
    [
        ("female", 72, 10, False),
        ("female", 72, 9, True),
        ("male", 86, 7, True),
        ("female", 86, 8, False),
        ("male", 60, 13, True),
        ("male", 60, 14, False),
        ("female", 94, 3, True),
        ("female", 94, 4, False),
    ],
)
def test_chair_stands_below_the_table(sex, age, stands, below):
    # STEADI, CDC
    found = abnormal(Taken(chair_stands_30s=stands), age, sex)
    assert bool(found) is below


@pytest.mark.parametrize("age", [59, 95])
def test_first_and_last_row_of_chair_stands_hold_beyond_the_table(age):
    row = {59: 60, 95: 90}[age]
    assert chair_stand_cut(age, "male") == CHAIR_STANDS["male"][row]
    assert abnormal(Taken(chair_stands_30s=0), age, "male") != ()


@pytest.mark.parametrize("sex", ["male", "female"])
def test_table_of_chair_stands_covers_every_age_and_never_rises(sex):
    table = [chair_stand_cut(age, sex) for age in range(60, 95)]
    assert table == sorted(table, reverse=True)
    assert set(table) == set(CHAIR_STANDS[sex].values())


@pytest.mark.parametrize(
    "stance, words",
    [
        ("tandem_s", "tandem: 9.9 s (under 10 s)"),
        ("semi_tandem_s", "semi-tandem: 9.9 s (under 10 s)"),
        ("side_by_side_s", "feet side by side: 9.9 s (under 10 s)"),
    ],
)
def test_stance_under_ten_seconds_is_abnormal(stance, words):
    # STEADI for tandem; the easier stances are a project choice
    assert abnormal(Taken(**{stance: 9.9}), 66, "female") == (words,)
    assert abnormal(Taken(**{stance: 10}), 66, "female") == ()


@pytest.mark.parametrize(
    "seconds, words",
    [(4.99, ()), (5.0, ("gait over 4 m: 0.80 m/s (0.8 m/s or less)",))],
)
def test_slow_gait_is_abnormal(seconds, words):
    # EWGSOP2; World Falls Guidelines 2022
    assert abnormal(Taken(walk_4m_s=seconds), 66, "female") == words


def test_gait_just_over_the_cut_is_not_shown_as_the_cut():
    (held, *_) = against(Taken(walk_4m_s=4.99), cuts(66, "female"))
    assert (held.met, held.shown) == (False, "0.802")


@pytest.mark.parametrize(
    "sex, kg, low",
    [("female", 15.9, True), ("female", 16, False), ("male", 26.9, True), ("male", 27, False)],
)
def test_grip(sex, kg, low):
    # EWGSOP2
    limit = 27 if sex == "male" else 16
    assert met(sex=sex, grip_kg=kg)[("grip_kg", "<", limit)] is low


@pytest.mark.parametrize("seconds, low", [(15.0, False), (15.1, True)])
def test_five_stands(seconds, low):
    # EWGSOP2
    assert met(five_stands_s=seconds)[("five_stands_s", ">", 15)] is low


@pytest.mark.parametrize("seconds, short", [(4.9, True), (5, False)])
def test_one_leg(seconds, short):
    # Bohannon 2006
    assert met(one_leg_s=seconds)[("one_leg_s", "<", 5)] is short


@pytest.mark.parametrize(
    "taken",
    [{"five_stands_s": 15}, {"one_leg_s": 5}, {"grip_kg": 5}],
)
def test_tests_shown_without_a_rule_are_not_abnormal_for_falls(taken):
    assert abnormal(Taken(**taken), 72, "female") == ()


@pytest.mark.parametrize(
    "lying, standing, drops",
    [
        ((150, 80), (130, 75), True),  # 20 systolic
        ((150, 80), (132, 72), False),  # 18 and 8
        ((150, 80), (131, 71), False),  # 19 and 9
        ((150, 80), (149, 70), True),  # 10 diastolic
        ((130, 75), (150, 80), False),
        (None, (130, 75), None),
        ((150, 80), None, None),
    ],
)
def test_fall_of_pressure_on_standing(lying, standing, drops):
    # orthostatic hypotension: 20 systolic or 10 diastolic within 3 minutes
    tests = Taken(resting_bp=lying, standing_bp=standing)
    assert postural_drop(tests) is drops
    assert bool(abnormal(tests, 66, "female")) is bool(drops)


def test_fall_of_pressure_in_words():
    tests = Taken(resting_bp=(150, 80), standing_bp=(130, 75))
    assert abnormal(tests, 66, "female") == (
        "pressure on standing: from 150/80 to 130/75 (a fall of 20/10 or more)",
    )


@pytest.mark.parametrize("test", ["grip_kg", "one_leg_s", "up_and_go_s", "walk_4m_s"])
def test_any_test_not_possible_is_abnormal(test):
    (words,) = abnormal(Taken(unable=(test,)), 66, "female")
    assert words == f"{LABELS[test]}: attempted, not possible"


def test_nothing_tested_is_not_abnormal():
    assert abnormal(Taken(), 72, "female") == ()
    assert against(Taken(), cuts(72, "female")) == ()


def test_several_abnormal_tests_are_all_named():
    tests = Taken(up_and_go_s=12.3, tandem_s=4, chair_stands_30s=9, unable=("one_leg_s",))
    assert abnormal(tests, 72, "female") == (
        "Timed Up and Go: 12.3 s (12 s or more)",
        "tandem: 4.0 s (under 10 s)",
        "chair stands in 30 s: 9 (under 10)",
        "single-leg stance: attempted, not possible",
    )


def test_every_cut_names_its_source_and_a_known_measure():
    for cut in cuts(72, "male"):
        assert cut.source
        assert cut.measure in measures(Taken())
        assert cut.measure in LABELS


WORSE = {
    "up_and_go_s": 1,
    "tandem_s": -1,
    "semi_tandem_s": -1,
    "side_by_side_s": -1,
    "walk_4m_s": 1,
    "chair_stands_30s": -1,
}


@given(
    st.sampled_from(sorted(WORSE)),
    st.floats(2, 50),
    st.floats(0, 30),
    st.integers(40, 99),
    st.sampled_from(["female", "male"]),
)
def test_worse_result_never_becomes_normal(test, value, worse, age, sex):
    tests = Taken(**{test: value})
    later = dataclasses.replace(tests, **{test: max(0, value + WORSE[test] * worse)})
    assert bool(abnormal(later, age, sex)) >= bool(abnormal(tests, age, sex))


@pytest.mark.parametrize(
    "answers, total, band, prorated",
    [
        ([1] * 7, 7, "low", False),  # Kempen 2008: 7 to 28
        ([4] * 7, 28, "high", False),
        ([2, 1, 1, 1, 1, 1, 1], 8, "low", False),  # bands: Delbaere 2010, from memory
        ([2, 2, 1, 1, 1, 1, 1], 9, "moderate", False),
        ([2, 2, 2, 2, 2, 2, 1], 13, "moderate", False),
        ([2] * 7, 14, "high", False),
        ([1, 1, 1, 1, 1, 1, None], 7, "low", True),
        ([2, 1, 1, 1, 1, 1, None], 9, "moderate", True),  # 7 x 7 / 6 = 8.17, rounded up
        ([None, 2, 2, 2, 2, 2, 2], 14, "high", True),
    ],
)
def test_short_fes_i(answers, total, band, prorated):
    found = short_fes_i(answers)
    assert (found.total, found.band, found.prorated) == (total, band, prorated)


def test_short_fes_i_with_two_blanks_has_no_total():
    assert short_fes_i([1, 1, 1, 1, 1, None, None]) is None


@pytest.mark.parametrize("answers", [[1] * 6, [1] * 8, [0] + [1] * 6, [5] + [1] * 6, []])
def test_short_fes_i_refuses_other_answers(answers):
    with pytest.raises(ValueError, match="seven answers from 1 to 4"):
        short_fes_i(answers)


@pytest.mark.parametrize(
    "measure, before, after, verdict",
    [
        ("gait_m_s", 0.75, 0.85, "better"),  # Perera 2006: 0.10 substantial
        ("gait_m_s", 0.75, 0.84, "no_clear_change"),
        ("gait_m_s", 0.85, 0.75, "worse"),
        ("sppb", 8, 9, "better"),  # Perera 2006: 1.0 substantial
        ("sppb", 9, 9, "no_clear_change"),
        ("grip_kg", 18, 22, "no_clear_change"),  # Bohannon 2019: 5.0 to 6.5 kg
        ("grip_kg", 18, 23, "better"),
        ("up_and_go_s", 14, 12, "better"),  # PMC6521916: about 2 s
        ("up_and_go_s", 12, 14, "worse"),
        ("up_and_go_s", 14, 12.1, "no_clear_change"),
        ("chair_stands_30s", 9, 11, "better"),  # from memory
        ("chair_stands_30s", 9, 10, "no_clear_change"),
    ],
)
def test_change_that_counts(measure, before, after, verdict):
    found = change(measure, before, after)
    assert (found.verdict, found.measure) == (verdict, measure)
    assert found.change == pytest.approx(after - before)


def test_one_leg_stance_is_too_noisy_for_a_verdict():
    # Goldberg 2011, from memory: 24 s
    assert change("one_leg_s", 2, 20) is None


class TestTheTablesOfAnotherSex:
    """Where sex and gender differ: the table's own sex, asked; sources as in the tables above."""

    def test_the_stands_and_the_grip_of_the_table_that_was_asked_for(self):
        # STEADI, CDC, 65 to 69: women 11, men 12; EWGSOP2 2019: women 16 kg, men 27 kg.
        for sex, stands, grip in (("female", 11, 16), ("male", 12, 27)):
            held = {cut.measure: cut.limit for cut in cuts(66, sex)}
            assert (held["chair_stands_30s"], held["grip_kg"]) == (stands, grip)

    def test_where_it_is_not_settled_the_more_careful_of_both_counts(self):
        for age in range(18, 105):
            both = [chair_stand_cut(age, sex) for sex in ("female", "male")]
            assert chair_stand_cut(age, EITHER) == max(both)
        held = {cut.measure: cut.limit for cut in cuts(66, EITHER)}
        assert held["grip_kg"] == 27
        assert norm("chair_stands_30s", 66, EITHER) is None
