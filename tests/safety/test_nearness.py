"""Nearly met: within a tenth, or one step, of a criterion; both sides of each."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings

from safety.nearness import near_fall, near_fracture
from tests.documents import Document, documents
from tests.people import facts, fracture, scan, steady


def fracture_near(**changes: Any) -> list[tuple[str, str]]:
    found = near_fracture(steady(**changes))
    return [(near.criterion.code.partition(".")[2], near.number) for near in found]


def fall_near(**changes: Any) -> list[tuple[str, str]]:
    found = near_fall(steady(**changes))
    return [(near.criterion.code.partition(".")[2], near.number) for near in found]


@pytest.mark.parametrize(
    ("t", "expected"),
    [
        (-0.9, []),
        (-1.0, [("t_1_0", "T-score −1.0")]),
        (-2.2, []),
        (-2.3, [("t_2_5", "T-score −2.3")]),  # a tenth lower is -2.53
        (-2.5, []),
        (-2.8, [("t_3_0", "T-score −2.8")]),
        (-3.0, []),
    ],
)
def test_near_by_t(t: float, expected: list[tuple[str, str]]) -> None:
    assert fracture_near(scans=[scan(t=t)]) == expected


def test_near_by_z() -> None:
    young = {"born": "1987-05-02", "menopause": "before"}
    assert fracture_near(person=young, scans=[scan(z=-1.9, t=-2.0)]) == [("z_2_0", "Z-score −1.9")]


@pytest.mark.parametrize(
    ("chances", "expected"),
    [
        ({"major_percent": 18}, []),
        ({"major_percent": 18.2}, [("major_20", "major fracture 18.2 %")]),
        ({"hip_percent": 2.8}, [("hip_3", "hip fracture 2.8 %")]),
        ({"hip_percent": 2.7}, []),
        (
            {"major_percent": 28, "hip_percent": 4.2},
            [
                ("major_30", "major fracture 28 %"),
                ("hip_4_5", "hip fracture 4.2 %"),
            ],
        ),
    ],
)
def test_near_by_probability(chances: dict[str, float], expected: list[tuple[str, str]]) -> None:
    assert fracture_near(scans=[scan(t=-0.5)], probability_10y=chances) == expected


@pytest.mark.parametrize(
    ("steroid", "expected"),
    [
        ({"mg_per_day": 6.9, "months": 3}, [("steroid_7_5", "glucocorticoid 6.9 mg a day")]),
        ({"mg_per_day": 6.7, "months": 3}, []),
        (
            {"mg_per_day": 7.5, "months": 2},
            [("steroid_7_5", "glucocorticoid 7.5 mg a day for 2 months")],
        ),
        ({"mg_per_day": 7.5, "months": 1.9}, []),
        ({"mg_per_day": 28}, [("steroid_30", "glucocorticoid 28 mg a day")]),
        ({"months": 2}, []),
    ],
)
def test_near_by_glucocorticoid(steroid: dict[str, float], expected: list[Any]) -> None:
    medicines = {"glucocorticoid": {"answer": "yes", **steroid}}
    assert fracture_near(scans=[scan(t=-0.5)], medicines=medicines) == expected


def test_what_is_not_taken_or_not_recorded_comes_near_nothing() -> None:
    assert fracture_near(scans=None, medicines=None, fractures=[fracture("wrist", None)]) == []
    assert near_fall(steady(falls=None, tests=None)) == ()


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"falls": {"last_12_months": 0}}, []),
        ({"falls": {"last_12_months": 1}}, [("two_falls", "one fall")]),
        ({"tests": {"up_and_go_s": 10.9}}, []),
        ({"tests": {"up_and_go_s": 11}}, [("abnormal_test", "Timed Up and Go 11 s")]),
        ({"tests": {"walk_4m_s": 4.5}}, []),
        ({"tests": {"walk_4m_s": 4.6}}, [("abnormal_test", "4 m walk 4.6 s")]),
        ({"tests": {"chair_stands_30s": 12}}, []),
        ({"tests": {"chair_stands_30s": 11}}, [("abnormal_test", "11 chair stands")]),
        ({"tests": {"chair_stands_30s": None, "walk_4m_s": None, "standing_bp": None}}, []),
        ({"tests": {"standing_bp": [109, 76]}}, []),
        (
            {"tests": {"standing_bp": [108, 76]}},
            [("abnormal_test", "pressure after standing 108/76")],
        ),
        (
            {"tests": {"standing_bp": [126, 67]}},
            [("abnormal_test", "pressure after standing 126/67")],
        ),
    ],
)
def test_near_a_fall(changes: dict[str, Any], expected: list[tuple[str, str]]) -> None:
    """A full stance of 10 s is at its cut for everyone, so it comes near nothing."""
    assert fall_near(**changes) == expected


@pytest.mark.slow
@settings(max_examples=200)
@given(documents)
def test_what_is_near_is_not_met(document: Document) -> None:
    for near in (*near_fracture(facts(document)), *near_fall(facts(document))):
        assert near.criterion.met is False
        assert near.number
