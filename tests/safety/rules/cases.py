"""A case of every rule: facts on which it fires, on which it does not, and one not recorded."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from typing import Any

from patients.facts import codes
from safety.rules.rule import Rule
from safety.situation import WATCHED
from tests.people import clearance, fracture, scan
from tests.safety.looking import days_ago


@dataclass(frozen=True, kw_only=True)
class Case:
    """Changes to the steady person.

    asked_by   the rule that asks where this one leaves the asking to another
    """

    fires: dict[str, Any]
    spares: dict[str, Any]
    unrecorded: dict[str, Any]
    asked_by: str = ""


def _blackout(answer: str, *cleared_for: str) -> dict[str, Any]:
    given = {"for": "blackout", **clearance(*cleared_for)}
    return {"symptoms": {"blackout": answer}, "clearances": [given]}


def _condition(code: str, answer: object) -> dict[str, Any]:
    return {"conditions": {code: answer}}


def _of_bone(site: str) -> Case:
    """Return the case of a mending bone; without its date it is asked for."""
    return Case(
        fires={"fractures": [fracture(site, days_ago(84))]},
        spares={"fractures": [fracture(site, days_ago(85))]},
        unrecorded={"fractures": [fracture(site, None, healed="unknown")]},
        asked_by="fracture.undated",
    )


def _bone_medicine(**more: str) -> dict[str, Any]:
    return {"medicines": {"bone_medicine": {"answer": "yes", "kind": "denosumab", **more}}}


_STANDING = (
    "up_and_go_s",
    "chair_stands_30s",
    "five_stands_s",
    "side_by_side_s",
    "semi_tandem_s",
    "tandem_s",
    "one_leg_s",
    "walk_4m_s",
)
_UNSEEN = {"tests": None, "person": {"mobility": None}}
_UNTESTED = dict.fromkeys(("up_and_go_s", "walk_4m_s", "five_stands_s", "chair_stands_30s"))
_YOUNG = {"born": "1986-05-01", "menopause": "before"}
_SCANS = [scan(t=-1.8, z=-0.4)]
_NO_FRACTURES = {"fractures": None}
_ALONE = {"supervised": "no", "watcher": "no"}
_STEROID_YES = {"answer": "yes", "mg_per_day": 7.5, "months": 6}
#: By the part of a rule's code that its modalities share.
CASES = {
    **{
        f"blackout.not_cleared.{m}": Case(
            fires=_blackout("yes", *(other for other in codes.MODALITIES if other != m)),
            spares=_blackout("no", *codes.MODALITIES),
            unrecorded=_blackout("unknown", *codes.MODALITIES),
            asked_by="red_flag.blackout",
        )
        for m in codes.MODALITIES
    },
    **{
        f"{code}.alone": Case(
            fires={**_condition(code, "yes"), "resources": _ALONE},
            spares={**_condition(code, "yes"), "resources": {"watcher": "yes"}},
            unrecorded={**_condition(code, "yes"), "resources": {"watcher": None}},
        )
        for code in WATCHED
    },
    "fracture.under_4_weeks": Case(
        fires={"fractures": [fracture("wrist", days_ago(27))]},
        spares={"fractures": [fracture("wrist", days_ago(28))]},
        unrecorded={"fractures": [fracture("wrist", None)]},
        asked_by="fracture.undated",
    ),
    "fracture.mending": _of_bone("rib"),
    "fracture.arm": _of_bone("wrist"),
    "fracture.minor": _of_bone("finger"),
    "fracture.toe": _of_bone("finger_toe_face"),
    "fracture.arm.not_united": Case(
        fires={"fractures": [fracture("humerus", "2025-03-01", healed="no")]},
        spares={"fractures": [fracture("humerus", "2025-03-02", healed="no")]},
        unrecorded={"fractures": [fracture("humerus", None, healed="no")]},
        asked_by="fracture.undated",
    ),
    "fracture.healing_unknown": Case(
        fires={"fractures": [{"site": "wrist", "date": days_ago(200)}]},
        spares={"fractures": [fracture("wrist", days_ago(200))]},
        unrecorded={"fractures": [{"site": "wrist", "date": days_ago(85)}]},
    ),
    "fracture.undated": Case(
        fires={"fractures": [fracture("wrist", None)]},
        spares={"fractures": [fracture("wrist", "2019")]},
        unrecorded={"fractures": [{"site": "vertebra"}]},
    ),
    "fracture.entered_twice": Case(
        fires={"fractures": [fracture("wrist", "2019-05-01")] * 2},
        spares={"fractures": [fracture("wrist", "2019")] * 2},
        unrecorded={"fractures": [fracture("rib", "2019-05-01")] * 2},
    ),
    "thigh_bone": Case(
        fires={"fractures": [fracture("femur_shaft", "2019-05-01")]},
        spares={"fractures": [{**fracture("femur_shaft", "2019-05-01"), "atypical": "no"}]},
        unrecorded=_NO_FRACTURES,
        asked_by="fracture.not_asked.plate",
    ),
    "several_fractures": Case(
        fires={"fractures": [fracture(site, "2019-05-01") for site in ("wrist", "rib")]},
        spares={"fractures": [fracture(site, "2019-05-01") for site in ("wrist", "toe")]},
        unrecorded=_NO_FRACTURES,
        asked_by="fracture.not_asked.plate",
    ),
    "very_high_risk": Case(
        fires={"scans": [scan(t=-3.0)]},
        spares={"scans": [scan(t=-2.9)]},
        unrecorded=_NO_FRACTURES,
        asked_by="fracture.not_asked.posture",
    ),
    "height.not_recorded.all": Case(
        fires={"person": {"height_cm": None, "tallest_height_cm": None}},
        spares={"person": {"height_cm": None}},
        unrecorded={"person": {"height_cm": None, "tallest_height_cm": None}},
    ),
    "denosumab.not_recorded": Case(
        fires=_bone_medicine(),
        spares=_bone_medicine(last_dose_on="2026-01-10"),
        unrecorded=_bone_medicine(),
    ),
    "denosumab.overdue": Case(
        fires=_bone_medicine(last_dose_on="2025-08-01"),
        spares=_bone_medicine(last_dose_on="2025-08-02"),
        unrecorded=_bone_medicine(),
        asked_by="denosumab.not_recorded.plate",
    ),
    "spine_image.wanted": Case(
        fires={"scans": [scan(t=-2.5)]},
        spares={"scans": [scan(t=-2.4)]},
        unrecorded={"scans": [scan(t=-2.5)], "spine_image": {"answer": "yes"}},
    ),
    "bone_medicine.wanted": Case(
        fires={"scans": [scan(t=-2.5)]},
        spares={"scans": [scan(t=-2.4)]},
        unrecorded={"scans": None},
        asked_by="low_t.plate",
    ),
    "medicines.sedating": Case(
        fires={"medicines": {"opioid": "yes", "sedative": "yes"}},
        spares={"medicines": {"opioid": "yes"}},
        unrecorded={"medicines": {"opioid": "yes", "sedative": "unknown"}},
    ),
    "anticoagulant.knock": Case(
        fires={"medicines": {"anticoagulant": "yes"}},
        spares={"medicines": {"anticoagulant": "no"}},
        unrecorded={"medicines": None},
        asked_by="medicines.sedating",
    ),
    "age.under_18": Case(
        fires={"person": {"born": "2008-03-03", "menopause": "before"}},
        spares={"person": {"born": "2008-03-02", "menopause": "before"}},
        unrecorded={"scans": None},  # a date of birth is never missing
        asked_by="low_t.plate",
    ),
    "low_t.young": Case(
        fires={"person": _YOUNG, "scans": [scan(t=-2.5, z=-1.0)]},
        spares={"person": _YOUNG, "scans": [scan(t=-2.4, z=-1.0)]},
        unrecorded={"scans": None},
        asked_by="low_t.plate",
    ),
    "tests.old": Case(
        fires={"tests": {"date": "2025-03-01"}},
        spares={"tests": {"date": "2025-09-02"}},
        unrecorded={"tests": {"date": None}},
    ),
    "scans.old": Case(
        fires={"scans": [{**scan(t=-1.8), "date": "2023-03-01"}]},
        spares={"scans": [{**scan(t=-1.8), "date": "2023-03-02"}]},
        unrecorded={"scans": [{**scan(t=-1.8), "date": "2015-03-01"}]},
    ),
    "low_function": Case(
        fires={"tests": {"up_and_go_s": 15.1}},
        spares={"tests": {"up_and_go_s": 15}},
        unrecorded={"person": {"born": "1951-03-02"}, "tests": _UNTESTED},
    ),
    "low_function.not_tested": Case(
        fires={"tests": _UNTESTED},
        spares={"tests": {**_UNTESTED, "walk_4m_s": 3.6}},
        unrecorded={"tests": {**_UNTESTED, "grip_kg": 30}},
    ),
    "cannot_stand": Case(
        fires={"person": {"mobility": "wheelchair"}},
        spares={"person": {"mobility": "frame"}},
        unrecorded=_UNSEEN,
        asked_by="standing.not_recorded.plate",
    ),
    "frame": Case(
        fires={"person": {"mobility": "frame"}},
        spares={"person": {"mobility": "stick"}},
        unrecorded=_UNSEEN,
        asked_by="standing.not_recorded.plate",
    ),
    "standing.not_recorded": Case(
        fires=_UNSEEN,
        spares={"tests": None, "person": {"mobility": "independent"}},
        unrecorded={**_UNSEEN, "tests": dict.fromkeys(_STANDING)},
    ),
    "low_energy.refer": Case(
        fires=_condition("low_energy", "yes"),
        spares=_condition("low_energy", "no"),
        unrecorded=_condition("low_energy", "unknown"),
        asked_by="low_energy.impact",
    ),
    "low_bmi": Case(
        fires={"person": {"weight_kg": 49.1}},
        spares={"person": {"weight_kg": 49.2}},
        unrecorded={"person": {"weight_kg": None}},
    ),
    "pressure.low": Case(
        fires={"tests": {"resting_bp": [90, 60], "standing_bp": [80, 60]}},
        spares={"tests": {"resting_bp": [91, 60], "standing_bp": [80, 60]}},
        unrecorded={"tests": None},
        asked_by="pressure.not_measured.plate",
    ),
    "fracture.not_asked": Case(
        fires=_NO_FRACTURES, spares={"fractures": []}, unrecorded=_NO_FRACTURES
    ),
    "fragile_spine": Case(
        fires={"fractures": [fracture("vertebra", "2019-05-01")]},
        spares={"fractures": [fracture("wrist", "2019-05-01")]},
        unrecorded=_NO_FRACTURES,
        asked_by="fracture.not_asked.plate",
    ),
    "spine_not_imaged": Case(
        fires={"person": {"tallest_height_cm": 167}},
        spares={"person": {"tallest_height_cm": 166.9}},
        unrecorded={"person": {"height_cm": None}},
        asked_by="height.not_recorded.plate",
    ),
    "glucocorticoid.not_recorded": Case(
        fires={"medicines": {"glucocorticoid": "unknown"}},
        spares={"medicines": {"glucocorticoid": _STEROID_YES}},
        unrecorded={"medicines": None},
    ),
    "height.not_recorded": Case(
        fires={"person": {"height_cm": None}},
        spares={"person": {"height_cm": None, "tallest_height_cm": None}},
        unrecorded={"person": {"height_cm": None}},
    ),
    "pressure.over_180_110": Case(
        fires={"tests": {"resting_bp": [181, 76]}},
        spares={"tests": {"resting_bp": [180, 110]}},
        unrecorded={"tests": None},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.over_160_100": Case(
        fires={"tests": {"resting_bp": [161, 76]}},
        spares={"tests": {"resting_bp": [160, 100]}},
        unrecorded={"tests": {"resting_bp": None}},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.not_measured": Case(
        fires={"tests": {"resting_bp": None}}, spares={}, unrecorded={"tests": None}
    ),
    "pressure.refer": Case(
        fires={"tests": {"resting_bp": [126, 111]}},
        spares={"tests": {"resting_bp": [126, 110]}},
        unrecorded={"tests": None},
        asked_by="pressure.not_measured.plate",
    ),
    "pressure.standing_fall": Case(
        fires={"tests": {"standing_bp": [106, 76]}},
        spares={"tests": {"standing_bp": [107, 76]}},
        unrecorded={"tests": {"standing_bp": None}},
    ),
    "low_t": Case(
        fires={"scans": [scan(t=-3.5)]},
        spares={"scans": [scan(t=-3.4)]},
        unrecorded={"scans": None},
    ),
    "falls.high": Case(
        fires={"falls": {"last_12_months": 2}},
        spares={"falls": {"last_12_months": 1}},
        unrecorded={"falls": None},
        asked_by="falls.not_asked",
    ),
    "falls.not_asked": Case(
        fires={"falls": None},
        spares={"falls": {"last_12_months": 0}},
        unrecorded={"falls": {"last_12_months": 1, "injury": "unknown"}},
    ),
    "pregnancy": Case(
        fires={"person": {**_YOUNG, "pregnant": "yes"}, "scans": _SCANS},
        spares={"person": {**_YOUNG, "pregnant": "no"}, "scans": _SCANS},
        unrecorded={"person": {**_YOUNG, "pregnant": None}, "scans": _SCANS},
    ),
    "pelvic_floor_symptoms.refer": Case(
        fires=_condition("pelvic_floor_symptoms", "yes"),
        spares=_condition("pelvic_floor_symptoms", "no"),
        unrecorded=_condition("pelvic_floor_symptoms", "unknown"),
        asked_by="pelvic_floor_symptoms.impact",
    ),
}


def _of_condition(code: str, part: str) -> Case:
    case = _of_answer(code, part)
    if code != "recent_birth":
        return case
    unrecorded = {**case.unrecorded, "person": _YOUNG, "scans": _SCANS}
    return dataclasses.replace(case, unrecorded=unrecorded)


def _of_answer(code: str, part: str) -> Case:
    old, fresh = {"answer": "yes", "on": "2020-01-01"}, {"answer": "yes", "on": days_ago(10)}
    if part == "date":
        undated = _condition(code, "yes")
        return Case(fires=undated, spares=_condition(code, old), unrecorded=undated)
    fires, spares = (old, fresh) if part == "older" else (fresh, old if part else "no")
    return Case(
        fires=_condition(code, fires),
        spares=_condition(code, spares),
        unrecorded=_condition(code, "unknown"),
        asked_by=f"{code}.recent.plate" if part == "older" else "",
    )


def case_of(rule: Rule) -> Case:
    """Return the case of a rule; a rule without one fails here."""
    shared = rule.code.removesuffix(f".{rule.applies_to}")
    whole = f"{rule.code}.{rule.applies_to}"
    for name in (whole, rule.code, shared, rule.code.removesuffix(".refer")):
        if name in CASES:
            return CASES[name]
    family, _, part = shared.partition(".")
    if family == "red_flag":
        return Case(
            fires={"symptoms": {part: "yes"}},
            spares={"symptoms": {part: "no"}},
            unrecorded={"symptoms": {part: "unknown"}},
        )
    return _of_condition(family, "" if part == rule.applies_to else part)
