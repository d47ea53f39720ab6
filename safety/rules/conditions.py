"""Illnesses and implants: what bars what (rulebook rows 7 to 10), one line a condition.

A line's cells are plate, resistance, impact, balance, posture: X contraindicated while it
lasts, C needs clearance, P precaution, - nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from patients.facts.ages import NOT_PREGNANT_AGE, add_months
from patients.facts.codes import CONDITIONS, in_a_line
from patients.facts.declared import Condition
from patients.facts.partial_dates import told_words
from safety.findings import LOADED, Level, Limits, Modality
from safety.rules.rule import (
    PRECAUTION_LIMITS,
    PRECAUTION_WORDS,
    Lift,
    Rule,
    Seen,
    Unanswered,
    rule,
)
from safety.situation import Situation
from safety.sources import cite

_LEVELS = {"X": Level.CONTRAINDICATED, "C": Level.NEEDS_CLEARANCE, "P": Level.PRECAUTION}
_PLATE = ("vibration_lists", "trial_exclusions")
_LOAD = ("prt",)


def _always(condition: Condition, day: dt.date) -> bool:
    return True


def _of_all(s: Situation) -> bool:
    return True


def may_bear(s: Situation) -> bool:
    """Tell whether pregnancy and a recent birth are asked about."""
    past = s.facts.person.menopause == "after" or s.youngest >= NOT_PREGNANT_AGE
    return s.facts.person.sex == "female" and not past


def _days(last: int) -> Callable[[Condition, dt.date], bool]:
    return lambda c, day: c.on is None or (day - c.on).days <= last


def _months(last: int) -> Callable[[Condition, dt.date], bool]:
    return lambda c, day: c.on is None or day <= add_months(c.on, last)


def _older(last: int) -> Callable[[Condition, dt.date], bool]:
    return lambda c, day: c.on is not None and day > add_months(c.on, last)


def _not_mild(condition: Condition, day: dt.date) -> bool:
    return condition.degree != "mild"


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the table. `holds` tells whether the line speaks of this answer.

    asked   tells whether an answer that was not given is asked for; else it counts as no
    asks    the facts besides the answer by which `asked` tells it
    """

    condition: str
    cells: str
    why: str
    sources: tuple[str, ...]
    part: str = ""
    holds: Callable[[Condition, dt.date], bool] = _always
    dated: bool = False
    eye_doctor: bool = False
    asked: Callable[[Situation], bool] = _of_all
    asks: tuple[str, ...] = ()


def _line(condition: str, cells: str, why: str, *sources: str, **more: object) -> Line:
    return Line(condition=condition, cells=cells, why=why, sources=sources, **more)  # type: ignore[arg-type]


LINES = (
    _line("acute_thrombosis", "XXXP-", "A clot may come loose.", *_PLATE, *_LOAD),
    _line(
        "unstable_heart_disease", "XXXCC", "The heart must be stable first.", "acsm_box", "rt_bp"
    ),
    _line("heart_failure", "CCCP-", "Load raises the work of a weak heart.", "acsm_box", "rt_bp"),
    _line("arrhythmia", "CCCP-", "Exertion can trigger an arrhythmia.", "acsm_box", "rt_bp"),
    _line(
        "implanted_stimulator",
        "CCP--",
        "Agreement of the device clinic is needed.",
        *_PLATE,
        "rt_bp",
    ),
    _line("aneurysm", "XXXPP", "Strain and pressure can tear the wall.", *_LOAD, "acsm_box"),
    _line("stroke", "CCCP-", "Bleeding risk, weakness and balance decide.", *_PLATE, *_LOAD),
    _line("arterial_disease", "CPP--", "Blood supply of the legs is short.", "vibration_lists"),
    _line(
        "recent_surgery",
        "XCXCC",
        "Wounds and repairs need twelve weeks, or the surgeon's word.",
        "vibration_lists",
        "project",
        part="recent",
        holds=_days(84),
        dated=True,
    ),
    _line(
        "joint_replacement",
        "XCXP-",
        "The implant must take hold first: six months.",
        "vibration_lists",
        "joint_surgeons",
        part="recent",
        holds=_months(6),
        dated=True,
    ),
    _line(
        "joint_replacement",
        "C-P--",
        "Surgeons allow low impact and bar high impact.",
        "joint_surgeons",
        "vibration_lists",
        part="older",
        holds=_older(6),
    ),
    _line(
        "spinal_implant",
        "XCXCC",
        "The spine must have fused first: six months.",
        "vibration_lists",
        "project",
        part="recent",
        holds=_months(6),
        dated=True,
    ),
    _line(
        "spinal_implant",
        "CPC-P",
        "Neighbouring segments carry more load.",
        "vibration_lists",
        "project",
        part="older",
        holds=_older(6),
    ),
    _line("other_metalwork", "C----", "Metal in bone passes vibration on.", "vibration_lists"),
    _line("epilepsy", "CPPP-", "A fit on a plate or under load is a fall.", *_PLATE),
    _line(
        "retinal_disease",
        "XXXP-",
        "Shaking, strain or jolts can tear the retina.",
        "vibration_harms",
        *_LOAD,
        eye_doctor=True,
    ),
    _line(
        "recent_eye_surgery",
        "XXXPP",
        "The eye must heal first: twelve weeks.",
        *_LOAD,
        "project",
        part="recent",
        holds=_days(84),
        dated=True,
    ),
    _line(
        "stones",
        "C----",
        "Vibration may move a stone.",
        *_PLATE,
        part="recent",
        holds=_months(24),
        dated=True,
    ),
    _line(
        "stones",
        "P----",
        "None for two years: less likely to move.",
        *_PLATE,
        "project",
        part="older",
        holds=_older(24),
    ),
    _line("acute_disc_disease", "XXXCC", "An acute disc must settle first.", *_PLATE),
    _line("hernia", "CCP--", "Strain can widen a hernia.", *_LOAD, "vibration_lists"),
    _line("bone_tumour", "XXXCC", "A bone with a tumour may break.", "vibration_lists", "project"),
    _line(
        "acute_infection_or_inflammation",
        "XXXC-",
        "Rest until it has settled.",
        "acsm_box",
        *_LOAD,
        "vibration_lists",
    ),
    _line("severe_neuropathy", "CPPP-", "Feet that do not feel do not warn.", "vibration_lists"),
    _line("foot_ulcer_or_wound", "CCXC-", "Pressure keeps it from healing.", "vibration_lists"),
    _line("vertigo", "CPPP-", "Plates have set off vertigo.", "vibration_harms"),
    _line("severe_migraine", "CP---", "Vibration can bring an attack.", "vibration_lists"),
    _line("spondylolisthesis", "CCC-P", "Load may let the vertebra slip on.", "vibration_lists"),
    _line(
        "chronic_back_pain", "PPP-P", "Start low, and stop at new pain.", "vibration_lists", "pain"
    ),
    _line(
        "osteoarthritis",
        "PPP--",
        "Joints beyond mild wear do not take jolts.",
        "knee_oa",
        "project",
        holds=_not_mild,
    ),
    _line(
        "pelvic_floor_symptoms",
        "PPP--",
        "Impact and heavy lifts can make leaking worse.",
        "pelvic_floor",
    ),
    _line(
        "cognitive_impairment",
        "PPPPP",
        "Somebody must be there, so that the program is kept.",
        *_LOAD,
        "project",
    ),
    _line(
        "uncontrolled_diabetes", "CCCP-", "Sugar must be under control first.", *_LOAD, "acsm_box"
    ),
    _line("kidney_disease", "CPP--", "Bone and pressure differ in kidney disease.", "project"),
    _line(
        "movement_disorder",
        "CPPP-",
        "Steps freeze and falls come without a warning.",
        "vibration_lists",
        "project",
    ),
    _line(
        "amputation_or_prosthesis",
        "CPCP-",
        "The stump and the fitting decide what they can carry.",
        "vibration_lists",
        "project",
    ),
    _line(
        "recent_birth",
        "XCXPP",
        "Pelvic floor and wounds need twelve weeks.",
        "vibration_lists",
        "project",
        part="recent",
        holds=_days(84),
        dated=True,
        asked=may_bear,
        asks=("person.menopause", "person.sex"),
    ),
    _line(
        "low_energy",
        "PPP--",
        "Bone that is short of energy breaks under repeated load.",
        "low_energy",
        "project",
    ),
)


def _sees(line: Line) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        condition = s.facts.condition(line.condition)
        label = CONDITIONS[line.condition]
        if condition.answer is None:
            # Only the stricter line of a pair asks, so that nobody is asked twice.
            asks = line.part != "older" and line.asked(s)
            return Seen(answer=None if asks else False, missing=(in_a_line(label),))
        if not condition.answer or not line.holds(condition, s.day):
            return Seen(answer=False)
        undated = line.dated and condition.on is None
        since = f", {told_words(condition.on)}" if condition.on else ""
        degree = f", {condition.degree}" if condition.degree else ""
        return Seen(
            answer=True,
            facts=(f"{label}: yes{since}{degree}",),
            missing=(f"date of: {in_a_line(label)}",) if undated else (),
        )

    return when


def _rules(line: Line) -> Iterator[Rule]:
    sees = _sees(line)
    for modality, cell in zip(Modality, line.cells, strict=True):
        if cell == "-":
            continue
        level = _LEVELS[cell]
        tail = f" {PRECAUTION_WORDS[modality]}" if cell == "P" else ""
        liftable = cell == "C" or (cell == "X" and line.eye_doctor)
        yield rule(
            ".".join(part for part in (line.condition, line.part, modality) if part),
            modality,
            level,
            sees,
            reads=(f"conditions.{line.condition}", *line.asks),
            reason=f"{CONDITIONS[line.condition]}. {line.why}{tail}",
            source=cite(*line.sources),
            evidence=_EVIDENCE[cell],
            unanswered=Unanswered.DOSE if cell == "P" else Unanswered.HOLD,
            limits=_limits(line, modality) if cell == "P" else None,
            lifted_by=_lift(line) if liftable else None,
            review_lifts=cell == "P" and modality in LOADED,
        )


def _lift(line: Line) -> Lift:
    return Lift(subject=line.condition, eye_doctor=line.eye_doctor)


def _limits(line: Line, modality: Modality) -> Limits:
    own = PRECAUTION_LIMITS[modality]
    slipped = line.condition == "spondylolisthesis" and modality is Modality.POSTURE
    return replace(own, spare_spine=True, no_arching=True) if slipped else own


_EVIDENCE = {
    "X": "Lists and trial exclusions name it; none tested it. The rule takes the careful side.",
    "C": "Lists differ between never and ask a doctor; the rule asks for a named clearance.",
    "P": "Named as a reason for care, not as a bar; the rule lowers the dose.",
}


TABLE_RULES: tuple[Rule, ...] = tuple(r for line in LINES for r in _rules(line))
