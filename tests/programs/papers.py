"""Signed snapshots of invented people, as the papers are made from them."""

import datetime as dt
from collections.abc import Mapping
from functools import cache
from typing import Any

from patients.exchange import read
from patients.facts import Facts
from programs import snapshot
from programs.answer import write
from programs.handout import ENGLISH, Handout, Words, issue_of, pages
from programs.plan import draft
from tests.people import laid_over, steady_document

WHO = {
    "id": 1,
    "record_number": "T0001",
    "given_name": "Orla",
    "family_name": "Testwick",
    "born": "1960-08-14",
    "sex": "female",
}
CLINIC = {"name": "Example bone clinic", "phone": "01 000 000", "address": "1 Example Street"}
SIGNER = {
    "username": "m.ferro",
    "name": "Marta Ferro",
    "at": "2026-03-02T09:30:00+00:00",
    "meaning": "I have gone through this program and answer for it.",
}
DIGEST = "0123456789ab" + "c" * 52
STARTS_ON = "2026-03-02"

_FALLS = {
    "last_12_months": 3,
    "injury": "no",
    "long_lie": "no",
    "blackout": "no",
    "unsteady": "yes",
}
_VERTICAL = {
    "name": "at home",
    "motion": "vertical",
    "frequency_hz": {"from": 20, "to": 50, "step": 1},
    "displacement_mm": {"settings": [1, 2, 4], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "load_limit_kg": 120,
}
#: What makes each person of the steady one.
PEOPLE: Mapping[str, dict[str, Any]] = {
    "hip_first": {
        "aims": ["hip", "falls"],
        "lifts": [{"lift": "leg_press", "kg": 60, "reps": 8, "on": STARTS_ON}],
        "resources": {
            "days": ["mon", "wed", "fri"],
            "minutes_per_day": 40,
            "equipment": ["chair", "step", "dumbbells", "bands", "leg_press"],
        },
    },
    "vertebral_fracture": {
        "person": {"born": "1950-01-05"},
        "fractures": [
            {"site": "vertebra", "date": "2024-11-01", "low_trauma": "yes", "healed": "yes"}
        ],
        "spine_image": {"answer": "yes", "on": "2025-11-03"},
        "conditions": {
            "pelvic_floor_symptoms": "yes",
            "osteoarthritis": {"answer": "yes", "degree": "moderate"},
        },
        "clearances": [
            {
                "for": "vertebral_fracture",
                "modalities": ["plate"],
                "by": "spine clinic",
                "on": "2026-02-10",
                "until": "2026-08-10",
            }
        ],
        "aims": ["spine", "falls"],
        "resources": {"watcher": "yes"},
    },
    "gentle_plate": {
        "resources": {
            "plates": [
                {
                    "name": "gentle plate",
                    "motion": "low_magnitude",
                    "frequency_hz": {"from": 30, "to": 30, "step": 1},
                    "fixed_g": 0.3,
                    "rail": "yes",
                    "load_limit_kg": 120,
                }
            ]
        }
    },
    "faller": {
        "person": {"born": "1942-05-09"},
        "falls": _FALLS,
        "tests": {"up_and_go_s": 16, "standing_bp": [104, 64]},
        "aims": ["falls"],
        "resources": {"equipment": ["chair", "bands"], "watcher": "yes"},
    },
    "tilting_plate": {
        "resources": {
            "plates": [
                _VERTICAL
                | {
                    "name": "tilting",
                    "motion": "side_alternating",
                    "frequency_hz": {"from": 5, "to": 30, "step": 0.5},
                    "displacement_mm": {"settings": [1, 2, 3], "reads_as": "zero_to_peak"},
                }
            ]
        }
    },
    "no_plate": {"resources": {"plates": []}},
}


@cache
def _document(person: str) -> tuple[dict[str, Any], dict[str, Any]]:
    facts_document = laid_over(steady_document(), PEOPLE[person])
    facts = read(facts_document)
    assert isinstance(facts, Facts), facts
    return facts_document, write(draft(facts))


def snapshot_of(person: str = "hip_first", **more: Any) -> snapshot.Document:
    """Return the snapshot of one of PEOPLE; `more` replaces parts of it."""
    facts_document, drafted = _document(person)
    parts: dict[str, Any] = {
        "patient": WHO,
        "version": 2,
        "replaces": 1,
        "starts_on": STARTS_ON,
        "facts": facts_document,
        "draft": drafted,
        "edits": [],
        "left_out": {},
        "weeks": drafted["weeks"],
        "timetable": drafted["timetable"],
        "signer": SIGNER,
        "clinic": CLINIC,
        "previous_digest": snapshot.FIRST_DIGEST,
    }
    return snapshot.read(snapshot.freeze(**parts | more).body)


def handout_of(held: snapshot.Document, words: Words = ENGLISH, **more: Any) -> Handout:
    """Return what the handout of a snapshot says."""
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    return pages(held, words, issue, **more)
