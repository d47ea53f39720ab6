"""A person about whom everything is asked and nothing is wrong, to be changed for a test.

She has low bone mass (T -1.9), no fracture, no fall, every test normal, a vertical plate at
home and six days of fifty minutes: everything may be drafted.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from functools import lru_cache
from typing import Any

from patients.facts.declared import Facts
from patients.facts.document import read

AS_OF = "2026-03-02"
BORN = "1960-08-14"

_STEADY: dict[str, Any] = {
    "format": "facts/1",
    "as_of": AS_OF,
    "person": {
        "born": BORN,
        "sex": "female",
        "pregnant": "no",
        "menopause": "after",
        "height_cm": 163,
        "weight_kg": 62,
        "tallest_height_cm": 164,
        "mobility": "independent",
    },
    "scans": [
        {
            "date": "2026-01-20",
            "site": "total_hip",
            "bmd_g_cm2": 0.722,
            "t": -1.8,
            "z": -0.4,
            "scanner": "A",
        },
        {
            "date": "2026-01-20",
            "site": "femoral_neck",
            "bmd_g_cm2": 0.63,
            "t": -1.9,
            "z": -0.5,
            "scanner": "A",
        },
        {
            "date": "2026-01-20",
            "site": "lumbar_spine",
            "bmd_g_cm2": 0.88,
            "t": -1.5,
            "z": 0.2,
            "scanner": "A",
        },
    ],
    "fractures": [],
    "falls": {
        "last_12_months": 0,
        "injury": "no",
        "long_lie": "no",
        "blackout": "no",
        "unsteady": "no",
        "worried": "no",
    },
    "tests": {
        "date": AS_OF,
        "up_and_go_s": 8.4,
        "chair_stands_30s": 15,
        "five_stands_s": 10.2,
        "side_by_side_s": 10,
        "semi_tandem_s": 10,
        "tandem_s": 10,
        "one_leg_s": 22,
        "walk_4m_s": 3.6,
        "grip_kg": 25,
        "resting_bp": [126, 76],
        "standing_bp": [124, 76],
    },
    "conditions": {"otherwise": "no"},
    "symptoms": {"otherwise": "no"},
    "medicines": {"otherwise": "no"},
    "lifts": [{"lift": "leg_press", "kg": 60, "reps": 8, "on": AS_OF}],
    "aims": ["hip"],
    "experience": {"resistance": "some", "impact": "none"},
    "resources": {
        "days": ["mon", "tue", "wed", "thu", "fri", "sat"],
        "minutes_per_day": 50,
        "supervised": "no",
        "support_rail": "yes",
        "equipment": ["chair", "step", "dumbbells", "bands", "leg_press", "leg_extension"],
        "load_step_kg": 1,
        "plates": [
            {
                "name": "at home",
                "motion": "vertical",
                "frequency_hz": {"from": 20, "to": 50, "step": 1},
                "displacement_mm": {"settings": [1.0, 2.0, 4.0], "reads_as": "peak_to_peak"},
                "rail": "yes",
                "load_limit_kg": 120,
            }
        ],
    },
}


def steady_document(**changes: Any) -> dict[str, Any]:
    """Return her facts/1 document with changes laid over it.

    A mapping is laid over the mapping that is there, key by key; anything else replaces
    what is there; None takes it away (not recorded).
    """
    return laid_over(_STEADY, changes)


def laid_over(document: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return a copy of the document with the changes laid over it."""
    whole = deepcopy(dict(document))
    for key, value in changes.items():
        under = whole.get(key)
        if value is None:
            whole.pop(key, None)
        elif isinstance(value, Mapping) and isinstance(under, Mapping):
            whole[key] = laid_over(under, value)
        else:
            whole[key] = deepcopy(value)
    return whole


def steady(**changes: Any) -> Facts:
    """Return her facts with changes laid over them; a test that errs in them fails here."""
    return _steady(json.dumps(changes))


@lru_cache(maxsize=1024)
def _steady(changes: str) -> Facts:
    """Many tests ask for the same person, whom nobody can change."""
    return facts(steady_document(**json.loads(changes)))


def facts(document: Mapping[str, Any]) -> Facts:
    """Return the facts of a document that is known to be one."""
    read_ = read(document)
    assert isinstance(read_, Facts), read_
    return read_


def scan(site: str = "total_hip", date: str = "2026-01-20", **scores: float) -> dict[str, Any]:
    """Return one scan."""
    return {"site": site, "date": date, **scores}


def fracture(site: str, date: str | None, **more: str) -> dict[str, Any]:
    """Return one healed low-trauma fracture, or as `more` says."""
    known = {"site": site, "date": date, "low_trauma": "yes", "healed": "yes", **more}
    return {key: value for key, value in known.items() if value is not None}


def clearance(
    *modalities: str,
    on: str = "2026-02-10",
    until: str = "2026-08-10",
    by: str = "clinic",
    **says: str,
) -> dict[str, Any]:
    """Return a clearance, valid on the day of the assessment unless told otherwise."""
    return {"modalities": list(modalities), "by": by, "on": on, "until": until, **says}
