"""Resting pressure, its fall on standing, red flags and pregnancy (rows 6, 7, 11)."""

from __future__ import annotations

from typing import Any

import pytest

from patients.codes import SYMPTOMS
from safety.findings import ALL, Level, Modality
from tests.people import clearance, scan, steady_document
from tests.safety.looking import (
    BALANCE,
    HOLD,
    IMPACT,
    IN,
    OUT,
    PLATE,
    RESISTANCE,
    found,
    level,
    screened,
    statuses,
)


@pytest.mark.parametrize(
    ("pressure", "expected"),
    [
        ([160, 100], "fine"),
        ([161, 100], "care"),
        ([160, 101], "care"),
        ([180, 110], "care"),
        ([181, 76], "bar"),
        ([126, 111], "bar"),
        ([300, 200], "bar"),
    ],
)
def test_resting_pressure(pressure: list[int], expected: str) -> None:
    """180/110 and 160/100: resistance training lists (PMC10959113; Diabetes Care, table 4)."""
    screen = screened(tests={"resting_bp": pressure, "standing_bp": None})
    barred = expected == "bar"
    assert [screen.status(m) for m in Modality] == [OUT if barred else IN] * 3 + [IN] * 2
    assert (screen.limits(RESISTANCE).percent_1rm == 60) == (expected == "care")
    assert (screen.limits(IMPACT).impact_bw == 2.0) == (expected == "care")
    assert screen.limits(PLATE).plate_start_dose == (expected == "care")
    referred = [f.rule for f in screen.findings if f.level is Level.REFER]
    assert referred == (["pressure.refer"] if barred else [])


def test_pressure_never_measured_holds_what_is_loaded() -> None:
    assert statuses(tests={"resting_bp": None}) == [HOLD, HOLD, HOLD, IN, IN]
    assert statuses(tests=None) == [HOLD, HOLD, HOLD, IN, IN]


@pytest.mark.parametrize(
    ("standing", "falls"),
    [([107, 76], False), ([106, 76], True), ([126, 67], False), ([126, 66], True)],
)
def test_fall_of_pressure_on_standing(standing: list[int], falls: bool) -> None:
    """20 systolic or 10 diastolic within 3 minutes (orthostatic definition)."""
    screen = screened(tests={"standing_bp": standing})
    assert screen.limits(BALANCE).near_support == falls
    assert screen.limits(PLATE).plate_start_dose == falls
    assert screen.situation.fall_risk.level == ("intermediate" if falls else "low")


# --- Red flags ------------------------------------------------------------------------------


@pytest.mark.parametrize("symptom", SYMPTOMS)
@pytest.mark.parametrize("answer", ["yes", "unknown", "no"])
def test_red_flag(symptom: str, answer: str) -> None:
    screen = screened(symptoms={symptom: answer})
    codes = [f"red_flag.{symptom}"] if answer != "no" else []
    assert [f.rule for f in screen.blocked] == codes
    assert [f.about for f in screen.blocked] == [ALL for _code in codes]
    assert [f.level for f in screen.blocked] == (
        [] if answer == "no" else [Level.REFER if answer == "yes" else Level.MISSING]
    )
    assert statuses(symptoms={symptom: answer}) == [IN] * 5


SAME_DAY = {
    "bladder_or_bowel_change",
    "new_weakness_or_numbness",
    "chest_pain",
    "breathless_at_rest",
    "blackout",
}


@pytest.mark.parametrize("symptom", SYMPTOMS)
def test_how_soon(symptom: str) -> None:
    finding = found(f"red_flag.{symptom}", symptoms={symptom: "yes"})
    assert finding is not None
    assert finding.same_day == (symptom in SAME_DAY)
    assert ("refer the same day" in finding.text) == (symptom in SAME_DAY)
    assert ("refer within days" in finding.text) == (symptom not in SAME_DAY)


def test_none_asked_blocks_with_each() -> None:
    assert len(screened(symptoms=None).blocked) == len(SYMPTOMS)


@pytest.mark.parametrize(
    ("own", "falls", "expected"),
    [
        ("no", {"last_12_months": 1, "blackout": "yes"}, Level.REFER),
        ("unknown", {"last_12_months": 1, "blackout": "yes"}, Level.REFER),
        ("no", {"last_12_months": 1, "blackout": "unknown"}, Level.MISSING),
        ("no", {"last_12_months": 1, "blackout": "no"}, None),
        ("no", {"last_12_months": 0, "blackout": "unknown"}, None),
        ("no", {"last_12_months": 0, "blackout": "yes"}, Level.REFER),
        ("no", {"last_12_months": None, "blackout": "yes"}, Level.REFER),
        ("no", {"last_12_months": None, "blackout": None}, None),
        ("yes", {"last_12_months": 0, "blackout": "no"}, Level.REFER),
        ("unknown", {"last_12_months": 0, "blackout": "no"}, Level.MISSING),
    ],
)
def test_blackout_after_a_fall(own: str, falls: dict[str, Any], expected: Level | None) -> None:
    assert level("red_flag.blackout", symptoms={"blackout": own}, falls=falls) is expected


ALL_FIVE = tuple(str(modality) for modality in Modality)


def _blackout(*modalities: str, **more: str) -> dict[str, Any]:
    given = {"for": "blackout", **clearance(*modalities, **more)}
    return {"symptoms": {"blackout": "yes"}, "clearances": [given]}


def test_a_clearance_lifts_a_blackout() -> None:
    screen = screened(**_blackout(*ALL_FIVE))
    assert not screen.blocked
    assert [f.cleared for f in screen.findings] == [True]
    assert statuses(**_blackout(*ALL_FIVE)) == [IN] * 5


def test_a_blackout_cleared_for_balance_is_not_cleared_for_the_plate() -> None:
    """A clearance names modalities; what it does not name waits."""
    changes = _blackout("balance", "posture")
    assert not screened(**changes).blocked
    assert statuses(**changes) == [HOLD, HOLD, HOLD, IN, IN]


def test_a_clearance_that_has_ended_lifts_nothing() -> None:
    assert screened(**_blackout(*ALL_FIVE, until="2026-03-01")).blocked


def test_most_serious_first() -> None:
    findings = screened(
        symptoms={"fever": "yes", "chest_pain": "yes", "thigh_or_groin_pain": "unknown"},
        conditions={
            "stones": {"answer": "yes", "cleared": clearance("plate")},
            "aneurysm": "yes",
            "hernia": "yes",
            "epilepsy": "unknown",
        },
    ).findings
    order = [f.rule for f in findings]
    assert order[:2] == ["red_flag.chest_pain", "red_flag.fever"]
    assert order[-1] == "stones.plate"
    levels = [f.level for f in findings[2:-1]]
    assert levels == sorted(levels, key=list(Level).index)


# --- Pregnancy ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("person", "expected"),
    [
        ({"menopause": "after", "pregnant": "yes"}, None),
        ({"menopause": "after", "pregnant": None}, None),
        ({"sex": "male", "menopause": "not_applicable", "pregnant": None}, None),
        # menopause not recorded: asked for up to 54, taken as past from 55
        ({"born": "1971-03-03", "menopause": None, "pregnant": None}, Level.MISSING),
        ({"born": "1971-03-02", "menopause": None, "pregnant": None}, None),
        ({"born": "1971-03-02", "menopause": None, "pregnant": "yes"}, Level.CONTRAINDICATED),
        ({"born": "1971-03-03", "menopause": "not_applicable", "pregnant": None}, Level.MISSING),
        ({"born": "1971-03-02", "menopause": "not_applicable", "pregnant": None}, None),
        ({"born": "1990-03-02", "menopause": "before", "pregnant": "no"}, None),
        ({"born": "1976-03-02", "menopause": "transition", "pregnant": None}, Level.MISSING),
    ],
)
def test_pregnancy(person: dict[str, Any], expected: Level | None) -> None:
    changes = {"person": person, "scans": [scan(t=-1.8, z=-0.4)]}
    assert level("pregnancy.plate", **changes) is expected


def test_pregnancy_not_recorded_holds_what_yes_would_bar() -> None:
    person = {"born": "1990-03-02", "menopause": "before", "pregnant": None}
    assert statuses(person=person) == [HOLD, HOLD, HOLD, IN, IN]
    assert screened(person=person).limits(BALANCE).near_support


def test_the_steady_person_is_what_these_tests_change() -> None:
    assert statuses() == [IN] * 5
    assert steady_document()["tests"]["resting_bp"] == [126, 76]
