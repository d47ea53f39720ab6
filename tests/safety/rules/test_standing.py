"""Low function, and who cannot stand or walk (rulebook rows 2b, 3a, 3b)."""

from __future__ import annotations

from typing import Any

import pytest

from safety.findings import Level
from tests.people import fracture, scan
from tests.safety.looking import (
    BALANCE,
    HOLD,
    IMPACT,
    IN,
    OUT,
    POSTURE,
    RESISTANCE,
    found,
    level,
    screened,
    seen,
    statuses,
)

NONE_KNOWN = dict.fromkeys(("up_and_go_s", "walk_4m_s", "five_stands_s", "chair_stands_30s"))


@pytest.mark.parametrize(
    ("tests", "expected"),
    [
        ({}, "no"),
        ({"up_and_go_s": 15}, "no"),
        ({"up_and_go_s": 15.1}, "yes"),
        ({"walk_4m_s": 6.66}, "no"),  # 0.601 m/s
        ({"walk_4m_s": 6.67}, "yes"),  # 0.6 m/s
        ({"chair_stands_30s": 1}, "no"),
        ({"chair_stands_30s": 0}, "yes"),
        # SPPB 9 and 8: walk 7.0 s gives 2, stands 14 s 2, stances 4; five stands not possible 0
        ({"walk_4m_s": 6.2, "five_stands_s": 14, "tandem_s": 10}, "no"),
        ({"walk_4m_s": 6.3, "five_stands_s": 14, "tandem_s": 10}, "yes"),
        ({"unable": ["five_stands_s"]}, "yes"),
        ({"unable": ["walk_4m_s"]}, "yes"),
        ({"unable": ["tandem_s"]}, "no"),
        ({"unable": ["grip"]}, "no"),
        (NONE_KNOWN, "unknown"),
        ({**NONE_KNOWN, "up_and_go_s": 9}, "no"),
    ],
)
def test_low_function(tests: dict[str, Any], expected: str) -> None:
    """SPPB: EWGSOP2; gait 0.6 m/s: project choice."""
    assert seen(tests=tests).function_level == expected


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [
        (8.4, "unknown"),  # normal, and a year old: as never measured
        (12.4, "unknown"),  # abnormal for falls: it may raise a risk, and clears no other
        (15.1, "yes"),
    ],
)
def test_an_old_result_never_clears_low_function(seconds: float, expected: str) -> None:
    """Project choice, as for an old scan (rulebook rows 0 and 3a)."""
    old = {"date": "2025-03-01", "up_and_go_s": seconds}
    found = seen(tests=[NONE_KNOWN | {"date": "2026-03-02", "resting_bp": [126, 76]}, old])
    assert found.function_level == expected


@pytest.mark.parametrize(("date", "near"), [("2025-03-02", False), ("2025-03-01", True)])
def test_a_test_not_possible_long_ago_does_not_say_how_she_stands(date: str, near: bool) -> None:
    """Rulebook row 2b; a year and a day is too old (row 0)."""
    old = {"date": date, "unable": ["tandem_s"]}
    today = NONE_KNOWN | {"date": "2026-03-02", "resting_bp": [126, 76]}
    screen = screened(tests=[today, old], person={"mobility": "unknown"})
    assert screen.limits(BALANCE).near_support is near


def test_what_low_function_asks() -> None:
    screen = screened(tests={"up_and_go_s": 16})
    assert statuses(tests={"up_and_go_s": 16})[1:] == [IN] * 4
    assert screen.limits(RESISTANCE).group_c
    assert not screen.limits(RESISTANCE).spare_spine
    assert screen.limits(IMPACT).impact_bw == 1.5
    assert screen.situation.fragile_reasons == ("low function",)


@pytest.mark.parametrize(("born", "low"), [("1951-03-03", False), ("1951-03-02", True)])
def test_not_tested_is_low_function_from_75(born: str, low: bool) -> None:
    changes = {"person": {"born": born}, "tests": NONE_KNOWN}
    assert seen(**changes).function_is_low is low
    assert screened(**changes).limits(RESISTANCE).group_c is low
    assert level("low_function.not_tested", **changes) is Level.MISSING


@pytest.mark.parametrize(
    ("changes", "posture"),
    [
        ({}, "standing"),
        ({"person": {"mobility": "frame"}}, "standing"),
        ({"person": {"mobility": "wheelchair"}}, "seated"),
        ({"person": {"mobility": "bed"}}, "lying"),
        ({"tests": {"unable": ["side_by_side_s"]}}, "seated"),
        ({"tests": {"unable": ["tandem_s"]}}, "standing"),
    ],
)
def test_training_posture(changes: dict[str, Any], posture: str) -> None:
    assert seen(**changes).training_posture == posture
    expected = [IN] * 5 if posture == "standing" else [OUT, IN, OUT, IN, IN]
    assert [statuses(**changes)[i] for i in (1, 3, 4)] == [expected[i] for i in (1, 3, 4)]
    assert (statuses(**changes)[2] is OUT) == (posture != "standing")


def test_seated_is_not_grouped_by_falls_or_function() -> None:
    wheelchair = {"person": {"mobility": "wheelchair"}, "tests": {"chair_stands_30s": 0}}
    screen = screened(**wheelchair, falls={"last_12_months": 3})
    assert not screen.limits(RESISTANCE).group_c
    assert screen.situation.function_level == "unknown"
    assert not screen.situation.function_is_low
    assert (
        screened(**wheelchair, fractures=[fracture("vertebra", "2015-01-01")])
        .limits(RESISTANCE)
        .group_c
    )


def test_frame() -> None:
    screen = screened(person={"mobility": "frame"})
    for modality in (RESISTANCE, BALANCE, POSTURE):
        assert screen.limits(modality).hands_on_support
    assert screen.limits(IMPACT).impact_bw == 1.5
    assert screen.limits(BALANCE).near_support


@pytest.mark.parametrize("known", ["tandem_s", "chair_stands_30s", "one_leg_s"])
def test_one_standing_test_tells_that_she_stands(known: str) -> None:
    nothing: dict[str, Any] = {"person": {"mobility": None}, "tests": {"date": "2026-03-02"}}
    bare = dict.fromkeys(
        (
            *NONE_KNOWN,
            "side_by_side_s",
            "semi_tandem_s",
            "tandem_s",
            "one_leg_s",
        )
    )
    unseen = {**nothing, "tests": bare}
    assert [statuses(**unseen)[i] for i in (0, 2)] == [HOLD, HOLD]
    assert screened(**unseen).limits(BALANCE).near_support
    told = {**nothing, "tests": {**bare, known: 12}}
    assert found("standing.not_recorded.plate", **told) is None


def test_radius_and_arm_alone_spare_no_spine() -> None:
    """Row 5a's exceptions, and both together, which is none."""
    radius = [scan(t=-1.0), {**scan(t=-3.2), "site": "distal_third_radius"}]
    arm = [fracture("wrist", "2025-06-01")]
    assert not screened(scans=radius).limits(POSTURE).spare_spine
    assert not screened(fractures=arm).limits(POSTURE).spare_spine
    assert screened(scans=radius, fractures=arm).limits(POSTURE).spare_spine
    assert screened(scans=[scan(t=-3.2)]).limits(RESISTANCE).spare_spine
    assert screened(scans=[scan(t=-3.2)]).spine_spared == ("very_high_risk",)


IMAGE = {"answer": "yes", "on": "2026-01-10"}


@pytest.mark.parametrize(
    ("changes", "guarded"),
    [
        ({"fractures": [fracture("wrist", "2025-03-02")]}, True),  # 12 months to the day
        ({"fractures": [fracture("wrist", "2025-03-03")]}, False),
        ({"fractures": [fracture("wrist", None)]}, False),
        ({"fractures": [fracture("hip", "2024-06-01")]}, False),
        ({"scans": [scan(t=-3.4)], "spine_image": IMAGE}, True),
        ({"scans": [scan(t=-3.5)], "spine_image": IMAGE}, False),
        ({"scans": [scan(t=-3.4)]}, False),
        ({"scans": [scan(t=-3.4)], "spine_image": IMAGE, "tests": {"up_and_go_s": 12}}, False),
        ({"scans": [scan(t=-3.4)], "spine_image": IMAGE, "tests": NONE_KNOWN}, False),
        ({}, False),
    ],
)
def test_very_high_risk_that_lifts_as_group_b(changes: dict[str, Any], guarded: bool) -> None:
    assert seen(**changes).very_high_is_guarded is guarded


def test_only_the_year_of_birth() -> None:
    """1946 may be 79 or 80: each rule reads the age that makes it more careful."""
    here = seen(person={"born": "1946"})
    assert (here.youngest, here.age) == (79, 80)
    assert "age 80 or over" in here.fragile_reasons
    assert screened(person={"born": "2008", "menopause": "before"}).blocked


def test_the_score_of_higher_risk_where_either_may_be_read() -> None:
    man = {"sex": "male", "born": "1976", "menopause": "not_applicable"}
    assert seen(person=man, scans=[scan(t=-3.1, z=-1.0)]).fracture_risk.level == "very_high"
    assert seen(person=man, scans=[scan(t=-1.0, z=-2.1)]).fracture_risk.level == "high"


def test_what_the_papers_and_pages_ask() -> None:
    assert seen(medicines={"anticoagulant": "yes"}).anticoagulant is True
    assert seen(experience={"impact": "some"}).walks_already is True
    assert seen(experience=None).walks_already is None
    assert seen(fractures=[fracture("wrist", "2026-01-20")]).mending_arm
    assert not seen(fractures=[fracture("rib", "2026-01-20")]).mending_arm
    assert not seen().watched_each_session
    assert seen(conditions={"epilepsy": "unknown"}).watched_each_session


@pytest.mark.parametrize(
    ("last", "due"),
    [("2026-01-10", "2026-07-10"), ("2025-08-02", "2026-02-02"), ("2025-08-01", "None")],
)
def test_next_dose_of_denosumab(last: str, due: str) -> None:
    medicine = {"answer": "yes", "kind": "denosumab", "last_dose_on": last}
    assert str(seen(medicines={"bone_medicine": medicine}).next_dose_due) == due
