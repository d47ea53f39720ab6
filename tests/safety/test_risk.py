"""Fracture risk and fall risk: every criterion, and both sides of each threshold (rows 2, 3)."""

from __future__ import annotations

from typing import Any

import pytest

from safety.fracture_history import low_trauma, vertebral
from safety.risk import Risk, severity_missing
from tests.people import fracture, scan, steady
from tests.safety.looking import IMPACT, OUT, RESISTANCE, level, screened, seen, statuses


def fracture_level(**changes: Any) -> str:
    return seen(**changes).fracture_risk.level


def fall_level(**changes: Any) -> str:
    return seen(**changes).fall_risk.level


def codes(risk: Risk) -> list[str]:
    return [criterion.code.partition(".")[2] for criterion in risk.fired]


@pytest.mark.parametrize(
    ("t", "expected"),
    [
        # WHO categories; -3.0 from memory (AACE 2020)
        (-0.9, "low"),
        (-1.0, "low"),
        (-1.1, "moderate"),
        (-2.4, "moderate"),
        (-2.5, "high"),
        (-2.9, "high"),
        (-3.0, "very_high"),
    ],
)
def test_fracture_risk_by_t(t: float, expected: str) -> None:
    assert fracture_level(scans=[scan(t=t)]) == expected


YOUNG = {"born": "1987-05-02", "menopause": "before"}


@pytest.mark.parametrize(
    ("scores", "expected"),
    [
        ({"z": -1.9}, "low"),
        ({"z": -2.0}, "high"),
        ({"z": -2.0, "t": -3.4}, "high"),
        ({"z": -1.9, "t": -2.4}, "low"),
        ({"z": -1.9, "t": -2.5}, "moderate"),
        ({"t": -3.4}, "unknown"),
    ],
)
def test_where_z_is_read_t_adds_nothing(scores: dict[str, float], expected: str) -> None:
    assert fracture_level(person=YOUNG, scans=[scan(**scores)]) == expected


@pytest.mark.parametrize(
    ("person", "by"),
    [
        # T for men from 50; for women whose menopause is not known from 45 (project choice)
        ({"sex": "male", "born": "1976-03-03", "menopause": "not_applicable"}, "z"),
        ({"sex": "male", "born": "1976-03-02", "menopause": "not_applicable"}, "t"),
        ({"born": "1981-03-03", "menopause": None}, "z"),
        ({"born": "1981-03-02", "menopause": None}, "t"),
        ({"born": "1990-03-02", "menopause": "transition"}, "t"),
        ({"born": "1960-03-02", "menopause": "before"}, "z"),
    ],
)
def test_t_or_z(person: dict[str, Any], by: str) -> None:
    assert seen(person=person).density.by == by


@pytest.mark.parametrize(("t", "asks"), [(-3.4, None), (-3.5, "needs_clearance")])
def test_very_low_t_asks_for_leave(t: float, asks: str | None) -> None:
    assert level("low_t.plate", scans=[scan(t=t)]) == asks


def test_a_low_z_is_no_very_low_t() -> None:
    assert level("low_t.plate", person=YOUNG, scans=[scan(z=-4.0)]) is None


@pytest.mark.parametrize(
    ("chance", "expected"),
    [
        ({"major_percent": 9.9}, "low"),
        ({"major_percent": 10}, "moderate"),
        ({"major_percent": 19.9}, "moderate"),
        ({"major_percent": 20}, "high"),
        ({"major_percent": 29.9}, "high"),
        ({"major_percent": 30}, "very_high"),
        ({"hip_percent": 2.9}, "low"),
        ({"hip_percent": 3}, "high"),
        ({"hip_percent": 4.4}, "high"),
        ({"hip_percent": 4.5}, "very_high"),
    ],
)
def test_fracture_risk_by_probability(chance: dict[str, float], expected: str) -> None:
    """20 and 3 %: the common treatment line; 30 and 4.5, 10 %: steroid guideline (ACR 2022)."""
    assert fracture_level(scans=[scan(t=-0.5)], probability_10y=chance) == expected


@pytest.mark.parametrize(
    ("mg_per_day", "months", "expected"),
    [
        (7.4, 12, "low"),
        (7.5, 2.9, "low"),
        (7.5, 3, "high"),
        (7.5, None, "low"),
        (29.9, 3, "high"),
        (30, 0, "very_high"),
        (30, None, "very_high"),
        (None, 12, "low"),
    ],
)
def test_fracture_risk_by_glucocorticoid(
    mg_per_day: float | None, months: float | None, expected: str
) -> None:
    known = {"answer": "yes", "mg_per_day": mg_per_day, "months": months}
    steroid = {key: value for key, value in known.items() if value is not None}
    medicines = {"glucocorticoid": steroid}
    assert fracture_level(scans=[scan(t=-0.5)], medicines=medicines) == expected


def test_dose_and_months_of_what_is_not_taken_do_not_count() -> None:
    stopped = {"answer": "no", "mg_per_day": 60, "months": 12}
    assert fracture_level(medicines={"glucocorticoid": stopped}) == "moderate"


@pytest.mark.parametrize(
    ("fractures", "expected"),
    [
        # in the last 24 calendar months, the last day inside
        ([fracture("wrist", "2024-03-02")], "very_high"),
        ([fracture("wrist", "2024-03-01")], "high"),
        ([fracture("rib", "2025-08-01")], "high"),
        ([fracture("wrist", "2025-08-01", low_trauma="no")], "moderate"),
        ([fracture("wrist", "2025-08-01", low_trauma="unknown")], "very_high"),
        ([fracture("finger_toe_face", "2025-08-01")], "moderate"),
        ([fracture("hip", None)], "very_high"),
        ([fracture("vertebra", "2019-05-01")], "high"),
        ([fracture("vertebra", "2019-05-01"), fracture("vertebra", "2018-05-01")], "very_high"),
    ],
)
def test_fracture_risk_by_fractures(fractures: list[dict[str, str]], expected: str) -> None:
    assert fracture_level(fractures=fractures) == expected


@pytest.mark.parametrize("site", ["vertebra", "hip", "pelvis", "humerus", "wrist"])
def test_sites_of_a_recent_fracture_that_count_most(site: str) -> None:
    assert fracture_level(fractures=[fracture(site, "2025-03-10")]) == "very_high"


@pytest.mark.parametrize(
    ("changes", "found", "drafted_as"),
    [
        ({"scans": None}, "unknown", "high"),
        ({"scans": []}, "unknown", "high"),
        ({"fractures": None}, "unknown", "high"),
        ({"scans": None, "probability_10y": {"major_percent": 12}}, "unknown", "high"),
        ({"scans": None, "probability_10y": {"major_percent": 20}}, "high", "high"),
        ({"scans": None, "probability_10y": {"major_percent": 30}}, "very_high", "very_high"),
    ],
)
def test_fracture_risk_not_known_is_drafted_as_high(
    changes: dict[str, Any], found: str, drafted_as: str
) -> None:
    risk = seen(**changes).fracture_risk
    assert (risk.level, risk.drafted_as) == (found, drafted_as)


def test_what_is_not_recorded_meets_no_criterion_and_fails_none() -> None:
    risk = seen(scans=None, fractures=None, medicines=None).fracture_risk
    met = {c.code: c.met for c in risk.criteria if c.met is not None}
    assert met == {
        "fracture_risk.t_2_5_beside_z": False,
        "fracture_risk.hormone_blocking_treatment": False,
        "fracture_risk.hormone_blocking_not_asked": False,
    }


@pytest.mark.parametrize(
    ("answer", "expected"), [("no", "low"), ("yes", "moderate"), ("unknown", "moderate")]
)
def test_treatment_that_blocks_hormones(answer: str, expected: str) -> None:
    changes = {"conditions": {"hormone_blocking_treatment": answer}, "scans": [scan(t=-0.5)]}
    assert fracture_level(**changes) == expected


def test_the_criteria_that_decide_are_named() -> None:
    risk = seen(scans=[scan(t=-3.0)], probability_10y={"hip_percent": 5}).fracture_risk
    assert codes(risk) == ["t_3_0", "hip_4_5"]


def test_counting_fractures_not_asked_about_counts_none() -> None:
    assert low_trauma(None) == vertebral(None) == ()


# --- Falls ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("falls", "expected"),
    [
        ({"last_12_months": 0}, "low"),
        ({"last_12_months": 1}, "low"),
        ({"last_12_months": 2}, "high"),
        ({"last_12_months": 1, "injury": "yes"}, "high"),
        ({"last_12_months": 1, "long_lie": "yes"}, "high"),
        ({"last_12_months": 1, "blackout": "yes"}, "high"),
        ({"last_12_months": 1, "injury": "unknown"}, "high"),
        ({"last_12_months": 0, "injury": "yes"}, "high"),  # a yes tells of a fall
        ({"last_12_months": 0, "injury": "unknown"}, "low"),
        ({"last_12_months": None, "injury": "yes"}, "high"),
        ({"last_12_months": None}, "unknown"),
        ({"last_12_months": 0, "unsteady": "yes"}, "intermediate"),
        ({"last_12_months": 0, "unsteady": "unknown"}, "unknown"),
        ({"last_12_months": 1, "unsteady": None}, "unknown"),
        ({"last_12_months": 2, "unsteady": "unknown"}, "high"),
        ({"last_12_months": None, "unsteady": "yes"}, "intermediate"),
        ({"last_12_months": 0, "worried": "yes"}, "low"),
    ],
)
def test_fall_risk_by_falls(falls: dict[str, Any], expected: str) -> None:
    """Two falls, or a fall with injury, long lie or blackout: World guidelines 2022."""
    assert fall_level(falls=falls) == expected


def test_falls_never_asked() -> None:
    risk = seen(falls=None).fall_risk
    assert (risk.level, risk.drafted_as) == ("unknown", "intermediate")
    assert seen(falls=None, tests={"up_and_go_s": 12}).fall_risk.level == "intermediate"
    assert seen(falls=None, tests=None).fall_risk.level == "unknown"


def test_unsteadiness_never_asked_is_asked_for_and_never_low() -> None:
    """Unknown is never no: drafted as intermediate, and an abnormal test says so itself."""
    unasked = {"unsteady": "unknown"}
    risk = seen(falls=unasked).fall_risk
    assert (risk.level, risk.drafted_as) == ("unknown", "intermediate")
    assert seen(falls=unasked, tests={"up_and_go_s": 12}).fall_risk.level == "intermediate"
    asked_for = [f.missing for f in screened(falls=unasked).findings]
    assert asked_for == [("feeling unsteady",)]


@pytest.mark.parametrize(
    ("tests", "expected"),
    [
        ({"up_and_go_s": 11.9}, "low"),
        ({"up_and_go_s": 12}, "intermediate"),
        ({"tandem_s": 9.9}, "intermediate"),
        ({"semi_tandem_s": 9.9}, "intermediate"),
        ({"side_by_side_s": 9.9}, "intermediate"),
        ({"chair_stands_30s": 11}, "low"),
        ({"chair_stands_30s": 10}, "intermediate"),
        ({"walk_4m_s": 4.99}, "low"),
        ({"walk_4m_s": 5.0}, "intermediate"),
        ({"unable": ["grip"]}, "intermediate"),
        ({"one_leg_s": 5, "five_stands_s": 15, "grip_kg": 5}, "low"),
        ({"one_leg_s": 4.9}, "intermediate"),
        ({"five_stands_s": 15.1}, "intermediate"),
    ],
)
def test_fall_risk_by_tests(tests: dict[str, Any], expected: str) -> None:
    """Up and go, tandem, chair stands (11 at 65 to 69): STEADI; gait 0.8 m/s: guidelines 2022."""
    assert fall_level(tests=tests) == expected


@pytest.mark.parametrize(
    ("medicines", "expected"),
    [
        ({"opioid": "yes"}, "low"),
        ({"opioid": "yes", "sedative": "yes"}, "intermediate"),
        ({"antiepileptic": "yes", "antidepressant": "yes"}, "intermediate"),
        ({"opioid": "yes", "anticoagulant": "yes"}, "low"),
        # a yes to what was not answered would make two
        ({"opioid": "yes", "sedative": "unknown"}, "unknown"),
        ({"sedative": "unknown"}, "low"),
        ({"opioid": "unknown", "sedative": "unknown"}, "unknown"),
    ],
)
def test_fall_risk_by_medicines(medicines: dict[str, str], expected: str) -> None:
    """Two of the five: project choice."""
    assert fall_level(medicines=medicines) == expected


@pytest.mark.parametrize(
    ("mobility", "expected"),
    [("independent", "low"), ("stick", "low"), ("frame", "intermediate"), ("unknown", "low")],
)
def test_fall_risk_by_walking_aid(mobility: str, expected: str) -> None:
    assert fall_level(person={"mobility": mobility}) == expected


def test_high_fall_risk_bars_impact_and_asks_for_form() -> None:
    screen = screened(falls={"last_12_months": 2})
    assert screen.status(IMPACT) is OUT
    assert screen.limits(RESISTANCE).group_c
    assert statuses(falls={"last_12_months": 1})[2] is not OUT


@pytest.mark.parametrize(
    ("falls", "missing"),
    [
        ({"last_12_months": 0, "injury": "unknown"}, ()),
        ({"last_12_months": 1}, ()),
        ({"last_12_months": 1, "injury": "unknown"}, ("an injury",)),
        (
            {"last_12_months": 1, "long_lie": "unknown", "blackout": None},
            ("an hour or more on the floor", "a blackout"),
        ),
    ],
)
def test_what_is_not_recorded_of_a_fall(falls: dict[str, Any], missing: tuple[str, ...]) -> None:
    known = steady(falls=falls).falls
    assert known is not None
    assert severity_missing(known) == missing


@pytest.mark.parametrize(
    ("changes", "fragile"),
    [
        ({}, False),
        ({"person": {"born": "1946-03-03"}, "tests": {"chair_stands_30s": 20}}, False),
        ({"person": {"born": "1946-03-02"}, "tests": {"chair_stands_30s": 20}}, True),
        ({"falls": {"last_12_months": 2}}, True),
        ({"falls": {"last_12_months": 1}}, False),
        ({"fractures": [fracture("vertebra", "2019-05-01", low_trauma="no")]}, True),
        ({"scans": [scan(t=-3.0)]}, True),
        ({"scans": [scan(t=-2.9)]}, False),
    ],
)
def test_fragile_on_the_plate(changes: dict[str, Any], fragile: bool) -> None:
    """Row 14; 79 and 80 years are both sides of one birthday."""
    assert seen(**changes).fragile == fragile
