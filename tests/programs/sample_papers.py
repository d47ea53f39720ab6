"""Signed programs of invented people, as text and as the papers are made from them."""

import datetime as dt
from collections.abc import Mapping
from copy import deepcopy
from functools import cache
from typing import Any

from patients.facts.declared import Facts
from patients.facts.document import read
from programs.draft.document import write
from programs.draft.draft import draft
from programs.papers import (
    ENGLISH,
    Handout,
    Span,
    WeekPage,
    WeekSheet,
    Words,
    issue_of,
    pages,
    sheets,
    week_page,
)
from programs.papers.span import all_weeks
from programs.signed import snapshot
from programs.signed.ending import Ending, Kept
from programs.signed.program import Clinic, SignedProgram
from safety.findings import Modality
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
#: The same as papers say it, with the number of an emergency on the day.
OF_TODAY = Clinic(**CLINIC, emergency="", number="112")
SIGNER = {
    "username": "m.ferro",
    "name": "Marta Ferro",
    "at": "2026-03-02T09:30:00+00:00",
    "meaning": "I have gone through this program and answer for it.",
}
DIGEST = "0123456789ab" + "c" * 52
STARTS_ON = "2026-03-02"
#: A discharge that leaves her all but the plate.
ENDED_ON = dt.date(2026, 9, 1)
ENDING = Ending(
    keeps={m: Kept(until=None, easier=False) for m in Modality if m is not Modality.PLATE},
    near_support=True,
)

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
        "own_goal": "Walk to O'Dell's & carry 2 bags",
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
    # In a wheelchair: a seated program without a plate.
    "seated": {
        "person": {"mobility": "wheelchair"},
        "tests": {
            **dict.fromkeys(
                (
                    *("up_and_go_s", "chair_stands_30s", "five_stands_s", "side_by_side_s"),
                    *("semi_tandem_s", "tandem_s", "one_leg_s", "walk_4m_s", "standing_bp"),
                )
            ),
            "unable": ["up_and_go_s", "chair_stands_30s", "side_by_side_s"],
        },
        "lifts": [],
        "aims": ["strength"],
        "resources": {"equipment": ["chair", "dumbbells", "bands"]},
    },
    # With a frame indoors: hands on support. Her plate runs faster and further than it shows.
    "frame": {
        "person": {"mobility": "frame"},
        "resources": {
            "plates": [
                _VERTICAL
                | {
                    "frequency_hz": {"from": 20.6, "to": 51.5, "step": 1.03},
                    "displacement_mm": {"settings": [1.12, 2.2, 4.4], "reads_as": "peak_to_peak"},
                    "panel": {
                        "measured_on": "2026-02-20",
                        "frequency_hz": {"from": 20, "to": 50, "step": 1},
                        "displacement_mm": [1, 2, 4],
                    },
                }
            ]
        },
    },
    # A clearance that ends on a Wednesday in week 12, a blood thinner, an injection.
    "ending": {
        "conditions": {
            "implanted_stimulator": {
                "answer": "yes",
                "cleared": {
                    "modalities": ["plate", "resistance"],
                    "by": "cardiologist",
                    "on": "2026-02-01",
                    "until": "2026-05-20",
                },
            }
        },
        "medicines": {
            "anticoagulant": "yes",
            "bone_medicine": {
                "answer": "yes",
                "kind": "denosumab",
                "since": "2023-01",
                "last_dose_on": "2025-10-04",
                "stopped": "no",
            },
        },
        "resources": {"watcher": "yes"},
    },
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


def in_format_1(held: snapshot.Document) -> snapshot.Document:
    """Return a snapshot as programs were signed before could-lift was told."""
    old = deepcopy(held) | {"format": 1}
    for standing in old["draft"]["modalities"].values():
        del standing["until"]
    for finding in old["findings"]:
        del finding["dosed"]
    for name in ("low_function", "training_posture"):
        del old["draft"]["assessment"][name]
    for week in old["weeks"]:
        _week_in_format_1(week)
    return old


def _week_in_format_1(week: dict[str, Any]) -> None:
    keys = (("resistance", "could_lift"), ("impact", "leg_bw"), ("balance", "near_support"))
    for modality, key in (*keys, ("posture", "hold_s"), ("posture", "reps")):
        if week[modality]:
            del week[modality][key]
    if week["impact"] and week["impact"]["osteogenic_index"]:
        week["impact"]["osteogenic_index"] = week["impact"]["osteogenic_index"]["spine"]
    if lifting := week["resistance"]:
        # The old format had a percent where no exercise had a load, and one number of repeats.
        lifting["percent_1rm"] = lifting["percent_1rm"] or 50
        lifting["reps_in_reserve"] = lifting["reps_in_reserve"] or 5
        for one in lifting["exercises"]:
            one.pop("reps", None)


def program_of(held: snapshot.Document) -> SignedProgram:
    """Return the program in a snapshot."""
    return snapshot.program_in(snapshot.canonical(held))


def handout_of(
    held: snapshot.Document, words: Words = ENGLISH, *, last_week: int | None = None
) -> Handout:
    """Return what the handout of a snapshot says, of all weeks or up to one."""
    program = program_of(held)
    issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
    whole = all_weeks(program)
    span = whole if last_week is None else Span(first=whole.first, last=last_week)
    return pages(program, words, issue, span)


def week_of(held: snapshot.Document, week: int, words: Words = ENGLISH) -> WeekPage:
    """Return what her phone says of a week of a snapshot, from 1."""
    program = program_of(held)
    return week_page(program.weeks[week - 1], program, words)


def sheet_of(held: snapshot.Document, week: int, words: Words = ENGLISH) -> WeekSheet:
    """Return the sheet of a week of a snapshot, from 1."""
    (sheet,) = sheets(program_of(held), words, Span(first=week, last=week))
    return sheet
