"""Which true changes of markers and tests are seen: worked examples, simulation, the picture."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest

from patients.measured.chance_chart import size_chart, size_words
from patients.measured.chance_of_change import DETECTABLE, Seen, falls_of, of_test, rises_of
from patients.measured.function_tests import CHANGE_THAT_COUNTS
from patients.measured.turnover import DEFAULT_LSC, MarkerLsc

MANY = 100_000
#: Four standard deviations of a share of 100,000.
NEAR = 0.0064


def the_test(measure: str, result: float = 12.0) -> Seen:
    found = of_test(measure, result)
    assert found is not None
    return found


def test_up_and_go_by_hand() -> None:
    """2 s counts, 2 s is the least beyond the error (PMC6521916): its spread is 2 / 1.96 s."""
    found = the_test("up_and_go_s")
    assert found.half == 2.0
    assert found.four_in_five == pytest.approx(2.0 + 0.8416 * 2 / 1.9587, abs=0.002)
    assert found.twice == pytest.approx(2.0 + 0.8416 * 2 / 2.77 * np.sqrt(1.5), abs=0.002)
    assert found.by_chance == pytest.approx(0.025, abs=0.0005)


def test_two_chair_stands_come_by_chance_more_often_than_two_seconds() -> None:
    """The least beyond the error is 2.5 stands, so that 2 come by chance in 6 of 100."""
    found = the_test("chair_stands_30s")
    assert found.by_chance == pytest.approx(0.0586, abs=0.001)
    assert found.four_in_five == pytest.approx(3.07, abs=0.01)


def test_the_error_of_grip_grows_with_her_grip() -> None:
    weak, strong = the_test("grip_kg", 14.0), the_test("grip_kg", 40.0)
    assert weak.half == strong.half == 5.0
    assert weak.four_in_five < strong.four_in_five


@pytest.mark.parametrize("measure", ["gait_m_s", "sppb", "five_stands_s", "one_leg_s"])
def test_what_has_no_error_on_record_says_nothing(measure: str) -> None:
    assert of_test(measure, 1.0) is None


def test_a_result_of_nought_says_nothing() -> None:
    assert of_test("chair_stands_30s", 0.0) is None


@pytest.mark.parametrize("measure", DETECTABLE)
@pytest.mark.parametrize("times", [1, 2])
def test_four_in_five_of_a_hundred_thousand_tests_show_it(measure: str, times: int) -> None:
    rng = np.random.default_rng(5)
    result = 20.0
    found = the_test(measure, result)
    size = found.four_in_five if times == 1 else found.twice
    error = DETECTABLE[measure].at(result) / 2.77
    first = rng.normal(0, error, MANY)
    later = size + rng.normal(0, error, (MANY, times)).mean(axis=1)
    seen = float(np.mean(later - first >= CHANGE_THAT_COUNTS[measure][0]))
    assert seen == pytest.approx(0.8, abs=NEAR)


@pytest.mark.parametrize("marker", DEFAULT_LSC)
@pytest.mark.parametrize("times", [1, 2])
@pytest.mark.parametrize("falls", [True, False])
def test_four_in_five_of_a_hundred_thousand_samples_show_it(
    marker: str, times: int, falls: bool
) -> None:
    """Each sample is her true value times an error of the laboratory's share."""
    rng = np.random.default_rng(6)
    least = DEFAULT_LSC[marker]
    found = falls_of(least) if falls else rises_of(least)
    assert found is not None
    error = np.sqrt(np.log1p((least.percent / 277) ** 2))
    size = found.four_in_five if times == 1 else found.twice
    true = 1 + (-size if falls else size) / 100
    first = np.exp(rng.normal(0, error, MANY))
    later = true * np.exp(rng.normal(0, error, (MANY, times)).mean(axis=1))
    change = 100 * (later / first - 1)
    seen = np.mean(change < -least.percent if falls else change > least.percent)
    assert float(seen) == pytest.approx(0.8, abs=NEAR)
    none = np.exp(rng.normal(0, error, MANY)) / first
    read = np.mean(none < 1 - least.percent / 100 if falls else none > 1 + least.percent / 100)
    assert float(read) == pytest.approx(found.by_chance, abs=NEAR)


def test_ctx_falls_by_hand() -> None:
    """56 % counts (IOF and ECTS): a CV of 20.2 %, 0.283 of a logarithm for two samples."""
    falls, rises = falls_of(DEFAULT_LSC["ctx"]), rises_of(DEFAULT_LSC["ctx"])
    assert falls is not None
    assert falls.half == rises.half == pytest.approx(56.0)
    assert falls.four_in_five == pytest.approx(65.3, abs=0.1)
    assert rises.four_in_five == pytest.approx(97.9, abs=0.2)
    assert falls.by_chance < 0.005 < 0.05 < rises.by_chance


@pytest.mark.parametrize(("percent", "falls"), [(99.9, True), (100.0, False), (186.0, False)])
def test_nothing_falls_by_more_than_all(percent: float, falls: bool) -> None:
    assert (falls_of(MarkerLsc(percent, "made up")) is not None) == falls
    assert rises_of(MarkerLsc(percent, "made up")).half == pytest.approx(percent)


def test_a_curve_rises_from_chance_through_its_names() -> None:
    seen = the_test("up_and_go_s")
    sizes, shares = zip(*seen.curve, strict=True)
    assert (sizes[0], shares[0]) == (0.0, pytest.approx(seen.by_chance))
    assert all(one < next_one for one, next_one in pairwise(shares))
    assert np.interp(seen.half, sizes, shares) == pytest.approx(0.5, abs=0.01)
    assert np.interp(seen.four_in_five, sizes, shares) == pytest.approx(0.8, abs=0.01)


def test_the_picture_ends_where_its_shortest_curve_does() -> None:
    """A fall ends below all of it; a rise goes on, but not in the picture."""
    falls = falls_of(DEFAULT_LSC["ctx"])
    assert falls is not None
    svg = size_chart([("A fall", falls), ("A rise", rises_of(DEFAULT_LSC["ctx"]))], "seen", "%")
    root = ElementTree.fromstring(svg)
    assert root[0].text == "The chance of seeing a true change, by its size"
    assert svg.count("<path") == 4
    assert "size of the true change, %" in svg
    across = [
        float(point.split()[0])
        for part in svg.split('d="M')[1:]
        for point in part.split('"')[0].split(" L")
        if " H" not in point
    ]
    assert max(across) <= 720 - 20
    assert size_words(falls, "%") == "half a chance at 56 %, four in five at 65.3 %"
