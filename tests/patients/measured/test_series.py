import datetime as dt

import pytest

from patients.facts.declared import Scan, Turnover
from patients.facts.declared import Tests as Taken
from patients.measured.function_tests import measures
from patients.measured.series import Point, density_series, function_series, marker_series
from patients.measured.turnover import SAME_LABORATORY, MarkerLsc
from patients.scanners.precision import Lsc

LSC_28 = Lsc("clinic", g_cm2=0.028)


def day(year, month=1):
    return dt.date(year, month, 15)


def scan(year, bmd, scanner="A", site="total_hip", month=1):
    return Scan(date=day(year, month), site=site, bmd_g_cm2=bmd, scanner=scanner)


def sample(year, value, unit="ng/L", marker="ctx"):
    return Turnover(date=day(year), marker=marker, value=value, unit=unit)


def test_density_over_time():
    scans = [scan(2024, 0.815), scan(2020, 0.800), scan(2026, 0.829), scan(2022, 0.805)]
    found = density_series([*scans, scan(2026, 0.7, site="femoral_neck")], "total_hip", LSC_28)
    assert found.points == (
        Point(day(2020), 0.800),
        Point(day(2022), 0.805),
        Point(day(2024), 0.815),
        Point(day(2026), 0.829),
    )
    assert found.baseline == Point(day(2020), 0.800)
    assert found.band == pytest.approx((0.772, 0.828))
    assert (found.label, found.unit, found.decimals) == ("total hip", "g/cm²", 3)
    assert (found.against_baseline.since, found.against_baseline.verdict) == (day(2020), "gain")
    assert found.against_baseline.percent == pytest.approx(3.625)
    assert (found.against_last.since, found.against_last.verdict) == (day(2024), "within_error")
    assert "sides must be the same" in found.cautions[0]


def test_another_scanner_starts_a_new_baseline():
    scans = [scan(2020, 0.80, "old"), scan(2022, 0.85, "new"), scan(2024, 0.86, "new")]
    found = density_series(scans, "total_hip", LSC_28)
    assert [p.comparable for p in found.points] == [False, True, True]
    assert found.baseline.on == day(2022)
    assert found.band == pytest.approx((0.822, 0.878))
    assert found.against_baseline.verdict == "within_error"


def test_newest_on_a_new_scanner_has_no_verdict():
    scans = [scan(2020, 0.80, "old"), scan(2022, 0.81, "old"), scan(2024, 0.90, "new")]
    found = density_series(scans, "total_hip", LSC_28)
    assert [p.comparable for p in found.points] == [False, False, True]
    assert found.baseline == Point(day(2024), 0.90)
    assert found.against_baseline == found.against_last
    assert found.against_last.verdict == "not_comparable"
    assert found.against_last.percent is None
    assert "two different scanners" in found.against_last.reasons[0]


def test_scanner_not_recorded_has_no_verdict():
    found = density_series([scan(2022, 0.80, None), scan(2024, 0.90, None)], "total_hip", LSC_28)
    assert found.against_baseline.verdict == "not_comparable"


def test_lowest_of_two_scans_of_a_day():
    found = density_series(
        [scan(2022, 0.82), scan(2022, 0.80), scan(2022, 0.81)], "total_hip", LSC_28
    )
    assert found.points == (Point(day(2022), 0.80),)


def test_one_scan_has_a_band_and_no_verdict():
    found = density_series([scan(2022, 0.80)], "total_hip", LSC_28)
    assert found.band == pytest.approx((0.772, 0.828))
    assert (found.against_baseline, found.against_last) == (None, None)


def test_density_without_an_lsc_has_no_band_and_no_verdict():
    scans = [
        scan(2022, 0.60, site="distal_third_radius"),
        scan(2024, 0.70, site="distal_third_radius"),
    ]
    found = density_series(scans, "distal_third_radius", None)
    assert found.band is None
    assert found.against_baseline.verdict == "not_comparable"


@pytest.mark.parametrize("scans", [[], [scan(2022, None)], [scan(2022, 0.8, site="lumbar_spine")]])
def test_no_density_no_series(scans):
    assert density_series(scans, "total_hip", LSC_28) is None


def test_marker_over_time_in_one_unit():
    found = marker_series(
        [sample(2026, 0.21, "ng/mL"), sample(2024, 500), sample(2025, 400, "pg/mL")], "ctx"
    )
    assert [(p.on, p.value) for p in found.points] == [
        (day(2024), 500),
        (day(2025), 400),
        (day(2026), pytest.approx(210)),
    ]
    assert (found.label, found.unit, found.decimals) == ("CTX", "ng/L", 0)
    assert found.band == pytest.approx((220, 780))
    assert found.against_baseline.verdict == "fall"
    assert found.against_last.verdict == "within_error"
    assert found.cautions == (SAME_LABORATORY,)


def test_marker_values_are_shown_as_they_came_and_no_finer():
    shown = [marker_series([sample(2024, v, "ug/L", "p1np")], "p1np").decimals for v in (37, 37.5)]
    assert shown == [0, 1]


def test_marker_with_the_laboratory_s_own_lsc():
    found = marker_series([sample(2024, 500), sample(2025, 400)], "ctx", MarkerLsc(10, "lab"))
    assert found.against_baseline.verdict == "fall"
    assert found.band == pytest.approx((450, 550))


def test_marker_samples_that_do_not_convert_are_left_out_and_said():
    taken = [
        sample(2024, 20, "U/L", "bone_alp"),
        sample(2025, 12, "ug/L", "bone_alp"),
        sample(2026, 0.016, "ng/mL", "bone_alp"),
    ]
    found = marker_series(taken, "bone_alp")
    assert [p.on for p in found.points] == [day(2025), day(2026)]
    assert (found.unit, found.decimals) == ("ng/mL", 3)
    assert found.cautions == ("Left out, in another unit: 1.", SAME_LABORATORY)


def test_activity_is_charted_in_its_own_unit():
    found = marker_series([sample(2024, 20, "U/L", "osteocalcin")], "osteocalcin")
    assert found.unit == "U/L"
    assert found.against_baseline is None


def test_no_sample_no_series():
    assert marker_series([sample(2024, 500)], "p1np") is None


def test_gait_over_time():
    tests = [Taken(date=day(2024, 6), walk_4m_s=5.0), Taken(date=day(2024), walk_4m_s=5.5)]
    tests.append(Taken(date=day(2025), walk_4m_s=4.5))
    found = function_series(tests, "gait_m_s")
    assert [p.value for p in found.points] == pytest.approx([4 / 5.5, 0.8, 4 / 4.5])
    assert found.band == pytest.approx((4 / 5.5 - 0.1, 4 / 5.5 + 0.1))
    assert (found.label, found.unit) == ("gait over 4 m", "m/s")
    assert found.against_baseline.verdict == "better"
    assert found.against_last.verdict == "no_clear_change"
    assert found.against_last.percent == pytest.approx(100 * (4 / 4.5 - 0.8) / 0.8)


def test_measure_without_a_change_that_counts_has_points_only():
    tests = [Taken(date=day(2024), one_leg_s=3), Taken(date=day(2025), one_leg_s=20)]
    found = function_series(tests, "one_leg_s")
    assert [p.value for p in found.points] == [3, 20]
    assert (found.band, found.against_baseline, found.against_last) == (None, None, None)


def test_change_from_nought_has_no_percent():
    tests = [
        Taken(date=day(2024), chair_stands_30s=0),
        Taken(date=day(2025), chair_stands_30s=4),
    ]
    found = function_series(tests, "chair_stands_30s")
    assert (found.against_baseline.verdict, found.against_baseline.percent) == ("better", None)


def test_results_without_a_date_are_left_out_and_said():
    found = function_series([Taken(date=day(2024), grip_kg=18), Taken(grip_kg=20)], "grip_kg")
    assert len(found.points) == 1
    assert found.cautions == ("Left out, without a date: 1.",)
    assert function_series([Taken(grip_kg=20)], "grip_kg") is None


@pytest.mark.parametrize("measure", sorted(measures(Taken())))
def test_every_measure_has_a_series(measure):
    assert function_series([Taken(date=day(2024))], measure) is None


def test_every_test_can_be_charted():
    full = Taken(
        date=day(2024),
        up_and_go_s=11,
        chair_stands_30s=11,
        five_stands_s=13,
        side_by_side_s=10,
        semi_tandem_s=10,
        tandem_s=10,
        one_leg_s=6,
        walk_4m_s=4.6,
        grip_kg=19,
    )
    assert [m for m in measures(full) if function_series([full], m) is None] == []
