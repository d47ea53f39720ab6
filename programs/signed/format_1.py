"""The reader of format 1, the text in which programs are signed: plain data to a SignedProgram.

What the format says only in words, and what papers need as a field, is found here alone.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any

from patients.facts.codes import MEDICINES
from patients.facts.declared import Facts
from patients.facts.document import read
from programs.signed.program import (
    Assessed,
    Clinic,
    Density,
    PlannedReview,
    SignedEdit,
    SignedFinding,
    SignedProgram,
    Signer,
    Standing,
    Who,
)
from programs.week.document import read_weeks
from safety.findings import Level, Modality
from safety.fracture_history import next_dose_due

#: What a text of this format holds.
KEYS = frozenset(
    {
        *("format", "patient", "version", "replaces", "starts_on", "facts", "draft", "findings"),
        *("edits", "left_out", "weeks", "timetable", "reviews", "rulebook", "signer", "clinic"),
        "previous_digest",
    }
)
_ANSWERS = {"yes": True, "no": False}
#: How a finding of this format says that the plan was dosed without the answer.
DOSED = "Dosed as if the answer were yes"

_Part = Mapping[str, Any]


def program(document: _Part) -> SignedProgram:
    """Return the program in a document of format 1.

    Raises KeyError, TypeError, AttributeError or ValueError for one that holds no program.
    """
    return program_with(document, weeks=[week_as_now(one) for one in document["weeks"]])


def program_with(document: _Part, *, weeks: Iterable[_Part]) -> SignedProgram:
    """Return the program in a document with its weeks as they are written now."""
    drafted = document["draft"]
    return SignedProgram(
        who=_who(document["patient"]),
        version=document["version"],
        replaces=document["replaces"],
        starts_on=dt.date.fromisoformat(document["starts_on"]),
        rulebook=document["rulebook"],
        motions=_motions(document["facts"]),
        assessed=_assessed(drafted["assessment"]),
        standings={
            Modality(name): Standing(
                status=one["status"],
                rank=one["rank"],
                until=_day(one.get("until")),
                why=tuple(one["why"]),
            )
            for name, one in drafted["modalities"].items()
        },
        findings=tuple(finding(one) for one in document["findings"]),
        edits=tuple(_edit(one) for one in document["edits"]),
        left_out={Modality(name): why for name, why in document["left_out"].items()},
        weeks=read_weeks(weeks),
        timetable={
            day: tuple(Modality(name) for name in held)
            for day, held in document["timetable"].items()
        },
        reviews=tuple(PlannedReview(**one) for one in document["reviews"]),
        signer=_signer(document["signer"]),
        # Programs signed before the clinic had such words hold none.
        clinic=Clinic(**{"emergency": "", **document["clinic"]}),
        anticoagulant=_takes(document["facts"], "anticoagulant"),
        medicines=frozenset(code for code in MEDICINES if _takes(document["facts"], code)),
        supervised=_beside(document["facts"], "supervised"),
        watcher=_beside(document["facts"], "watcher"),
        next_dose_due=_next_dose_due(document["facts"]),
        aims=tuple(document["facts"].get("aims") or ()),
        own_goal=document["facts"].get("own_goal") or "",
        known=document["facts"],
    )


def week_as_now(week: _Part) -> _Part:
    """Return a week of format 1 as weeks are written now; None for what it does not say."""
    told = dict(week)
    if week["resistance"]:
        told["resistance"] = {**week["resistance"], "could_lift": None}
    if week["impact"]:
        index = week["impact"]["osteogenic_index"]
        spine = None if index is None else {"hip": None, "spine": index}
        told["impact"] = {**week["impact"], "leg_bw": None, "osteogenic_index": spine}
    if week["balance"]:
        told["balance"] = {**week["balance"], "near_support": None}
    if week["posture"]:
        told["posture"] = {**week["posture"], "hold_s": None, "reps": None}
    return told


def _day(told: str | None) -> dt.date | None:
    return None if told is None else dt.date.fromisoformat(told)


def _takes(facts: _Part, medicine: str) -> bool | None:
    """Return whether she takes a medicine, from the facts that were signed."""
    medicines = facts.get("medicines") or {}
    told = medicines.get(medicine, medicines.get("otherwise"))
    answer = told.get("answer") if isinstance(told, Mapping) else told
    return _ANSWERS.get(str(answer))


def _beside(facts: _Part, who: str) -> bool | None:
    return _ANSWERS.get(str((facts.get("resources") or {}).get(who)))


def _next_dose_due(facts: _Part) -> dt.date | None:
    medicine = (facts.get("medicines") or {}).get("bone_medicine")
    if not isinstance(medicine, Mapping) or medicine.get("kind") != "denosumab":
        return None
    known = read(facts)
    return next_dose_due(known) if isinstance(known, Facts) else None


def _who(part: _Part) -> Who:
    return Who(**part)


def _signer(part: _Part) -> Signer:
    return Signer(**{**part, "at": dt.datetime.fromisoformat(part["at"]) if part["at"] else None})


def _motions(facts: _Part) -> dict[str, str]:
    plates = (facts.get("resources") or {}).get("plates") or []
    return {plate["name"]: plate["motion"] for plate in reversed(plates)}


def _assessed(part: _Part) -> Assessed:
    return Assessed(
        age=part["age"],
        density=Density(**part["density"]),
        fracture_risk=part["fracture_risk"],
        fall_risk=part["fall_risk"],
        low_function=part.get("low_function"),
        training_posture=part.get("training_posture"),
    )


def finding(part: _Part) -> SignedFinding:
    """Return a finding of a document of format 1."""
    return SignedFinding(
        rule=part["rule"],
        subject=part["rule"].removesuffix(f".{part['about']}"),
        about=part["about"],
        level=Level(part["level"]),
        text=part["text"],
        cleared=part["cleared"],
        # Later formats have a field for it.
        dosed=part.get("dosed", part["level"] == Level.MISSING and DOSED in part["text"]),
    )


def _edit(part: _Part) -> SignedEdit:
    return SignedEdit(**{**part, "at": dt.datetime.fromisoformat(part["at"])})
