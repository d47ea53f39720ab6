"""The screen laid out for reading: what stops everything, then where each modality stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from safety.findings import Finding, Level, Modality
from safety.modalities import about_words
from safety.nearness import Near, near_fall, near_fracture
from safety.risk import Criterion, Risk
from safety.rules.all_rules import RULES
from safety.rules.rule import Rule
from safety.screen import Screen, Status
from safety.words import RISK_WORDS, limits_words

#: So many open answers are named one by one; more are counted.
FEW = 3
BY_CODE: Mapping[str, Rule] = {rule.code: rule for rule in RULES}


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One finding with its rule.

    asks_for   the subject of the clearance that would lift it; empty where none would
    """

    finding: Finding
    rule: Rule
    asks_for: str

    @property
    def text(self) -> str:
        """Return what the finding says, to stand after its level."""
        words = self.finding.text.removeprefix("Refer: ")
        return words[:1].upper() + words[1:]

    @property
    def grounds(self) -> str:
        """Return the findings's sources in one line."""
        return " · ".join(self.finding.sources)


@dataclass(frozen=True, kw_only=True)
class Group:
    """Where one modality stands.

    stopped   something stops all, whatever stands here
    empty     nothing was found and everything was asked
    """

    about: Modality
    status: Status
    stopped: bool
    why: str
    empty: bool

    @property
    def name(self) -> str:
        """Return the modality in words."""
        return about_words(self.about)

    @property
    def status_words(self) -> str:
        """Return where it stands; nothing is allowed while something stops all."""
        if self.stopped and self.status is not Status.EXCLUDED:
            return "Stopped"
        return {
            Status.INCLUDED: "Allowed",
            Status.ON_HOLD: "On hold",
            Status.EXCLUDED: "Excluded",
        }[self.status]

    @property
    def status_class(self) -> str:
        """Return the ending of the CSS class of its status."""
        if self.stopped:
            return "contraindicated"
        by_status = {Status.ON_HOLD: "needs_clearance", Status.EXCLUDED: "contraindicated"}
        return by_status.get(self.status, "fine")


@dataclass(frozen=True, kw_only=True)
class Stop:
    """The one thing at the top that stops everything.

    same_day   the same day rather than within days
    referred   what was answered yes; unasked: the red flags nobody asked about
    """

    same_day: bool
    referred: tuple[Shown, ...]
    unasked: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class RiskReading:
    """A risk level with the criteria that decided it, came near, or could not be looked at."""

    name: str
    risk: Risk
    near: tuple[Near, ...]

    @property
    def level_words(self) -> str:
        """Return the level, and how it is drafted where that differs."""
        words = RISK_WORDS[self.risk.level]
        drafted = RISK_WORDS[self.risk.drafted_as]
        return words if drafted == words else f"{words}, drafted as {drafted}"

    @property
    def met(self) -> tuple[Criterion, ...]:
        """Return every criterion that is met, of whatever level."""
        return tuple(c for c in self.risk.criteria if c.met)

    @property
    def unrecorded(self) -> tuple[str, ...]:
        """Return what is not recorded and could not be looked at, in words."""
        return once(_FACT_OF[c.code] for c in self.risk.criteria if c.met is None)


_BONE, _FALLS = "fractures", "falls in the last 12 months"
_SCORE, _STEROID = "a density result", "glucocorticoid, its dose and months"
_MAJOR = "ten-year probability of a major fracture"
#: The fact without which a criterion cannot be looked at.
_FACT_OF = {
    "fracture_risk.recent_fracture": _BONE,
    "fracture_risk.two_vertebral": _BONE,
    "fracture_risk.earlier_fracture": _BONE,
    "fracture_risk.t_3_0": _SCORE,
    "fracture_risk.t_2_5": _SCORE,
    "fracture_risk.z_2_0": _SCORE,
    "fracture_risk.t_1_0": _SCORE,
    "fracture_risk.major_30": _MAJOR,
    "fracture_risk.major_20": _MAJOR,
    "fracture_risk.major_10": _MAJOR,
    "fracture_risk.hip_4_5": "ten-year probability of a hip fracture",
    "fracture_risk.hip_3": "ten-year probability of a hip fracture",
    "fracture_risk.steroid_30": _STEROID,
    "fracture_risk.steroid_7_5": _STEROID,
    "fracture_risk.hormone_blocking_treatment": "treatment that blocks sex hormones",
    "fall_risk.two_falls": _FALLS,
    "fall_risk.severe_fall": _FALLS,
    "fall_risk.abnormal_test": "function tests",
    "fall_risk.two_sedating": "medicines that make drowsy",
    "fall_risk.frame": "mobility indoors",
    "fall_risk.unsteady": "feeling unsteady",
}


def stop(seen: Screen) -> Stop | None:
    """Return what stops everything, as one; None where nothing does."""
    if not seen.blocked:
        return None
    referred = tuple(_shown(f) for f in seen.blocked if f.level is not Level.MISSING)
    return Stop(
        same_day=any(f.same_day for f in seen.blocked),
        referred=referred,
        unasked=tuple(w for f in seen.blocked if f.level is Level.MISSING for w in f.missing),
    )


def groups(seen: Screen) -> tuple[Group, ...]:
    """Return where each modality stands."""
    return tuple(_group(seen, modality) for modality in Modality)


def risks(seen: Screen) -> tuple[RiskReading, ...]:
    """Return fracture risk and fall risk."""
    s = seen.situation
    return (
        RiskReading(name="Fracture risk", risk=s.fracture_risk, near=near_fracture(s.facts)),
        RiskReading(name="Fall risk", risk=s.fall_risk, near=near_fall(s.facts)),
    )


def open_words(seen: Screen) -> str:
    """Return what is still open, in a few words; nothing where nothing is."""
    if seen.blocked:
        told = any(f.level is not Level.MISSING for f in seen.blocked)
        return "stopped" if told else "red flags not asked"
    asked = {subject for f in seen.findings if (subject := asks_for(f))}
    holding = {w for f in seen.findings if f.holds and f.level is Level.MISSING for w in f.missing}
    needed = (*_counted(holding, "answer"), *_counted(asked, "clearance"))
    return f"needs {' and '.join(needed)}" if needed else ""


def _counted(things: Iterable[str], name: str) -> tuple[str, ...]:
    count = len(list(things))
    return () if count == 0 else (f"{count} {name}{'' if count == 1 else 's'}",)


def asks_for(finding: Finding) -> str:
    """Return the subject of the clearance that would lift a finding; nothing where none would."""
    lift = BY_CODE[finding.rule].lifted_by
    waits = finding.level is not Level.MISSING and not finding.cleared
    return lift.subject if lift and waits else ""


def _group(seen: Screen, modality: Modality) -> Group:
    status = seen.status(modality)
    return Group(
        about=modality,
        status=status,
        stopped=bool(seen.blocked),
        why=_why(seen, modality, status),
        empty=not any(f.about == modality for f in seen.findings),
    )


def _shown(finding: Finding) -> Shown:
    return Shown(finding=finding, rule=BY_CODE[finding.rule], asks_for=asks_for(finding))


def once(words: Iterable[str]) -> tuple[str, ...]:
    """Return words without what was said before."""
    return tuple(dict.fromkeys(words))


def _why(seen: Screen, modality: Modality, status: Status) -> str:
    found = seen.about(modality)
    if status is Status.EXCLUDED:
        barred = (BY_CODE[f.rule].reason for f in found if f.level is Level.CONTRAINDICATED)
        return "; ".join(once(reason.partition(". ")[0].rstrip(".") for reason in barred))
    if status is Status.ON_HOLD:
        return f"waits for {_waits_for([f for f in found if f.holds])}"
    return ", ".join(limits_words(seen.limits(modality)))


def _waits_for(holding: Iterable[Finding]) -> str:
    holding = list(holding)
    leave = once(_heading(f) for f in holding if f.level is Level.NEEDS_CLEARANCE)
    answers = once(w for f in holding if f.level is Level.MISSING for w in f.missing)
    named = len(answers) <= FEW
    return ", and ".join(
        (
            *([f"clearance of: {'; '.join(leave)}"] if leave else []),
            *([f"an answer: {', '.join(answers)}"] if answers and named else []),
            *(() if named else _counted(answers, "answer")),
        )
    )


def _heading(finding: Finding) -> str:
    return BY_CODE[finding.rule].reason.partition(". ")[0].partition(":")[0].rstrip(".")
