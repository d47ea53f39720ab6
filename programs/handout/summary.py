"""One page for the referring doctor, from the same snapshot: clinician's words, no new advice."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patients.units import show_number
from programs.exercises import EXERCISES
from programs.handout.cautions import subject_of
from programs.handout.doses import count_words, seconds_words, sets_words
from programs.handout.plate_page import rounds_words
from programs.handout.said import ENGLISH
from programs.handout.weeks import Week
from safety.findings import Modality

Part = Mapping[str, Any]

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
_NAMES: Mapping[str, str] = {
    Modality.PLATE: "Vibration plate",
    Modality.RESISTANCE: "Resistance",
    Modality.IMPACT: "Impact",
    Modality.BALANCE: "Balance",
    Modality.POSTURE: "Posture",
}
_STATUS: Mapping[str, str] = {"on_hold": "on hold", "excluded": "excluded", "included": "no room"}
_LEVELS: Mapping[str, str] = {
    "contraindicated": "Contraindicated",
    "needs_clearance": "Needs clearance",
    "missing": "Not recorded",
    "precaution": "Precaution",
    "refer": "Refer",
}


@dataclass(frozen=True, kw_only=True)
class Course:
    """One modality: how it starts and how it ends, or why it is not in the program."""

    name: str
    start: str
    end: str


@dataclass(frozen=True, kw_only=True)
class Summary:
    """What the page says. assessed holds names and values."""

    weeks: int
    assessed: tuple[tuple[str, str], ...]
    courses: tuple[Course, ...]
    findings: tuple[str, ...]
    changes: tuple[str, ...]
    reviews: str
    rulebook: str


def summary(snapshot: Mapping[str, Any]) -> Summary:
    """Return what the referring doctor is told."""
    weeks = snapshot["weeks"]
    return Summary(
        weeks=len(weeks),
        assessed=_assessed(snapshot["draft"]["assessment"]),
        courses=tuple(_course(m, weeks, snapshot) for m in Modality),
        findings=_findings(snapshot["findings"]),
        changes=tuple(_change(edit) for edit in snapshot["edits"]),
        reviews=", ".join(f"week {review['week']}" for review in snapshot["reviews"]),
        rulebook=snapshot["rulebook"],
    )


def _assessed(found: Part) -> tuple[tuple[str, str], ...]:
    density = found["density"]
    score = density["score"]
    told = _plain(density["category"])
    if score is not None:
        told += (
            f" ({density['by'].upper()}-score {show_number(score, 1)}, {_plain(density['site'])})"
        )
    return (
        ("Age", f"{found['age']} years"),
        ("Bone density", told),
        ("Fracture risk", _plain(found["fracture_risk"])),
        ("Fall risk", _plain(found["fall_risk"])),
    )


def _plain(code: str) -> str:
    return code.replace("_", " ")


def _course(modality: Modality, weeks: Sequence[Week], snapshot: Mapping[str, Any]) -> Course:
    held = [week for week in weeks if week[modality]]
    name = _NAMES[modality]
    if not held:
        return Course(name=name, start=f"Not in the program: {_why(modality, snapshot)}", end="")
    first, last = held[0], held[-1]
    start, end = (f"Week {w['week']}: {_WORDS[modality](w[modality])}" for w in (first, last))
    return Course(name=name, start=start, end=end if last is not first else "")


def _why(modality: Modality, snapshot: Mapping[str, Any]) -> str:
    if modality in snapshot["left_out"]:
        return f"left out by the clinician. {snapshot['left_out'][modality]}"
    return _STATUS[snapshot["draft"]["modalities"][modality]["status"]]


def _plate(part: Part) -> str:
    moved = part["displacement_mm"]
    how_far = "" if moved is None else f", {moved:g} mm peak to peak"
    at = f"{part['frequency_hz']:g} Hz{how_far}, {part['peak_g']:g} g peak"
    total = seconds_words(part["vibration_min"])
    watched = ", watched" if part["supervised"] else ""
    rounds = "" if part["bouts"] is None else f"{rounds_words(part, ENGLISH)}: "
    return f"{part['sessions']} a week, {at}, {rounds}{total}{watched}"


def _resistance(part: Part) -> str:
    named = [
        EXERCISES[one["exercise"]].name
        + ("" if one["load_kg"] is None else f" {one['load_kg']:g} kg")
        for one in part["exercises"]
    ]
    dose = sets_words(part["sets"], part["reps"], ENGLISH)
    effort = f"{part['percent_1rm']:g} % of 1RM, {part['reps_in_reserve']} in reserve"
    return f"{part['sessions']} a week, {dose}, {effort}: {', '.join(named)}"


def _impact(part: Part) -> str:
    count = count_words(part["impacts"], part["minutes"], ENGLISH)
    named = "; ".join(EXERCISES[code].name for code in part["exercises"])
    return f"{part['sessions']} a week, {count}, to {part['peak_bw']:g} body weights: {named}"


def _minutes(part: Part) -> str:
    return f"{part['sessions']} a week, {part['minutes']:g} min a week"


_WORDS = {
    Modality.PLATE: _plate,
    Modality.RESISTANCE: _resistance,
    Modality.IMPACT: _impact,
    Modality.BALANCE: _minutes,
    Modality.POSTURE: _minutes,
}


def _findings(findings: Sequence[Part]) -> tuple[str, ...]:
    """Return a line for each subject; what it says of several modalities stands together."""
    together: dict[tuple[str, str], list[Part]] = {}
    for finding in findings:
        together.setdefault((finding["level"], subject_of(finding)), []).append(finding)
    return tuple(_finding(level, found) for (level, _), found in together.items())


def _finding(level: str, found: Sequence[Part]) -> str:
    about = ", ".join(dict.fromkeys(one["about"] for one in found))
    said = (part for one in found for part in _SENTENCE_END.split(one["text"]))
    return f"{_LEVELS[level]} ({about}): {' '.join(dict.fromkeys(said))}"


def _change(edit: Part) -> str:
    span = f"Weeks {edit['week_from']} to {edit['week_to']}"
    reason = f" Reason: {edit['reason']}" if edit["reason"] else ""
    passed = f" Passes: {edit['limit_passed']}" if edit["limit_passed"] else ""
    what = _plain(edit["path"]).replace(".", ", ")
    return f"{span}, {what}: {_value(edit['old'])} to {_value(edit['new'])}.{reason}{passed}"


def _value(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, list):
        return "/".join(dict.fromkeys(_value(one) for one in value))
    return f"{value:g}" if isinstance(value, int | float) and value is not True else str(value)
