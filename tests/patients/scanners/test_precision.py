import datetime as dt
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from patients.facts.declared import Scan
from patients.scanners.precision import (
    CLINIC_SOURCE,
    DEFAULT_SOURCE,
    OTHER_VERTEBRAE,
    Lsc,
    chi_square_quantile,
    compare,
    least_significant,
    lsc,
    per_year,
    percent_change,
    precision,
    verdict,
)
from tests.each import each

LSC_28 = Lsc(CLINIC_SOURCE, g_cm2=0.028)


def scan(bmd, on="2024-01-15", site="total_hip", scanner="A"):
    return Scan(date=dt.date.fromisoformat(on), site=site, bmd_g_cm2=bmd, scanner=scanner)


@pytest.mark.parametrize(
    "error, confidence, least",
    [
        (0.008, 95, 0.022),  # Nelson 2010, printed
        (0.011, 95, 0.030),  # Nelson 2010 prints 0.031 from an unrounded error
        (0.015, 95, 0.042),  # arithmetic
        (0.015, 80, 0.027),  # teaching page on the LSC, printed
    ],
)
def test_lsc_of_a_precision_error(error, confidence, least):
    assert round(least_significant(error, confidence), 3) == least


@pytest.mark.parametrize(
    "site, least", [("lumbar_spine", 5.3), ("total_hip", 5.0), ("femoral_neck", 6.9)]
)
def test_default_lsc(site, least):
    # ISCD, from memory
    default = lsc(site)
    assert round(default.percent, 1) == least
    assert default.source == DEFAULT_SOURCE


def test_factor_is_the_normal_quantile_times_the_root_of_two():
    # ISCD glossary: 1.96 x sqrt 2; the 80 % factor the same way
    assert stats.norm.ppf(0.975) * math.sqrt(2) == pytest.approx(2.77, abs=0.005)
    assert stats.norm.ppf(0.90) * math.sqrt(2) == pytest.approx(1.81, abs=0.005)


def test_clinic_lsc_goes_before_the_default():
    own = lsc("total_hip", {"total_hip": 0.010})
    assert (own.g_cm2, own.percent, own.source) == (pytest.approx(0.0277), None, CLINIC_SOURCE)
    assert lsc("femoral_neck", {"total_hip": 0.010}).source == DEFAULT_SOURCE


def test_forearm_has_no_default():
    assert lsc("distal_third_radius") is None
    assert lsc("distal_third_radius", {"distal_third_radius": 0.008}).source == CLINIC_SOURCE


def test_lsc_in_percent_is_turned_to_density_at_the_baseline():
    assert Lsc("x", percent=5.0).at(0.8) == pytest.approx(0.040)
    assert LSC_28.at(0.8) == 0.028


def test_precision_of_thirty_pairs():
    # ISCD formula; 15 pairs 0.010 apart and 15 pairs 0.020 apart, arithmetic
    pairs = [(0.900, 0.910)] * 15 + [(0.900, 0.920)] * 15
    study = precision(pairs)
    assert study.rms_sd_g_cm2 == pytest.approx(0.01118, abs=5e-6)
    assert round(least_significant(study.rms_sd_g_cm2), 4) == 0.0310
    assert (study.freedom, study.people, study.enough) == (30, 30, True)


def test_pairs_follow_the_short_formula():
    # algebra of the ISCD formula: sqrt(sum d^2 / 2n)
    pairs = [(0.80, 0.81), (0.70, 0.73), (0.95, 0.94)]
    short = math.sqrt((0.01**2 + 0.03**2 + 0.01**2) / 6)
    assert precision(pairs).rms_sd_g_cm2 == pytest.approx(short)


@pytest.mark.parametrize("people, enough", [(14, False), (15, True)])
def test_fifteen_people_three_times_are_enough(people, enough):
    # ISCD: 30 degrees of freedom
    study = precision([(0.80, 0.81, 0.82)] * people)
    assert (study.freedom, study.enough) == (2 * people, enough)
    assert study.rms_sd_g_cm2 == pytest.approx(0.01)


def test_unequal_repeats_are_pooled_by_freedom():
    study = precision([(0.80, 0.82), (0.80, 0.81, 0.82)])
    assert study.freedom == 3
    assert study.rms_sd_g_cm2 == pytest.approx(math.sqrt((0.0002 + 2 * 0.0001) / 3))


def test_cv_is_taken_person_by_person():
    study = precision([(0.50, 0.52), (1.00, 1.04)])
    one, two = 0.02**2 / 2 / 0.51**2, 0.04**2 / 2 / 1.02**2
    assert study.cv_percent == pytest.approx(100 * math.sqrt((one + two) / 2))


@pytest.mark.parametrize("people", [[], [(0.8,)], [(0.8, 0.81), (0.9,)]])
def test_study_without_repeats_is_refused(people):
    with pytest.raises(ValueError, match="two scans of each person"):
        precision(people)


def test_upper_limit_of_27_degrees_of_freedom():
    # Glüer 1995: about 30 % above the error at 90 %
    study = precision([(0.80, 0.81)] * 27)
    assert study.upper_limit_g_cm2() / study.rms_sd_g_cm2 == pytest.approx(1.30, abs=0.01)


@each("freedom", [1, 2, 5, 14, 27, 30, 60, 200])
@each("probability", [0.005, 0.025, 0.05, 0.5, 0.95, 0.995])
def test_chi_square_agrees_with_an_outside_routine(probability, freedom):
    # SciPy
    outside = stats.chi2.ppf(probability, freedom)
    assert chi_square_quantile(probability, freedom) == pytest.approx(outside, rel=1e-9)


@pytest.mark.slow
def test_upper_limit_holds_its_share_of_simulated_studies():
    draw, missed = random.Random(7), 0
    for _ in range(400):
        study = precision([(draw.gauss(0.8, 0.01), draw.gauss(0.8, 0.01)) for _ in range(27)])
        missed += study.upper_limit_g_cm2() < 0.01
    assert 0.02 < missed / 400 < 0.09  # 5 % expected


@pytest.mark.parametrize(
    "last, word",
    [
        (0.828, "gain"),  # equal counts: ISCD glossary
        (0.827, "within_error"),
        (0.800, "within_error"),
        (0.773, "within_error"),
        (0.772, "loss"),
    ],
)
def test_change_against_an_lsc(last, word):
    assert compare(scan(0.800), scan(last, "2026-01-15"), LSC_28).verdict == word


@each("baseline", [x / 1000 for x in range(400, 1300, 7)])
def test_change_equal_to_the_lsc_counts_from_any_baseline(baseline):
    last = round(baseline + 0.028, 3)
    assert compare(scan(baseline), scan(last, "2026-01-15"), LSC_28).verdict == "gain"


def test_default_lsc_is_held_against_the_percent():
    least = lsc("total_hip")  # 4.986 %
    assert compare(scan(0.800), scan(0.840, "2026-01-15"), least).verdict == "gain"
    assert compare(scan(0.800), scan(0.839, "2026-01-15"), least).verdict == "within_error"


def test_change_in_density_percent_and_per_year():
    found = compare(scan(0.815, "1990-05-01"), scan(0.970, "1992-04-29"), LSC_28)
    assert found.days == 729
    assert found.g_cm2 == pytest.approx(0.155)
    assert found.percent == pytest.approx(19.018, abs=5e-4)
    assert found.percent_per_year == pytest.approx(9.529, abs=5e-4)
    assert found.lsc_g_cm2 == 0.028


def test_change_of_another_length():
    assert percent_change(0.777, 0.823) == pytest.approx(5.920, abs=5e-4)
    assert per_year(percent_change(0.777, 0.823), 712) == pytest.approx(3.037, abs=5e-4)


def test_earlier_scan_is_the_baseline_whatever_the_order():
    earlier, later = scan(0.800), scan(0.850, "2026-01-15")
    assert compare(later, earlier, LSC_28) == compare(earlier, later, LSC_28)
    assert compare(later, earlier, LSC_28).verdict == "gain"


def test_two_scans_of_one_day_have_no_yearly_change():
    found = compare(scan(0.800), scan(0.850), LSC_28)
    assert (found.days, found.percent_per_year) == (0, None)


@pytest.mark.parametrize(
    "one, other, reason",
    [
        (scan(0.8), scan(0.9, scanner="B"), "two different scanners"),  # ISCD, from memory
        (scan(0.8), scan(0.9, scanner=None), "scanner of a scan is not recorded"),
        (scan(0.8, scanner=None), scan(0.9, scanner=None), "scanner of a scan is not recorded"),
        (scan(0.8), scan(0.9, scanner="  "), "scanner of a scan is not recorded"),
        (scan(0.8), scan(0.9, site="femoral_neck"), "two different sites"),
        (scan(0.8), scan(None), "density in g/cm² is missing"),
    ],
)
def test_scans_that_cannot_be_compared_get_no_verdict(one, other, reason):
    found = compare(one, other, LSC_28)
    assert found.verdict == "not_comparable"
    assert reason in " ".join(found.reasons)
    assert (found.g_cm2, found.percent, found.percent_per_year) == (None, None, None)


def test_scanner_names_are_read_without_case_or_space():
    assert compare(scan(0.8, scanner="Room 2"), scan(0.9, scanner="room 2 "), LSC_28).reasons == ()


@pytest.mark.parametrize(
    "site, parts, reasons",
    [
        ("lumbar_spine", ("L1-L4", "L2-L4"), ("The vertebrae differ.",)),
        ("lumbar_spine", ("L1-L4", "l1-l4"), ()),
        ("lumbar_spine", ("L1, L2, L3, L4", "L1, L2, L3, L4"), ()),
        ("lumbar_spine", ("lumbar", "lumbar"), ()),
        # ISCD 2023 (J Clin Densitom 27:101436), abstract: an LSC for each set of vertebrae.
        ("lumbar_spine", ("L2-L4", "L2-L4"), (OTHER_VERTEBRAE,)),
        ("total_hip", ("left", "right"), ("The sides differ.",)),
        ("total_hip", ("left", "left"), ()),
    ],
)
def test_vertebrae_and_sides_must_be_the_same(site, parts, reasons):
    # ISCD, from memory
    found = compare(scan(0.8, site=site), scan(0.9, site=site), LSC_28, parts)
    assert (found.reasons, found.cautions) == (reasons, ())
    assert (found.verdict == "not_comparable") is bool(reasons)


@pytest.mark.parametrize("parts", [(None, None), ("left", None)])
def test_vertebrae_or_sides_not_recorded_are_a_caution(parts):
    found = compare(scan(0.8), scan(0.9), LSC_28, parts)
    assert found.verdict == "gain"
    assert "sides must be the same" in found.cautions[0]


def test_site_without_an_lsc_has_no_verdict():
    one, other = scan(0.6, site="distal_third_radius"), scan(0.7, site="distal_third_radius")
    found = compare(one, other, lsc("distal_third_radius"))
    assert found.verdict == "not_comparable"
    assert "No least significant change" in found.reasons[0]


@given(st.floats(-1, 1), st.floats(0.001, 0.2))
def test_verdict_is_one_sided_and_mirrors(change, least):
    mirror = {"gain": "loss", "loss": "gain", "within_error": "within_error"}
    assert verdict(-change, least) == mirror[verdict(change, least)]
