"""The people of the invented clinic: what is known of each, dated from the day it is loaded."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

CLINIC = {
    "name": "Larkmere Bone Clinic (invented)",
    "phone": "Larkmere 0123",
    "address": "2 Millrace Row, Larkmere",
}
#: The number of an emergency and the clinic's words beside it, by language.
EMERGENCY = {
    "en": ("Larkmere 0000", "Day and night (invented)"),
    "es": ("Larkmere 0000", "De día y de noche (inventado)"),
}


@dataclass(frozen=True, kw_only=True)
class Ago:
    """A date so many days before the day on which the clinic is loaded."""

    days: int


@dataclass(frozen=True, kw_only=True)
class DemoPerson:
    """One invented person. `changes` is laid over what is known of everyone else.

    day, month   of birth; years is her age
    drafted      a program waits to be signed; else only facts are there
    """

    record_number: str
    given_name: str
    family_name: str
    years: int
    month: int
    day: int
    sex: str = "female"
    changes: Mapping[str, Any] = field(default_factory=dict)
    drafted: bool = True

    def born(self, today: dt.date) -> dt.date:
        """Return the date of birth that gives this age on a day."""
        year = today.year - self.years
        later = (self.month, self.day) > (today.month, today.day)
        return dt.date(year - later, self.month, self.day)

    def document(self, today: dt.date) -> dict[str, Any]:
        """Return the facts/1 document of a day."""
        known = _dated(_laid_over(_EVERYONE, self.changes), today)
        known["person"] |= {"born": self.born(today).isoformat(), "sex": self.sex}
        return {"format": "facts/1", "as_of": today.isoformat(), **known}


def _laid_over(under: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return both; None takes away, which is not recorded."""
    whole = dict(under)
    for key, value in changes.items():
        if value is None:
            whole.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(whole.get(key), Mapping):
            whole[key] = _laid_over(whole[key], value)
        else:
            whole[key] = value
    return whole


def _dated(value: Any, today: dt.date) -> Any:
    match value:
        case Ago():
            return (today - dt.timedelta(days=value.days)).isoformat()
        case Mapping():
            return {key: _dated(held, today) for key, held in value.items()}
        case list():
            return [_dated(held, today) for held in value]
        case _:
            return value


def _scans(hip: float, neck: float, spine: float, z: float, days: int = 41) -> list[dict[str, Any]]:
    # By NHANES III at the hip, so that score and density agree; the spine is nobody's own.
    sites = (
        ("total_hip", hip, 0.942, 0.122),
        ("femoral_neck", neck, 0.858, 0.120),
        ("lumbar_spine", spine, 1.02, 0.1),
    )
    return [
        {
            "date": Ago(days=days),
            "site": site,
            "bmd_g_cm2": round(mean + t * step, 3),
            "t": t,
            "z": z,
            "scanner": "A",
        }
        for site, t, mean, step in sites
    ]


_HOME_PLATE = {
    "name": "at home",
    "motion": "vertical",
    "frequency_hz": {"from": 20, "to": 50, "step": 1},
    "displacement_mm": {"settings": [1, 2, 4], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 120,
}
_TILTING_PLATE = {
    "name": "tilting, at the clinic",
    "motion": "side_alternating",
    "frequency_hz": {"from": 5, "to": 30, "step": 0.5},
    "displacement_mm": {"settings": [2, 3, 5, 8], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 150,
}
_GENTLE_PLATE = {
    "name": "gentle, at home",
    "motion": "low_magnitude",
    "frequency_hz": {"from": 30, "to": 30, "step": 1},
    "fixed_g": 0.3,
    "g_reads_as": "peak",
    "rail": "yes",
    "load_limit_kg": 120,
}
_ANSWERS_OF_NO = {"otherwise": "no"}
_STEADY_TESTS = {
    "date": Ago(days=0),
    "up_and_go_s": 8.6,
    "chair_stands_30s": 15,
    "five_stands_s": 10.4,
    "side_by_side_s": 10,
    "semi_tandem_s": 10,
    "tandem_s": 10,
    "one_leg_s": 20,
    "walk_4m_s": 3.6,
    "grip_kg": 25,
    "resting_bp": [128, 78],
    "standing_bp": [124, 76],
}
_UNSTEADY_TESTS = {
    "up_and_go_s": 15.8,
    "chair_stands_30s": 8,
    "tandem_s": 4,
    "one_leg_s": 2,
    "walk_4m_s": 5.4,
}
_NO_FALL = {
    "last_12_months": 0,
    "injury": "no",
    "long_lie": "no",
    "blackout": "no",
    "unsteady": "no",
    "worried": "no",
}
_THREE_FALLS = {"last_12_months": 3, "unsteady": "yes", "worried": "yes"}
_EVERYONE: dict[str, Any] = {
    "person": {
        "pregnant": "no",
        "mobility": "independent",
        "menopause": "after",
        "height_cm": 163,
        "weight_kg": 63,
        "tallest_height_cm": 164,
    },
    "scans": _scans(-1.8, -1.9, -1.5, -0.4),
    "fractures": [],
    "falls": _NO_FALL,
    "tests": _STEADY_TESTS,
    "conditions": _ANSWERS_OF_NO,
    "symptoms": _ANSWERS_OF_NO,
    "medicines": _ANSWERS_OF_NO,
    "lifts": [{"lift": "leg_press", "kg": 58, "reps": 8, "on": Ago(days=0)}],
    "aims": ["hip"],
    "experience": {"resistance": "some", "impact": "none"},
    "resources": {
        "days": ["mon", "tue", "wed", "thu", "fri", "sat"],
        "minutes_per_day": 50,
        "supervised": "no",
        "watcher": "no",
        "support_rail": "yes",
        "equipment": ["chair", "step", "dumbbells", "bands", "leg_press"],
        "load_step_kg": 1,
        "plates": [_HOME_PLATE],
    },
}
_YES = {"answer": "yes"}

#: Signed nine weeks ago with eight weeks of log; and one with a fall in the log.
REVIEW_DUE = DemoPerson(
    record_number="DEMO-01",
    given_name="Radia",
    family_name="Steadfast",
    years=66,
    month=4,
    day=11,
    changes={"aims": ["hip", "falls"]},
)
FELL = DemoPerson(
    record_number="DEMO-02",
    given_name="Ulna",
    family_name="Tripstone",
    years=72,
    month=9,
    day=3,
    changes={"aims": ["falls", "hip"], "resources": {"minutes_per_day": 40}},
)
OTHERS = (
    DemoPerson(
        record_number="DEMO-03",
        given_name="Femora",
        family_name="Hipwright",
        years=64,
        month=8,
        day=14,
    ),
    DemoPerson(
        record_number="DEMO-04",
        given_name="Verta",
        family_name="Backhouse",
        years=68,
        month=1,
        day=22,
        changes={
            "scans": _scans(-1.4, -1.6, -2.7, -0.9),
            "aims": ["spine"],
            "resources": {"plates": []},
        },
    ),
    DemoPerson(
        record_number="DEMO-05",
        given_name="Humera",
        family_name="Tumbledown",
        years=76,
        month=6,
        day=30,
        changes={
            "falls": _THREE_FALLS,
            "tests": _UNSTEADY_TESTS,
            "aims": ["falls", "hip"],
            "resources": {"supervised": "yes", "days": ["mon", "wed", "fri"]},
        },
    ),
    DemoPerson(
        record_number="DEMO-06",
        given_name="Lumba",
        family_name="Crestfall",
        years=71,
        month=3,
        day=5,
        changes={
            # Two looks, so that Measures has a loss beyond the error and a change within it.
            "scans": [
                *_scans(-2.2, -2.4, -2.9, -0.8),
                *_scans(-1.8, -2.3, -3.2, -0.8, days=776),
            ],
            "turnover": [
                {"date": Ago(days=days), "marker": "p1np", "value": value, "unit": "ug/L"}
                for days, value in ((230, 58), (48, 34))
            ],
            "fractures": [
                {"site": "vertebra", "date": Ago(days=1120), "low_trauma": "yes", "healed": "yes"}
            ],
            "spine_image": {"answer": "yes", "on": Ago(days=60)},
            "aims": ["spine", "falls"],
            "resources": {"watcher": "yes"},
        },
    ),
    DemoPerson(
        record_number="DEMO-07",
        given_name="Sesama",
        family_name="Smallgood",
        years=69,
        month=12,
        day=2,
        changes={"resources": {"plates": [_GENTLE_PLATE]}},
    ),
    DemoPerson(
        record_number="DEMO-08",
        given_name="Sterna",
        family_name="Heartwell",
        years=74,
        month=5,
        day=17,
        changes={"conditions": {"implanted_stimulator": _YES}},
    ),
    DemoPerson(
        record_number="DEMO-09",
        given_name="Sacra",
        family_name="Newache",
        years=70,
        month=10,
        day=9,
        changes={"symptoms": {"new_back_pain": "yes"}},
        drafted=False,
    ),
    DemoPerson(
        record_number="DEMO-10",
        given_name="Scaphia",
        family_name="Askwith",
        years=62,
        month=2,
        day=28,
        changes={"falls": None, "conditions": None, "tests": {"standing_bp": None}},
        drafted=False,
    ),
    DemoPerson(
        record_number="DEMO-11",
        given_name="Tibby",
        family_name="Shortday",
        years=58,
        month=7,
        day=19,
        changes={"resources": {"days": ["tue", "fri"], "minutes_per_day": 20}},
    ),
    DemoPerson(
        record_number="DEMO-12",
        given_name="Talus",
        family_name="Footman",
        years=48,
        month=11,
        day=8,
        sex="male",
        changes={
            "person": {
                "pregnant": None,
                "menopause": None,
                "height_cm": 178,
                "weight_kg": 76,
                "tallest_height_cm": 179,
            },
            "scans": _scans(-2.3, -2.4, -2.2, -2.1),
            "aims": ["spine", "strength"],
        },
    ),
    DemoPerson(
        record_number="DEMO-13",
        given_name="Patella",
        family_name="Tiltwood",
        years=67,
        month=4,
        day=26,
        changes={
            "resources": {"plates": [_TILTING_PLATE], "supervised": "yes"},
            "aims": ["falls", "strength"],
        },
    ),
    DemoPerson(
        record_number="DEMO-14",
        given_name="Clavia",
        family_name="Inchless",
        years=73,
        month=9,
        day=21,
        changes={
            "person": {"tallest_height_cm": 169},
            "medicines": {"glucocorticoid": {"answer": "yes", "mg_per_day": 7.5, "months": 6}},
        },
    ),
)
PEOPLE = (REVIEW_DUE, FELL, *OTHERS)
