"""After a fracture, the fragile spine, and the spine nobody has looked at (rows 2a, 2b, 4, 5)."""

from __future__ import annotations

from typing import Any

import pytest

from safety.findings import Level, Modality
from safety.history import days_since, is_fresh, is_mending
from safety.screen import Status
from tests.people import clearance, fracture, steady
from tests.safety.looking import (
    BALANCE,
    HOLD,
    IMPACT,
    IN,
    OUT,
    PLATE,
    POSTURE,
    RESISTANCE,
    days_ago,
    found,
    level,
    screened,
    statuses,
)

LEAVE = [{"for": "fracture", **clearance("balance", "posture", "plate", "resistance", "impact")}]


@pytest.mark.parametrize(
    ("days", "healed", "expected"),
    [
        # under 4 weeks nothing is drafted, from then to 12 weeks nothing loaded (row 4)
        (0, "yes", [OUT, OUT, OUT, HOLD, HOLD]),
        (27, "yes", [OUT, OUT, OUT, HOLD, HOLD]),
        (28, "yes", [OUT, OUT, OUT, HOLD, HOLD]),
        (84, "yes", [OUT, OUT, OUT, HOLD, HOLD]),
        (85, "yes", [IN, IN, IN, IN, IN]),
        (85, "no", [OUT, OUT, OUT, HOLD, HOLD]),
        (4000, "no", [OUT, OUT, OUT, HOLD, HOLD]),
        (85, "unknown", [HOLD, HOLD, HOLD, IN, IN]),
    ],
)
def test_days_after_a_fracture(days: int, healed: str, expected: list[Any]) -> None:
    broken = fracture("ankle", days_ago(days), healed=healed, low_trauma="no")
    assert statuses(fractures=[broken]) == expected


@pytest.mark.parametrize(("days", "blocked"), [(27, True), (28, False)])
def test_under_four_weeks_nothing_is_drafted(days: int, blocked: bool) -> None:
    screen = screened(fractures=[fracture("wrist", days_ago(days))])
    assert [f.rule for f in screen.blocked] == (["fracture.under_4_weeks"] if blocked else [])


def test_leave_after_a_fracture_lifts_balance_and_posture_only() -> None:
    broken = [fracture("ankle", days_ago(40), low_trauma="no")]
    assert statuses(fractures=broken, clearances=LEAVE) == [OUT, OUT, OUT, IN, IN]


def test_no_leave_lifts_a_fracture_under_four_weeks() -> None:
    screen = screened(fractures=[fracture("ankle", days_ago(10))], clearances=LEAVE)
    assert screen.blocked


@pytest.mark.parametrize(
    ("date", "expected"),
    [("2025-03-03", HOLD), ("2025-03-02", IN), (None, HOLD)],  # twelve calendar months
)
def test_healing_not_recorded(date: str | None, expected: Any) -> None:
    broken = fracture("ankle", date, healed="unknown", low_trauma="no")
    assert statuses(fractures=[broken])[:3] == [expected] * 3


def test_healed_but_undated_is_asked_for() -> None:
    finding = found("fracture.healing_unknown.plate", fractures=[fracture("hip", None)])
    assert finding is not None
    assert finding.missing == ("date of the fracture of: hip",)
    assert finding.holds


def test_a_known_fracture_counts_beside_an_unsure_one() -> None:
    broken = [fracture("ankle", days_ago(40)), {"site": "wrist", "date": days_ago(200)}]
    assert statuses(fractures=broken)[0] is OUT
    assert level("fracture.healing_unknown.plate", fractures=broken) is Level.MISSING


def test_an_undated_fracture_is_neither_fresh_nor_mending() -> None:
    broken = steady(fractures=[fracture("hip", None)])
    assert broken.fractures is not None
    assert days_since(broken.fractures[0], broken.as_of) is None
    assert not is_fresh(broken.fractures[0], broken.as_of)
    assert not is_mending(broken.fractures[0], broken.as_of)


OLD_VERTEBRA = fracture("vertebra", "2019-05-01")
OLD_WRIST, OLD_HUMERUS = (fracture(site, "2019-05-01") for site in ("wrist", "humerus"))


@pytest.mark.parametrize(
    ("fractures", "fragile"),
    [
        ([OLD_VERTEBRA], True),
        ([{**OLD_VERTEBRA, "low_trauma": "no"}], True),
        ([OLD_WRIST], False),
        ([OLD_WRIST, OLD_HUMERUS], True),
        ([OLD_WRIST, {**OLD_HUMERUS, "low_trauma": "unknown"}], True),
        ([OLD_WRIST, {**OLD_HUMERUS, "low_trauma": "no"}], False),
        ([OLD_WRIST, fracture("finger_toe_face", "2018-01-01")], False),
    ],
)
def test_fragile_spine(fractures: list[dict[str, str]], fragile: bool) -> None:
    expected = Level.NEEDS_CLEARANCE if fragile else None
    assert level("fragile_spine.plate", fractures=fractures) is expected


def test_what_a_fragile_spine_asks() -> None:
    screen = screened(fractures=[OLD_VERTEBRA])
    assert statuses(fractures=[OLD_VERTEBRA]) == [HOLD, IN, IN, IN, IN]
    assert screen.limits(IMPACT).impact_bw == 1.5
    assert screen.limits(RESISTANCE).group_c
    assert screen.limits(RESISTANCE).spare_spine
    assert screen.limits(POSTURE).spare_spine
    assert not screen.limits(BALANCE).spare_spine


# --- The spine nobody has looked at (row 2a) ------------------------------------------------

STEROID = {"answer": "yes", "mg_per_day": 5, "months": 3}
EARLIER = [{"date": "2024-02-01", "cm": 165}]


@pytest.mark.parametrize(
    ("changes", "due"),
    [
        # 4 cm under the tallest (societies: more than 4, or 4 and more)
        ({"person": {"tallest_height_cm": 166.9}}, False),
        ({"person": {"tallest_height_cm": 167}}, True),
        # 2 cm under an earlier measurement
        ({"person": {"earlier_heights": [{"date": "2024-02-01", "cm": 164.9}]}}, False),
        ({"person": {"earlier_heights": EARLIER}}, True),
        # glucocorticoid 5 mg a day for 3 months
        ({"medicines": {"glucocorticoid": STEROID}}, True),
        ({"medicines": {"glucocorticoid": {**STEROID, "mg_per_day": 4.9}}}, False),
        ({"medicines": {"glucocorticoid": {**STEROID, "months": 2.9}}}, False),
        # neither height nor tallest height known
        ({"person": {"height_cm": None, "tallest_height_cm": 190}}, False),
        ({"person": {"tallest_height_cm": None}}, False),
    ],
)
def test_a_vertebral_fracture_is_to_be_looked_for(changes: dict[str, Any], due: bool) -> None:
    assert level("spine_not_imaged.refer", **changes) is (Level.REFER if due else None)
    assert statuses(**changes) == [HOLD if due else IN, IN, IN, IN, IN]
    screen = screened(**changes)
    assert screen.limits(IMPACT).impact_bw == (1.5 if due else None)
    assert screen.limits(RESISTANCE).group_c == due


@pytest.mark.parametrize(
    ("changes", "image", "due"),
    [
        # within 24 months for tallest height and glucocorticoid
        ({"person": {"tallest_height_cm": 170}}, {"answer": "yes", "on": "2024-03-02"}, False),
        ({"person": {"tallest_height_cm": 170}}, {"answer": "yes", "on": "2024-03-01"}, True),
        ({"medicines": {"glucocorticoid": STEROID}}, {"answer": "yes", "on": "2024-03-02"}, False),
        ({"medicines": {"glucocorticoid": STEROID}}, {"answer": "yes", "on": "2024-03-01"}, True),
        # not older than the earlier measurement
        ({"person": {"earlier_heights": EARLIER}}, {"answer": "yes", "on": "2024-02-01"}, False),
        ({"person": {"earlier_heights": EARLIER}}, {"answer": "yes", "on": "2024-01-31"}, True),
        # an image without its date, or the answer no, is no image
        ({"person": {"tallest_height_cm": 170}}, {"answer": "yes"}, True),
        ({"person": {"tallest_height_cm": 170}}, {"answer": "no"}, True),
    ],
)
def test_an_image_answers(changes: dict[str, Any], image: dict[str, str], due: bool) -> None:
    expected = Level.REFER if due else None
    assert level("spine_not_imaged.refer", spine_image=image, **changes) is expected


@pytest.mark.parametrize(
    ("steroid", "missing"),
    [
        ("unknown", ("whether a glucocorticoid is taken",)),
        ("yes", ("glucocorticoid dose", "months on glucocorticoid")),
        ({"answer": "yes", "mg_per_day": 2}, ("months on glucocorticoid",)),
        ({"answer": "yes", "months": 1}, ("glucocorticoid dose",)),
    ],
)
def test_glucocorticoid_not_recorded_is_dosed_as_if_taken(
    steroid: Any, missing: tuple[str, ...]
) -> None:
    screen = screened(medicines={"glucocorticoid": steroid})
    asked = [f for f in screen.findings if f.rule.startswith("glucocorticoid")]
    assert [f.about for f in asked] == [PLATE, RESISTANCE, IMPACT]
    assert {f.missing for f in asked} == {missing}
    assert [screen.status(m) for m in Modality] == [HOLD, IN, IN, IN, IN]
    assert screen.limits(IMPACT).impact_bw == 1.5
    assert screen.limits(RESISTANCE).group_c
    assert not [f for f in screen.findings if f.level is Level.REFER]


@pytest.mark.parametrize(("on", "plate"), [("2024-03-02", IN), ("2024-03-01", HOLD)])
def test_a_recent_image_lets_the_plate_go_on_and_the_steroid_is_asked_for(
    on: str, plate: Status
) -> None:
    """The dose may yet be 30 mg, which is a very high risk: lifting and impact stay careful."""
    changes = {"medicines": None, "spine_image": {"answer": "yes", "on": on}}
    screen = screened(**changes)
    assert screen.status(PLATE) is plate
    assert screen.limits(RESISTANCE).group_c
    assert screen.limits(IMPACT).impact_bw == 1.5
    assert Level.MISSING in {f.level for f in screen.findings if f.about == IMPACT}
    known = {"medicines": {"otherwise": "no", "glucocorticoid": STEROID}}
    imaged = {"answer": "yes", "on": "2024-03-02"}
    assert not screened(spine_image=imaged, **known).limits(RESISTANCE).group_c
