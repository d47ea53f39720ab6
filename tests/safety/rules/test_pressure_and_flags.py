"""Resting pressure, its fall on standing, red flags and pregnancy (rows 6, 7, 11)."""

from __future__ import annotations

from typing import Any

import pytest

from patients.facts.codes import SYMPTOMS
from safety.findings import ALL, Level, Limits, Modality
from tests.each import each
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
    refers = {"bar": ["pressure.refer"], "care": ["pressure.over_160_100.refer"]}
    assert referred == refers.get(expected, [])
    assert screen.limits(RESISTANCE).least_could_lift == (25 if expected == "care" else None)


@pytest.mark.parametrize(
    ("resting", "standing", "care", "refer"),
    [
        ([91, 60], [71, 60], False, False),
        ([90, 60], [85, 60], True, False),
        ([90, 60], [81, 60], True, False),
        ([90, 60], [80, 60], True, True),
        ([90, 60], [85, 50], True, True),  # a fall of 10 diastolic
        ([90, 60], None, True, False),
    ],
)
def test_low_pressure(
    resting: list[int], standing: list[int] | None, care: bool, refer: bool
) -> None:
    """90 and 80: project choice."""
    tests = {"resting_bp": resting, "standing_bp": standing}
    assert (level("pressure.low.plate", tests=tests) is Level.PRECAUTION) is care
    assert (level("pressure.low.balance", tests=tests) is Level.PRECAUTION) is care
    assert (level("pressure.low.refer", tests=tests) is Level.REFER) is refer
    assert statuses(tests=tests) == [IN] * 5


@pytest.mark.parametrize(
    ("date", "pressure", "expected"),
    [
        # six months for a resting pressure: normal is then as never measured
        ("2025-09-02", [126, 76], [IN, IN, IN]),
        ("2025-09-01", [126, 76], [HOLD, HOLD, HOLD]),
        # too high still counts, and clears nothing that a normal one of then would not
        ("2025-09-01", [181, 76], [OUT, OUT, OUT]),
        ("2025-09-01", [161, 76], [HOLD, HOLD, HOLD]),
        ("2025-09-02", [161, 76], [IN, IN, IN]),
        (None, [126, 76], [HOLD, HOLD, HOLD]),
    ],
)
def test_an_old_pressure(date: str | None, pressure: list[int], expected: list[Any]) -> None:
    today = {**steady_document()["tests"], "resting_bp": None, "standing_bp": None}
    old = {"date": date, "resting_bp": pressure}
    assert statuses(tests=[today, old])[:3] == expected
    if date != "2025-09-02":
        asked = found("tests.old", tests=[today, old])
        assert asked is not None
        assert asked.missing == ("a newer resting blood pressure",)


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


@each("symptom", SYMPTOMS)
@each("answer", ["yes", "unknown", "no"])
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
    assert [f.cleared for f in screen.findings] == [True] * 6
    assert all(screen.until(modality) for modality in Modality)
    assert [screen.limits(modality) for modality in Modality] == [Limits()] * 5
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
            "stones": {"answer": "yes", "on": "2026-01-05", "cleared": clearance("plate")},
            "aneurysm": "yes",
            "hernia": "yes",
            "epilepsy": "unknown",
        },
    ).findings
    order = [f.rule for f in findings]
    assert order[:2] == ["red_flag.chest_pain", "red_flag.fever"]
    assert order[-1] == "stones.recent.plate"
    levels = [f.level for f in findings[2:-1]]
    assert levels == sorted(levels, key=list(Level).index)


# --- Pregnancy ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("person", "expected"),
    [
        ({"menopause": "after", "pregnant": "yes"}, Level.CONTRAINDICATED),
        ({"menopause": "after", "pregnant": None}, None),
        ({"sex": "male", "menopause": "not_applicable", "pregnant": None}, None),
        # not recorded: asked for up to 55, taken as no from 56
        ({"born": "1970-03-03", "menopause": None, "pregnant": None}, Level.MISSING),
        ({"born": "1970-03-02", "menopause": None, "pregnant": None}, None),
        ({"born": "1970-03-02", "menopause": None, "pregnant": "yes"}, Level.CONTRAINDICATED),
        ({"born": "1970-03-03", "menopause": "not_applicable", "pregnant": None}, Level.MISSING),
        ({"born": "1970-03-02", "menopause": "not_applicable", "pregnant": None}, None),
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
