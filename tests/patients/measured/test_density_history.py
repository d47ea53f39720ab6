import datetime as dt

import pytest

from patients.facts.declared import Scan
from patients.measured import density_history
from patients.measured.density_history import Kept, change, is_too_soon, lines, of_each_day
from patients.measured.series import density_series
from patients.scanners.precision import Lsc

LSC_28 = Lsc("clinic", g_cm2=0.028)
#: The default of the total hip: 2.77 x 1.8 % (ISCD, from memory).
LSC_HIP = Lsc("default", percent=2.77 * 1.8)


def scan(on, bmd, scanner="A", site="total_hip"):
    return Scan(date=dt.date.fromisoformat(on), site=site, bmd_g_cm2=bmd, scanner=scanner)


def test_one_scan_a_day_of_the_newest_s_side():
    scans = [
        scan("2024-01-01", 0.70),
        scan("2024-01-01", 0.69),
        scan("2024-01-01", 0.68),
        scan("2025-01-01", 0.72),
        scan("2025-01-01", None),
        scan("2025-01-01", 0.5, site="femoral_neck"),
    ]
    kept = of_each_day(scans, "total_hip", ["left", "Left ", "right", "left", "left", "left"])
    assert [(k.bmd_g_cm2, k.part) for k in kept] == [(0.69, "Left "), (0.72, "left")]


def test_without_sides_the_lowest_of_a_day():
    kept = of_each_day([scan("2024-01-01", 0.7), scan("2024-01-01", 0.6)], "total_hip")
    assert [(k.bmd_g_cm2, k.part) for k in kept] == [(0.6, None)]


def test_another_side_alone_on_its_day_stays():
    kept = of_each_day(
        [scan("2024-01-01", 0.7), scan("2025-01-01", 0.6)], "total_hip", ["right", "left"]
    )
    assert [k.part for k in kept] == ["right", "left"]


def test_no_scan_no_history():
    assert of_each_day([], "total_hip") == ()
    assert lines((), LSC_28) == ()


def test_each_scan_against_baseline_and_last():
    scans = [
        scan("2020-01-01", 0.800, "old"),
        scan("2022-01-01", 0.700),
        scan("2023-01-01", 0.710),
        scan("2024-01-01", 0.729),
    ]
    first, second, third, fourth = lines(of_each_day(scans, "total_hip"), LSC_28)
    assert (first.against_baseline, first.against_last) == (None, None)
    assert second.against_baseline.verdict == "not_comparable"
    assert second.baseline is second.last
    assert (third.against_baseline.verdict, third.baseline.bmd_g_cm2) == ("within_error", 0.700)
    assert (fourth.against_baseline.verdict, fourth.against_last.verdict) == (
        "gain",
        "within_error",
    )
    assert fourth.baseline.bmd_g_cm2 == 0.700


def test_sides_that_differ_are_not_compared():
    left, right = (
        Kept(scan(f"202{i}-01-01", 0.7), 0.7, s) for i, s in enumerate(("left", "right"))
    )
    assert change(right, left, LSC_28).reasons == ("The sides differ.",)
    scans = [scan("2020-01-01", 0.7), scan("2022-01-01", 0.71)]
    series = density_series(scans, "total_hip", LSC_28, ["left", "right"])
    assert [p.comparable for p in series.points] == [False, True]
    assert series.against_last.verdict == "not_comparable"


@pytest.mark.parametrize(
    ("after", "percent", "soon"),
    [
        # Common practice: a hip gain of 1.5 % after six months lies within the scan's error.
        (182, 1.5, True),
        (364, 1.5, True),
        (365, 1.5, False),
        # A change that passes the error is one, however early.
        (182, 6.0, False),
    ],
)
def test_too_soon_to_tell(after, percent, soon):
    first = scan("2025-01-01", 0.700)
    last = Scan(
        date=first.date + dt.timedelta(days=after),
        site="total_hip",
        bmd_g_cm2=0.7 * (1 + percent / 100),
        scanner="A",
    )
    found = density_history.change(Kept(first, 0.7, "left"), Kept(last, 0.7, "left"), LSC_HIP)
    assert found.verdict == ("gain" if percent > 5 else "within_error")
    assert is_too_soon(found) == soon
