"""The letter to the referring doctor, from the same program: clinician's words, no new advice.

It is the clinic's copy as well: the signature's meaning and minute and the whole seal stand on it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patients.facts.codes import AIMS
from patients.facts.declared import Facts
from patients.facts.document import read
from patients.facts.in_words import Line, readings
from patients.facts.units import show_number
from programs.dose.could_lift import reading_of
from programs.dose.impact import Index
from programs.exercises import EXERCISES
from programs.papers.asked_of_doctor import Request, requests
from programs.papers.doses import (
    count_words,
    repeats_words,
    seconds_words,
    set_count_words,
    sets_words,
)
from programs.papers.emergency import knock
from programs.papers.only_until import cut, until_words
from programs.papers.paper_parts import ENGLISH
from programs.papers.plate_page import rounds_words
from programs.papers.watching import first_at_clinic
from programs.papers.weeks import MONTHS
from programs.signed.program import Assessed, SignedEdit, SignedFinding, SignedProgram
from programs.week.one_line import hz_read, rung_words
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    LiftDose,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
    part_of,
)
from safety.findings import Level, Modality
from safety.modalities import MODALITIES

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
#: Said of what a program of an older format does not hold.
NOT_TOLD = "not in this format"
_STATUS: Mapping[str, str] = {"on_hold": "on hold", "excluded": "excluded", "included": "no room"}
_LEVELS: Mapping[Level, str] = {
    Level.CONTRAINDICATED: "Contraindicated",
    Level.NEEDS_CLEARANCE: "Needs clearance",
    Level.MISSING: "Not recorded",
    Level.PRECAUTION: "Precaution",
    Level.REFER: "Refer",
}


@dataclass(frozen=True, kw_only=True)
class Course:
    """One modality: how it starts and how it ends, or why it is not in the program.

    why   what it is there for, and what the findings say of it
    """

    name: str
    start: str
    end: str
    until: str
    why: str


@dataclass(frozen=True, kw_only=True)
class History:
    """What is on record of one part: a line each, and what nobody recorded."""

    title: str
    lines: tuple[str, ...]
    open: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Summary:
    """What the letter says. assessed holds names and values.

    asked   what is asked of the doctor, each with room for an answer
    knock   what to do after a knock on the head; empty where she takes no blood thinner
    """

    weeks: int
    knock: str
    assessed: tuple[tuple[str, str], ...]
    history: tuple[History, ...]
    asked: tuple[Request, ...]
    courses: tuple[Course, ...]
    findings: tuple[str, ...]
    changes: tuple[str, ...]
    reviews: str
    rulebook: str


def summary(program: SignedProgram) -> Summary:
    """Return what the referring doctor is told."""
    program = cut(program)
    return Summary(
        weeks=len(program.weeks),
        knock=knock(program, ENGLISH),
        assessed=(*_assessed(program.assessed), *_next_dose(program)),
        history=tuple(_history(program.known)),
        asked=requests(program.findings),
        courses=tuple(_course(m, program) for m in Modality),
        findings=_findings(program.findings),
        changes=tuple(_change(edit) for edit in program.edits),
        reviews=", ".join(f"week {review.week}" for review in program.reviews),
        rulebook=program.rulebook,
    )


#: The parts of her history that a doctor looks for, by their section.
_PARTS = ("fractures", "conditions", "medicines")


def _history(known: Mapping[str, Any]) -> Iterator[History]:
    """Yield what was on record when it was signed; nothing where that is not read any more."""
    facts = read(known)
    if not isinstance(facts, Facts):
        return
    for one in readings(facts, {}):
        if one.section.code in _PARTS:
            told = [line for line in one.lines if line.value is not None]
            yield History(
                title=one.section.title,
                lines=tuple(_told(line) for line in told if not line.label.startswith(_NO)),
                open=one.open,
            )


#: How the line begins of all that was answered no; it would fill the page.
_NO = "Answered no"


def _told(line: Line) -> str:
    note = f" ({line.note})" if line.note else ""
    value = str(line.value).removeprefix("yes").removeprefix(", ")
    return f"{line.label}: {value}{note}" if value else f"{line.label}{note}"


def _assessed(found: Assessed) -> tuple[tuple[str, str], ...]:
    density = found.density
    told = _plain(density.category)
    if density.score is not None:
        score = f"{density.by.upper()}-score {show_number(density.score, 1)}"
        told += f" ({score}, {_plain(density.site)})"
    return (
        ("Age", f"{found.age} years"),
        ("Bone density", told),
        ("Fracture risk", _plain(found.fracture_risk)),
        ("Fall risk", _plain(found.fall_risk)),
        ("Low function", _or_not_told(found.low_function)),
        ("Trains", _or_not_told(found.training_posture)),
    )


def _or_not_told(value: str | None) -> str:
    return NOT_TOLD if value is None else value


def _next_dose(program: SignedProgram) -> tuple[tuple[str, str], ...]:
    due = program.next_dose_due
    if due is None:
        return ()
    return (("Next dose of denosumab due", f"{MONTHS[due.month - 1]} {due.year}"),)


def _plain(code: str) -> str:
    return code.replace("_", " ")


def _course(modality: Modality, program: SignedProgram) -> Course:
    held = [(w.week, part) for w in program.weeks if (part := part_of(w, modality))]
    name = MODALITIES[modality].name
    if not held:
        why = f"Not in the program: {_why(modality, program)}"
        return Course(name=name, start=why, end="", until="", why=_why_not(modality, program))
    start, end = (f"Week {week}: {_words(part, program)}" for week, part in (held[0], held[-1]))
    return Course(
        name=name,
        start=start,
        end=end if len(held) > 1 else "",
        until=" ".join(until_words([modality], program.weeks, program, ENGLISH)),
        why=f"{_meant_for(modality, program)} {_said_of(modality, program)}",
    )


def _meant_for(modality: Modality, program: SignedProgram) -> str:
    rank = program.standings[modality].rank
    aims = ", then ".join(AIMS[aim] for aim in program.aims if aim in AIMS)
    return f"Place {rank} for the aims: {aims}." if aims else f"Place {rank}; no aim is recorded."


def _said_of(modality: Modality, program: SignedProgram) -> str:
    """Return the first sentence of each finding about a modality; all of it stands below."""
    found = (one for one in program.findings if one.about == modality)
    first = [f"{_LEVELS[one.level]}: {_SENTENCE_END.split(one.text)[0]}" for one in found]
    return " ".join(dict.fromkeys(first)) or "Nothing on the screen speaks against it."


def _why_not(modality: Modality, program: SignedProgram) -> str:
    """Return why a kind is not in the program, as the plan said: there may be just no plate."""
    _, *told = program.standings[modality].why
    return _said_of(modality, program) if modality in program.left_out else " ".join(told)


def _why(modality: Modality, program: SignedProgram) -> str:
    if modality in program.left_out:
        return f"left out by the clinician. {program.left_out[modality]}"
    return _STATUS[program.standings[modality].status]


def _words(part: Part, program: SignedProgram) -> str:
    match part:
        case PlateWeek():
            return _plate(part, program)
        case ResistanceWeek():
            return _resistance(part)
        case ImpactWeek():
            return _impact(part)
        case BalanceWeek():
            near = ", near support" if part.near_support else ""
            return f"{_minutes(part)}, {rung_words(part)}{near}"
        case _:
            return f"{_minutes(part)}{_holds(part)}"


def _plate(part: PlateWeek, program: SignedProgram) -> str:
    moved = part.displacement_mm
    how_far = "" if moved is None else f", {moved:g} mm peak to peak"
    at = f"{hz_read(part)}{how_far}, {part.peak_g:g} g peak"
    total = seconds_words(part.vibration_min)
    who = ", the first at the clinic" if first_at_clinic(program) else ""
    watched = f", watched{who}" if part.supervised else ""
    rounds = "" if part.bouts is None else f"{rounds_words(part, ENGLISH)}: "
    return f"{part.sessions} a week, {at}, {rounds}{total}{watched}"


def _resistance(part: ResistanceWeek) -> str:
    named = ", ".join(_lift(one) for one in part.exercises)
    return f"{part.sessions} a week, {_set(part)}: {named}"


def _lift(one: LiftDose) -> str:
    name = EXERCISES[one.exercise].name
    if one.reps is not None:
        return f"{name} {repeats_words(one.reps, ENGLISH)}"
    return name if one.load_kg is None else f"{name} {one.load_kg:g} kg"


def _set(part: ResistanceWeek) -> str:
    if part.percent_1rm is None:
        return f"{set_count_words(part.sets, ENGLISH)}, none with a weight"
    dose = sets_words(part.sets, part.reps, ENGLISH)
    reserve = f"{part.reps_in_reserve} in reserve"
    if part.could_lift is None:
        told = f"{part.percent_1rm:g} % of 1RM, {reserve}"
        return f"{dose}, {told}; could-lift {NOT_TOLD}"
    read = reading_of(part.could_lift)
    about = "about " if read.about else ""
    band = f" ({read.low} to {read.high})" if read.low < read.high else ""
    could = f"could-lift {about}{part.could_lift}"
    return f"{dose}, {could}, {about}{part.percent_1rm:g} % of 1RM{band}, {reserve}"


def _impact(part: ImpactWeek) -> str:
    count = count_words(part.impacts, part.minutes, ENGLISH)
    named = "; ".join(EXERCISES[code].name for code in part.exercises)
    return f"{part.sessions} a week, {count}, {_force(part)}{_index(part)}: {named}"


def _force(part: ImpactWeek) -> str:
    about = "" if is_measured(part) else "about "
    on_leg = NOT_TOLD if part.leg_bw is None else f"{about}{part.leg_bw:g}"
    return f"to {about}{part.peak_bw:g} body weights (on one leg: {on_leg})"


def is_measured(part: ImpactWeek) -> bool:
    """Tell whether somebody measured the forces of a week's impacts."""
    return all(EXERCISES[code].force_measured for code in part.exercises)


def _index(part: ImpactWeek) -> str:
    index = part.osteogenic_index
    if index is None:
        return ""
    hip = NOT_TOLD if index.hip is None else _of_index(index.hip, part)
    return f", osteogenic index: hip {hip}, spine {_of_index(index.spine, part)}"


def _of_index(value: float, part: ImpactWeek) -> str:
    """Return an index, as a range where nobody measured the force (rulebook row 20)."""
    low, high = Index(hip=0.0, spine=0.0, measured=is_measured(part)).between(value)
    return f"{value:g}" if low == high else f"{low:.1f} to {high:.1f}"


def _holds(part: PostureWeek) -> str:
    if part.hold_s is None or part.reps is None:
        return ""
    return f", holds of {part.hold_s} s, {part.reps} times"


def _minutes(part: BalanceWeek | PostureWeek) -> str:
    return f"{part.sessions} a week, {part.minutes:g} min a week"


def _findings(findings: Sequence[SignedFinding]) -> tuple[str, ...]:
    """Return a line for each subject; what it says of several modalities stands together."""
    together: dict[tuple[Level, str], list[SignedFinding]] = {}
    for finding in findings:
        together.setdefault((finding.level, finding.subject), []).append(finding)
    return tuple(_finding(level, found) for (level, _), found in together.items())


def _finding(level: Level, found: Sequence[SignedFinding]) -> str:
    about = ", ".join(dict.fromkeys(one.about for one in found))
    # Some texts begin with the level that stands before them here.
    bare = (one.text.removeprefix(f"{_LEVELS[level]}: ") for one in found)
    said = (part for text in bare for part in _SENTENCE_END.split(text))
    return f"{_LEVELS[level]} ({about}): {' '.join(dict.fromkeys(said))}"


def _change(edit: SignedEdit) -> str:
    span = f"Weeks {edit.week_from} to {edit.week_to}"
    reason = f" Reason: {edit.reason}" if edit.reason else ""
    passed = f" Passes: {edit.limit_passed}" if edit.limit_passed else ""
    what = _plain(edit.path).replace(".", ", ")
    return f"{span}, {what}: {_value(edit.old)} to {_value(edit.new)}.{reason}{passed}"


def _value(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, list):
        return "/".join(dict.fromkeys(_value(one) for one in value))
    return f"{value:g}" if isinstance(value, int | float) and value is not True else str(value)
