import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.declared import Facts, Fracture, Medicine, Person, Scan
from patients.facts.partial_dates import Told
from patients.measured.density import (
    NHANES_III_FEMALE,
    SITES,
    Reference,
    asked_of_newest,
    computed_t,
    counts_as_low_trauma,
    density,
    one_decimal,
    score_slips,
    scores_read,
)

DAY = dt.date(2026, 3, 2)


def person(age=66, sex="female", menopause="after"):
    return Person(born=dt.date(2026 - age, 1, 1), sex=sex, menopause=menopause)


def scan(site="total_hip", t=None, z=None, bmd=None, on="2026-01-20"):
    return Scan(date=dt.date.fromisoformat(on), site=site, t=t, z=z, bmd_g_cm2=bmd)


def facts(*scans, who=None, fractures=None):
    return Facts(as_of=DAY, person=who or person(), scans=scans, fractures=fractures)


@pytest.mark.parametrize(
    "age, sex, menopause, by_t",
    [
        (66, "female", "after", True),
        (47, "female", "transition", True),
        (38, "female", "after", True),
        (38, "female", "transition", True),
        (54, "female", "before", False),
        (44, "female", None, False),
        (45, "female", None, True),
        (44, "female", "not_applicable", False),
        (45, "female", "not_applicable", True),
        (49, "male", None, False),
        (50, "male", None, True),
        (50, "male", "not_applicable", True),
        (49, "male", "after", False),
    ],
)
def test_who_is_read_by_t(age, sex, menopause, by_t):
    # ISCD positions; the age for an unknown menopause is a project choice
    read = ("t",) if by_t else ("z",)
    assert scores_read(facts(who=person(age, sex, menopause))) == read


def test_either_score_is_read_where_only_the_year_of_birth_is_known():
    born_1976 = Person(born=Told(1976, 1, 1, "year"), sex="male")
    assert scores_read(facts(who=born_1976)) == ("z", "t")
    assert scores_read(facts(who=Person(born=Told(1975, 1, 1, "year"), sex="male"))) == ("t",)


@pytest.mark.parametrize(
    "on, steroid, category",
    [
        ("2023-03-02", None, "normal"),
        ("2023-03-01", None, "unknown"),
        ("2025-03-02", True, "normal"),
        ("2025-03-01", True, "unknown"),
        ("2025-03-01", False, "normal"),
    ],
)
def test_old_scan_never_says_that_all_is_well(on, steroid, category):
    # 36 months, 12 on a glucocorticoid: project choice
    known = facts(scan(t=-0.5, on=on))
    known = replace(known, medicines={"glucocorticoid": Medicine(answer=steroid)})
    found = density(known)
    assert found.category == category
    assert found.too_old is (category == "unknown")


def test_old_scan_is_read_where_it_is_low():
    assert density(facts(scan(t=-2.5, on="2015-01-01"))).category == "osteoporosis"
    assert density(facts(scan(t=-2.4, on="2015-01-01"))).category == "unknown"
    young = person(30, menopause="before")
    assert density(facts(scan(z=-2.0, on="2015-01-01"), who=young)).score == -2.0
    assert density(facts(scan(z=-1.9, on="2015-01-01"), who=young)).score is None


def test_low_t_is_told_where_z_is_read():
    young = person(30, menopause="before")
    assert density(facts(scan(t=-2.5, z=-1.0), who=young)).low_t == -2.5
    assert density(facts(scan(t=-2.4, z=-1.0), who=young)).low_t is None
    assert density(facts(scan(t=-2.5, z=-1.0))).low_t is None


@pytest.mark.parametrize(
    "t, category",
    [
        (0.3, "normal"),
        (-1.0, "normal"),
        (-1.1, "low_bone_mass"),
        (-2.4, "low_bone_mass"),
        (-2.5, "osteoporosis"),
        (-4.0, "osteoporosis"),
    ],
)
def test_category_by_t(t, category):
    # WHO criteria
    found = density(facts(scan(t=t)))
    assert (found.category, found.score, found.by, found.site) == (category, t, "t", "total_hip")


@pytest.mark.parametrize(
    "z, category",
    [(-1.9, "within_expected_range"), (-2.0, "below_expected_range")],
)
def test_category_by_z(z, category):
    # ISCD positions
    found = density(facts(scan(z=z), who=person(35, menopause="before")))
    assert (found.category, found.score, found.by) == (category, z, "z")


# NHANES III women: Looker 1998, as quoted by public code; categories: WHO.
@pytest.mark.parametrize(
    "bmd, site, t, category",
    [
        (0.558, "femoral_neck", -2.50, "osteoporosis"),
        (0.738, "femoral_neck", -1.00, "normal"),
        (0.737, "femoral_neck", -1.008, "normal"),
        (0.620, "femoral_neck", -1.983, "low_bone_mass"),
        (0.560, "femoral_neck", -2.483, "osteoporosis"),
        (0.637, "total_hip", -2.50, "osteoporosis"),
        (0.820, "total_hip", -1.00, "normal"),
    ],
)
def test_t_of_a_hip_density_and_its_category(bmd, site, t, category):
    computed = computed_t(bmd, site)
    assert computed == pytest.approx(t, abs=0.0005)
    assert density(facts(scan(site, t=computed))).category == category


def test_man_is_read_by_the_female_reference():
    # ISCD 2023: one female reference for all; the male mean and SD would give -2.29
    assert computed_t(0.620, "femoral_neck") == pytest.approx(-1.98, abs=0.005)
    assert Reference(0.934, 0.137).t(0.620) == pytest.approx(-2.29, abs=0.005)


# Mean, SD and both cuts as printed: Biol Direct 2025 s13062-025-00627-w, table 1.
@pytest.mark.parametrize(
    "mean, sd, normal, osteoporosis",
    [
        (0.969, 0.144, 0.825, 0.609),
        (0.893, 0.137, 0.756, 0.551),
        (0.960, 0.128, 0.832, 0.640),
        (1.086, 0.121, 0.965, 0.784),
    ],
)
def test_cuts_of_a_reference(mean, sd, normal, osteoporosis):
    reference = Reference(mean, sd)
    assert reference.bmd_g_cm2(-1.0) == pytest.approx(normal, abs=0.000501)
    assert reference.bmd_g_cm2(-2.5) == pytest.approx(osteoporosis, abs=0.000501)


@pytest.mark.parametrize("site", ["lumbar_spine", "distal_third_radius"])
def test_no_t_is_worked_out_where_each_maker_has_its_own_reference(site):
    assert computed_t(0.9, site) is None


def test_premenopausal_woman_gets_no_osteoporosis_label():
    # ISCD positions
    found = density(facts(scan(t=-2.9, z=-2.1), who=person(35, menopause="before")))
    assert (found.category, found.score) == ("below_expected_range", -2.1)


def test_man_of_48_is_read_by_z():
    # ISCD positions
    found = density(facts(scan(t=-2.7, z=-1.8), who=person(48, "male", None)))
    assert (found.category, found.score, found.by) == ("within_expected_range", -1.8, "z")


def test_lowest_of_the_newest_scan_of_each_site_decides():
    older = scan("lumbar_spine", t=-3.1, on="2023-01-20")
    newer = scan("lumbar_spine", t=-2.0, on="2026-01-20")
    hip = scan("total_hip", t=-2.3, on="2024-05-05")
    found = density(facts(older, newer, hip))
    assert (found.category, found.scan) == ("low_bone_mass", hip)


def test_newest_scan_is_the_newest_that_reports_the_score():
    without_t = scan(bmd=0.65, z=-0.2, on="2026-01-20")
    with_t = scan(t=-2.6, on="2024-01-20")
    assert density(facts(without_t, with_t)).scan is with_t


def test_lowest_of_several_on_the_newest_day():
    left, right = scan(t=-1.9), scan(t=-2.6)
    assert density(facts(left, right)).scan is right


@pytest.mark.parametrize("first", range(4))
def test_tie_goes_by_the_order_of_the_sites(first):
    tied = [scan(site, t=-2.2) for site in reversed(SITES[first:])]
    assert density(facts(*tied)).site == SITES[first]


@pytest.mark.parametrize("site", SITES)
def test_each_of_the_four_sites_can_decide(site):
    others = [scan(other, t=0.0) for other in SITES if other != site]
    assert density(facts(*others, scan(site, t=-2.6))).category == "osteoporosis"


@pytest.mark.parametrize("scans", [(), (scan(bmd=0.7),), (scan(z=-2.4),)])
def test_no_score_of_the_right_kind_is_unknown(scans):
    found = density(facts(*scans))
    assert (found.category, found.site, found.score, found.scan) == ("unknown", None, None, None)


def test_scans_not_asked_for_are_unknown():
    assert density(Facts(as_of=DAY, person=person())).category == "unknown"


@pytest.mark.parametrize(
    "site, low_trauma, category",
    [
        ("wrist", True, "severe_osteoporosis"),
        ("wrist", None, "severe_osteoporosis"),
        ("wrist", False, "osteoporosis"),
        ("finger_toe_face", True, "osteoporosis"),
        ("other", True, "severe_osteoporosis"),
    ],
)
def test_severe_is_osteoporosis_with_a_low_trauma_fracture(site, low_trauma, category):
    # WHO criteria; an unknown force counts as low (project choice)
    broken = (Fracture(site=site, low_trauma=low_trauma),)
    assert density(facts(scan(t=-2.5), fractures=broken)).category == category


def test_fracture_does_not_make_low_bone_mass_severe():
    broken = (Fracture(site="wrist", low_trauma=True),)
    assert density(facts(scan(t=-2.4), fractures=broken)).category == "low_bone_mass"


def test_which_fractures_count():
    assert counts_as_low_trauma(Fracture(site="hip"))
    assert not counts_as_low_trauma(Fracture(site="hip", low_trauma=False))
    assert not counts_as_low_trauma(Fracture(site="finger_toe_face", low_trauma=True))


@pytest.mark.parametrize("t, read", [(-2.45, -2.5), (-2.44, -2.4), (2.45, 2.5), (-0.04, 0.0)])
def test_one_decimal(t, read):
    assert one_decimal(t) == read


def test_shown_score_and_category_agree():
    # a T given with two decimals is read at the one it is reported with
    found = density(facts(scan(t=-2.46)))
    assert (found.score, found.category) == (-2.5, "osteoporosis")


RANK = ["normal", "low_bone_mass", "osteoporosis", "severe_osteoporosis"]


@given(st.lists(st.tuples(st.sampled_from(SITES), st.floats(-6, 3)), min_size=1), st.data())
def test_lower_score_never_gives_a_better_category(pairs, data):
    scans = [scan(site, t=t) for site, t in pairs]
    place = data.draw(st.integers(0, len(scans) - 1))
    lower = [*scans]
    lower[place] = scan(pairs[place][0], t=pairs[place][1] - data.draw(st.floats(0, 3)))
    before, after = density(facts(*scans)), density(facts(*lower))
    assert RANK.index(after.category) >= RANK.index(before.category)


def test_values_that_agree_raise_no_question():
    assert score_slips(scan("femoral_neck", bmd=0.620, t=-2.0, z=-0.5)) == ()
    assert score_slips(scan("femoral_neck", t=-2.0)) == ()
    assert score_slips(scan("femoral_neck", bmd=0.620)) == ()
    assert score_slips(scan("lumbar_spine", bmd=0.7, t=-2.0)) == ()


def test_lost_minus_sign_is_asked_about():
    (question,) = score_slips(scan("femoral_neck", bmd=0.620, t=2.0))
    assert "minus sign missing" in question


def test_lost_minus_sign_shows_without_a_density():
    (question,) = score_slips(scan("lumbar_spine", t=2.5, z=-0.6))
    assert "T 2.5 is far above Z \u22120.6" in question


@pytest.mark.parametrize("t, z, asked", [(0.5, -0.5, 0), (0.6, -0.5, 1), (-2.5, -0.6, 0)])
def test_t_far_above_z_is_asked_about(t, z, asked):
    assert len(score_slips(scan("lumbar_spine", t=t, z=z))) == asked


@pytest.mark.parametrize(
    "site, bmd, t, other",
    [
        ("femoral_neck", 0.681, -2.1, "total hip"),
        ("total_hip", 0.681, -1.5, "femoral neck"),
    ],
)
def test_site_slip_is_asked_about(site, bmd, t, other):
    (question,) = score_slips(scan(site, bmd=bmd, t=t))
    assert question == f"These values fit the {other}. Is the site right?"


@pytest.mark.parametrize("t, asked", [(-2.2, False), (-2.3, True), (-1.7, False), (-1.6, True)])
def test_t_apart_from_its_density_is_asked_about(t, asked):
    # 0.620 at the neck is T -1.983; more than 0.3 apart is asked about (project choice)
    questions = score_slips(scan("femoral_neck", bmd=0.620, t=t))
    assert bool(questions) is asked
    if asked:
        assert "would give T \u22122.0" in questions[0]


def test_positive_t_of_a_dense_hip_is_no_sign_slip():
    assert score_slips(scan("total_hip", bmd=1.15, t=1.7)) == ()
    (question,) = score_slips(scan("total_hip", bmd=0.93, t=1.7))
    assert "Check both" in question


def test_the_newest_scan_of_each_site_is_asked_about_by_name():
    """A lost minus sign is not the lowest score, so that the one that decides is not enough."""
    old = scan("lumbar_spine", t=2.5, z=-0.6, on="2020-01-01")
    found = asked_of_newest(facts(old, scan("lumbar_spine", t=-1.5), scan("total_hip", t=2, z=0)))
    assert len(found) == 1
    assert found[0].startswith("Total hip: T 2.0 is far above Z 0.0.")
    assert asked_of_newest(facts()) == ()


def test_references_cover_the_hip_only():
    assert set(NHANES_III_FEMALE) == {"femoral_neck", "total_hip"}


@pytest.mark.parametrize(
    ("t", "others", "asked"),
    [
        (2.7, (), "Plus 2.7? Is its minus sign missing?"),
        (1.1, (), "Plus 1.1?"),
        (1.0, (), ""),
        (0.9, (-1.0, -2.4), "every other site is low"),
        (0.9, (-0.9, -2.4), ""),
        (-2.7, (-2.4,), ""),
        (0.0, (-2.4,), ""),
    ],
)
def test_a_t_without_its_sign_is_asked_about_where_nothing_bears_it_out(t, others, asked):
    sites = [scan(site, t=other) for site, other in zip(SITES[1:], others, strict=False)]
    found = " ".join(score_slips(scan("lumbar_spine", t=t), sites))
    assert (asked in found) if asked else found == ""


def test_a_t_that_density_or_z_bears_out_is_not_asked_about():
    low = (scan("femoral_neck", t=-2.0),)
    assert score_slips(scan("lumbar_spine", t=2.7, z=3.1), low) == ()
    assert score_slips(scan("total_hip", bmd=1.272, t=2.7), low) == ()
    assert score_slips(scan("lumbar_spine", bmd=1.4, t=2.7), low) != ()
    other_day = (scan("femoral_neck", t=-2.0, on="2025-01-20"),)
    assert score_slips(scan("lumbar_spine", t=0.5), other_day) == ()
