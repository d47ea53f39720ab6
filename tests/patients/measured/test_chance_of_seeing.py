"""The chance of seeing a change: by simulation, by worked examples, and what the curve tells."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest

from patients.measured.chance_chart import chance_chart, words
from patients.measured.chance_of_seeing import (
    END_MONTHS,
    LOSSES,
    Error,
    at_the_end,
    chance,
    chances,
    change_by,
    error_of,
)
from patients.measured.trial_gains import TRIAL_GAINS, TrialGain
from patients.scanners.precision import Lsc

SPINE = Lsc("clinic", g_cm2=0.028)
OWN = TrialGain("own", 3.0, 3.0, 3.0, True, "made up", 8, is_own_change=True, control=-1.2)
BARE = TrialGain("bare", 3.0, 3.0, 3.0, True, "made up", 8, is_own_change=True)
MORE = TrialGain("more", 3.0, 2.0, 4.0, True, "made up")


def test_the_least_change_of_the_iscds_example() -> None:
    """A precision error of 0.010 g/cm2 gives an LSC of 0.028 (2.77 times; ISCD glossary)."""
    assert Error(percent=1.0).least == pytest.approx(2.77, abs=0.005)
    assert error_of(SPINE, 1.0).percent == pytest.approx(1.01, abs=0.005)
    assert error_of(Lsc("default", percent=2.77 * 1.9), 0.8).percent == pytest.approx(1.9)


def test_a_change_as_large_as_the_least_is_seen_every_other_time() -> None:
    error = Error(percent=1.4)
    assert chance(error.least, error) == pytest.approx(0.5)
    assert chance(1.43 * error.least, error) == pytest.approx(0.8, abs=0.002)
    assert chance(0.0, error) == pytest.approx(0.025, abs=1e-4)


@pytest.mark.parametrize("change", [0.0, 1.5, 3.0, 5.0])
@pytest.mark.parametrize("times", [(1, 1), (1, 2), (2, 2)])
def test_against_a_hundred_thousand_scans(change: float, times: tuple[int, int]) -> None:
    """Each scan bears an error of its own; the least change is 1.96 errors of the difference."""
    rng = np.random.default_rng(11)
    size, many = 1.3, 100_000
    first, later = (rng.normal(0, size, (many, count)).mean(axis=1) for count in times)
    least = 1.959964 * size * np.sqrt(1 / times[0] + 1 / times[1])
    seen = float(np.mean(change + later - first > least))
    error = Error(percent=size, first_day=times[0], later_day=times[1])
    # Four standard deviations of a share of 100,000.
    assert chance(change, error) == pytest.approx(seen, abs=0.0064)


def test_her_own_change_is_what_training_adds_less_her_own_loss() -> None:
    """Own change 3.0, others -1.2 in 8 months: 4.2 is added; 1 % a year takes 0.67 off."""
    assert at_the_end(OWN, 0.9, 1.0) == pytest.approx(4.2 - 8 / 12)
    assert at_the_end(OWN, 0.9, 0.0) == pytest.approx(4.2)
    assert at_the_end(BARE, 0.9, 1.0) == 3.0
    assert at_the_end(MORE, 0.9, 1.5) == pytest.approx(1.5)


def test_no_straight_line_beyond_the_trial() -> None:
    assert change_by(4, OWN, 0.9, 0.0) == pytest.approx(2.1)
    assert change_by(8, OWN, 0.9, 0.0) == change_by(40, OWN, 0.9, 0.0) == pytest.approx(4.2)


def test_the_months_that_are_named() -> None:
    (sure,) = chances("lumbar_spine", Lsc("c", percent=2.0), 0.9, 0.0, [OWN])
    assert (sure.half, sure.four_in_five, sure.best) == (12, 12, 12)
    (never,) = chances("lumbar_spine", Lsc("c", percent=9.0), 0.9, 1.0, [OWN])
    assert (never.half, never.four_in_five) == (None, None)
    slow = TrialGain("slow", 6.0, 6.0, 6.0, True, "made up", 36, is_own_change=True)
    (late,) = chances("total_hip", Lsc("c", percent=4.0), 0.9, 0.0, [slow])
    assert late.half == 24
    assert late.four_in_five == 35
    assert late.best == 36
    assert late.by_month[END_MONTHS] == late.by_month[36] == late.at_best
    assert late.change_percent == 6.0


def test_a_second_measurement_on_the_day_gains() -> None:
    (one,) = chances("total_hip", Lsc("c", percent=4.0), 0.9, 1.0, [OWN])
    assert one.twice > one.at_best


def test_a_worse_scanner_or_a_greater_loss_never_raises_a_chance() -> None:
    for site, trials in TRIAL_GAINS.items():
        for loss, more in pairwise(LOSSES):
            fine = chances(site, Lsc("c", percent=3.0), 0.8, loss)
            lost = chances(site, Lsc("c", percent=3.0), 0.8, more)
            rough = chances(site, Lsc("c", percent=5.0), 0.8, loss)
            assert len(fine) == len(trials)
            for a, b, c in zip(fine, lost, rough, strict=True):
                assert a.at_best >= b.at_best
                assert a.at_best >= c.at_best or a.change_percent < 0


def test_no_trial_at_the_forearm() -> None:
    assert chances("distal_third_radius", SPINE, 0.6, 1.0) == ()


def test_the_picture_and_its_words() -> None:
    found = chances("lumbar_spine", SPINE, 0.88, 1.0)
    svg = chance_chart(found, name="chance-spine")
    root = ElementTree.fromstring(svg)
    assert root[0].text == "The chance of seeing a gain, by month"
    assert svg.count("<path") == 2 * len(found)
    slow = TrialGain("slow", 6.0, 6.0, 6.0, True, "made up", 36, is_own_change=True)
    (late,) = chances("total_hip", Lsc("c", percent=4.0), 0.9, 0.0, [slow])
    assert words(late) == "half a chance in month 24, four in five in month 35"
    (some,) = chances("total_hip", Lsc("c", percent=5.5), 0.9, 0.0, [slow])
    assert words(some).endswith("four in five never")
    (never,) = chances("total_hip", Lsc("c", percent=9.0), 0.9, 0.0, [slow])
    assert words(never) == "never half a chance; 26 % from month 36 on"
