"""After a fracture, the fragile spine, and the spine nobody has looked at (rows 2a, 2b, 4, 5)."""

from __future__ import annotations

from typing import Any

import pytest

from safety.findings import Level, Modality
from safety.fracture_history import days_since, is_fresh, is_mending
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
    [("2025-03-03", HOLD), ("2025-03-02", IN), (None, OUT)],  # twelve calendar months
)
def test_healing_not_recorded(date: str | None, expected: Any) -> None:
    broken = fracture("ankle", date, healed="unknown", low_trauma="no")
    assert statuses(fractures=[broken])[:3] == [expected] * 3


def test_healed_but_undated_is_asked_for() -> None:
    finding = found("fracture.undated", fractures=[fracture("rib", None)])
    assert finding is not None
    assert finding.missing == ("date of the fracture of: rib",)
    assert not finding.holds
    assert statuses(fractures=[fracture("rib", None)]) == [IN] * 5
    unhealed = fracture("rib", None, healed="unknown")
    assert statuses(fractures=[unhealed]) == [OUT, OUT, OUT, HOLD, HOLD]


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
    limits = screened(fractures=fractures)
    assert limits.limits(RESISTANCE).group_c == fragile
    assert limits.limits(POSTURE).spare_spine == fragile
    assert (limits.status(PLATE) is HOLD) == fragile


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
    assert [f.about for f in asked] == [PLATE, RESISTANCE, IMPACT, POSTURE]
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


@pytest.mark.parametrize(
    ("last", "imaged", "due"),
    [
        ("2025-08-02", None, False),  # seven months to the day
        ("2025-08-01", None, True),
        ("2025-06-02", "2026-01-01", True),
        ("2025-06-02", "2026-01-02", False),  # seven months after the last dose
        ("2024", "2025-07-01", True),  # the last dose may have been in December
        ("2024", "2025-07-31", False),
    ],
)
def test_denosumab_that_wears_off(last: str, imaged: str | None, due: bool) -> None:
    medicine = {"answer": "yes", "kind": "denosumab", "last_dose_on": last}
    image = {"answer": "yes", "on": imaged} if imaged else None
    changes = {"medicines": {"bone_medicine": medicine}, "spine_image": image}
    assert level("spine_not_imaged.refer", **changes) is (Level.REFER if due else None)
    assert screened(**changes).limits(POSTURE).spare_spine == due


@pytest.mark.parametrize(
    ("site", "expected"),
    [
        ("femur_shaft", [OUT, OUT, OUT, HOLD, HOLD]),
        ("foot", [OUT, OUT, OUT, HOLD, HOLD]),
        ("other", [OUT, OUT, OUT, HOLD, HOLD]),
        ("humerus", [OUT, IN, IN, IN, IN]),
        ("finger", [OUT, IN, IN, IN, IN]),
        ("face", [OUT, IN, IN, IN, IN]),
        ("toe", [OUT, IN, OUT, IN, IN]),
        ("finger_toe_face", [OUT, IN, OUT, IN, IN]),
    ],
)
def test_a_mending_bone_by_its_site(site: str, expected: list[Any]) -> None:
    assert statuses(fractures=[fracture(site, days_ago(40), low_trauma="no")]) == expected
    unhealed = fracture(site, "2015-01-01", healed="no", low_trauma="no")
    assert statuses(fractures=[unhealed]) == expected


@pytest.mark.parametrize("site", ["finger", "toe", "face", "finger_toe_face"])
def test_a_fresh_small_bone_stops_no_program(site: str) -> None:
    broken = [fracture(site, days_ago(3), low_trauma="no")]
    assert not screened(fractures=broken).blocked
    unknown = [fracture(site, days_ago(100), healed="unknown", low_trauma="no")]
    assert statuses(fractures=unknown) == [IN] * 5


def test_the_same_bone_and_day_is_one_fracture_and_a_vertebra_is_not() -> None:
    wrist = fracture("wrist", "2019-05-01")
    assert not screened(fractures=[wrist] * 2).limits(RESISTANCE).group_c
    assert level("fracture.entered_twice", fractures=[wrist] * 2) is Level.MISSING
    vertebra = fracture("vertebra", "2019-05-01")
    assert screened(fractures=[vertebra] * 2).situation.very_high_reasons == {"two_vertebral"}
    told = fracture("wrist", "2019")
    assert screened(fractures=[told] * 2).limits(RESISTANCE).group_c
    worse = {**wrist, "healed": "no"}
    assert statuses(fractures=[wrist, worse])[0] is OUT
    silent = {"site": "wrist", "date": "2019-05-01"}
    assert statuses(fractures=[wrist, silent]) == [IN] * 5


@pytest.mark.parametrize(("atypical", "bars"), [("yes", True), ("unknown", True), ("no", False)])
def test_the_shaft_of_the_thigh_bone(atypical: str, bars: bool) -> None:
    broken = [{**fracture("femur_shaft", "2020-01-01"), "atypical": atypical}]
    assert statuses(fractures=broken) == [HOLD if bars else IN, IN, IN, IN, IN]
    assert screened(fractures=broken).limits(IMPACT).impact_bw == (1.5 if bars else None)


@pytest.mark.parametrize(
    ("person", "image", "dosed"),
    [
        ({"height_cm": None, "tallest_height_cm": 170}, None, True),
        ({"height_cm": None, "tallest_height_cm": None}, None, False),
        ({"height_cm": None, "tallest_height_cm": 170}, "2024-03-02", False),
        ({"height_cm": None, "tallest_height_cm": 170}, "2024-03-01", True),
        ({"height_cm": None, "tallest_height_cm": None, "earlier_heights": EARLIER}, None, True),
    ],
)
def test_no_height_today_is_dosed_as_not_imaged(
    person: dict[str, Any], image: str | None, dosed: bool
) -> None:
    changes = {"person": person, "spine_image": image and {"answer": "yes", "on": image}}
    screen = screened(**changes)
    assert screen.status(PLATE) is (HOLD if dosed else IN)
    assert screen.limits(RESISTANCE).group_c == dosed
    assert screen.limits(POSTURE).spare_spine == dosed
    assert not [f for f in screen.findings if f.level is Level.REFER]
