"""The draft/1 document of a drafted program, and the answer to a line of facts."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from patients.facts.document import Problem, read
from programs.draft import person
from programs.draft.draft import Draft, draft
from programs.week.document import write_weeks
from safety.findings import Finding
from safety.risk import Risk

FORMAT = "draft/1"


def answer(document: object) -> dict[str, Any]:
    """Return the draft/1 answer to a facts/1 document; its errors where it is not one."""
    facts = read(document)
    if isinstance(facts, tuple):
        return refusal(facts)
    return write(draft(facts))


def refusal(problems: tuple[Problem, ...]) -> dict[str, Any]:
    """Return the answer that says what is wrong."""
    return {"format": FORMAT, "errors": [asdict(problem) for problem in problems]}


def write(made: Draft) -> dict[str, Any]:
    """Return the draft/1 document of a drafted program."""
    later = {"half_year": made.resume.half_year} if made.resume.is_later else {}
    held = {"maintenance": True} if made.resume.maintains else {}
    return {
        "format": FORMAT,
        **later,
        **held,
        "rulebook": made.rulebook,
        "assessment": _assessment(made),
        "findings": [finding_out(finding) for finding in made.findings],
        "issuable": made.issuable,
        "modalities": {
            str(m): {
                "status": str(s.status),
                "rank": s.rank,
                "why": list(s.why),
                "sources": list(s.sources),
                "until": s.until and s.until.isoformat(),
            }
            for m, s in made.standings.items()
        },
        "weeks": write_weeks(made.weeks),
        "left_out": [
            {"about": str(one.about), "from_week": one.from_week, "why": one.why}
            for one in made.left_out
        ],
        "timetable": {day: [str(m) for m in held] for day, held in made.timetable.items()},
        "reviews": [{"week": week, "what": what} for week, what in made.reviews],
    }


def _assessment(made: Draft) -> dict[str, Any]:
    s = made.screen.situation
    density = s.density
    return {
        "age": s.age,
        "density": {
            "category": density.category,
            "site": density.site,
            "score": density.score,
            "by": density.by,
        },
        "fracture_risk": s.fracture_risk.level,
        "fall_risk": s.fall_risk.level,
        "low_function": s.function_level,
        "training_posture": str(s.training_posture),
        "one_rm_kg": {lift: round(kg, 1) for lift, kg in person.one_rms(made.screen).items()},
        "reasons": [*_reasons(s.fracture_risk), *_reasons(s.fall_risk)],
    }


def _reasons(risk: Risk) -> list[dict[str, Any]]:
    return [{"rule": c.code, "text": c.text, "sources": list(c.sources)} for c in risk.fired]


def finding_out(finding: Finding) -> dict[str, Any]:
    """Return a finding as the draft/1 document holds it."""
    return {
        "rule": finding.rule,
        "about": str(finding.about),
        "level": str(finding.level),
        "text": finding.text,
        "sources": list(finding.sources),
        "cleared": finding.cleared,
        "dosed": finding.dosed,
    }
