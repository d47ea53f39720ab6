"""Fracture risk and fall risk: every criterion, whether it fired, and whose it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from patients.density import Density
from patients.facts import Facts, Falls, Tests
from patients.function_tests import abnormal
from safety import history
from safety.sources import cite


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """One criterion of a risk level.

    met   True, False, or None where what it needs is not recorded
    """

    code: str
    level: str
    met: bool | None
    text: str
    sources: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Risk:
    """A risk level, how it is drafted, and the criteria behind it."""

    level: str
    drafted_as: str
    criteria: tuple[Criterion, ...]

    @property
    def fired(self) -> tuple[Criterion, ...]:
        """Return the criteria that are met and decide the level."""
        return tuple(c for c in self.criteria if c.met and c.level == self.drafted_as)


def fracture_risk(facts: Facts, density: Density) -> Risk:
    """Return the fracture risk: low, moderate, high, very_high or unknown."""
    criteria = (*_by_fracture(facts), *_by_density(density), *_by_number(facts))
    level = _highest(criteria, ("very_high", "high"))
    if level is None and (density.category == "unknown" or facts.fractures is None):
        return Risk(level="unknown", drafted_as="high", criteria=criteria)
    level = level or _highest(criteria, ("moderate",)) or "low"
    return Risk(level=level, drafted_as=level, criteria=criteria)


def _highest(criteria: Iterable[Criterion], levels: tuple[str, ...]) -> str | None:
    met = {c.level for c in criteria if c.met}
    return next((level for level in levels if level in met), None)


def _by_fracture(facts: Facts) -> tuple[Criterion, ...]:
    known = facts.fractures is not None
    counted = history.low_trauma(facts.fractures)
    recent = [f for f in counted if history.is_recent_risk(f, facts.as_of)]
    spine = history.vertebral(facts.fractures)
    return (
        Criterion(
            code="fracture_risk.recent_fracture",
            level="very_high",
            met=bool(recent) if known else None,
            text="Low-trauma fracture of vertebra, hip, pelvis, upper arm or wrist "
            "in the last 24 months",
            sources=cite("imminent", "aace2020"),
        ),
        Criterion(
            code="fracture_risk.two_vertebral",
            level="very_high",
            met=len(spine) >= 2 if known else None,
            text="Two or more vertebral fractures",
            sources=cite("aace2020"),
        ),
        Criterion(
            code="fracture_risk.earlier_fracture",
            level="high",
            met=bool(counted) if known else None,
            text="An earlier low-trauma fracture",
            sources=cite("acr2022", "project"),
        ),
    )


def _by_density(density: Density) -> tuple[Criterion, ...]:
    t = density.score if density.by == "t" else None
    z = density.score if density.by == "z" else None
    unknown = density.score is None
    rows = (
        ("fracture_risk.t_3_0", "very_high", t, -3.0, "T-score \u22123.0 or lower", "aace2020"),
        ("fracture_risk.t_2_5", "high", t, -2.5, "T-score \u22122.5 or lower", "who"),
        ("fracture_risk.z_2_0", "high", z, -2.0, "Z-score \u22122.0 or lower", "iscd"),
        ("fracture_risk.t_1_0", "moderate", t, -1.1, "T-score below \u22121.0", "who"),
    )
    return tuple(
        Criterion(
            code=code,
            level=level,
            met=None if unknown else score is not None and score <= limit,
            text=text,
            sources=cite(source, "project"),
        )
        for code, level, score, limit, text, source in rows
    )


def _by_number(facts: Facts) -> tuple[Criterion, ...]:
    given = facts.probability_10y
    major = given.major_percent if given else None
    hip = given.hip_percent if given else None
    dose, months = history.steroid_dose(facts)
    long_enough = None if months is None else months >= 3
    rows = (
        (
            "major_30",
            "very_high",
            _at_least(major, 30),
            "Ten-year probability of major fracture 30 % or more",
            "acr2022",
        ),
        (
            "hip_4_5",
            "very_high",
            _at_least(hip, 4.5),
            "Ten-year probability of hip fracture 4.5 % or more",
            "acr2022",
        ),
        (
            "steroid_30",
            "very_high",
            _at_least(dose, 30),
            "Glucocorticoid 30 mg a day or more",
            "acr2022",
        ),
        (
            "major_20",
            "high",
            _at_least(major, 20),
            "Ten-year probability of major fracture 20 % or more",
            "treatment_line",
        ),
        (
            "hip_3",
            "high",
            _at_least(hip, 3),
            "Ten-year probability of hip fracture 3 % or more",
            "treatment_line",
        ),
        (
            "steroid_7_5",
            "high",
            _both(_at_least(dose, 7.5), long_enough),
            "Glucocorticoid 7.5 mg a day or more for 3 months",
            "acr2022",
        ),
        (
            "major_10",
            "moderate",
            _at_least(major, 10),
            "Ten-year probability of major fracture 10 % or more",
            "acr2022",
        ),
    )
    return tuple(
        Criterion(
            code=f"fracture_risk.{code}", level=level, met=met, text=text, sources=cite(source)
        )
        for code, level, met, text, source in rows
    )


def _at_least(value: float | None, limit: float) -> bool | None:
    return None if value is None else value >= limit


def _both(a: bool | None, b: bool | None) -> bool | None:
    if a is False or b is False:
        return False
    return True if a and b else None


def fall_risk(facts: Facts, age: int) -> Risk:
    """Return the fall risk: low, intermediate, high or unknown."""
    falls = facts.falls or Falls()
    found = abnormal(facts.tests, age, facts.person.sex) if facts.tests else ()
    criteria = (*_by_falls(falls), *_by_steadiness(falls, facts, found))
    level = _highest(criteria, ("high", "intermediate"))
    if level is None and (falls.last_12_months is None or falls.unsteady is None):
        return Risk(level="unknown", drafted_as="intermediate", criteria=criteria)
    level = level or "low"
    return Risk(level=level, drafted_as=level, criteria=criteria)


def severity(falls: Falls) -> dict[str, bool | None]:
    """Return the answers that make a fall severe."""
    return {
        "an injury": falls.injury,
        "an hour or more on the floor": falls.long_lie,
        "a blackout": falls.blackout,
    }


def severity_missing(falls: Falls) -> tuple[str, ...]:
    """Return what is not recorded about a fall that happened."""
    if not falls.last_12_months:
        return ()
    return tuple(name for name, answer in severity(falls).items() if answer is None)


def _by_falls(falls: Falls) -> tuple[Criterion, ...]:
    count = falls.last_12_months
    severe = True in severity(falls).values()  # a yes tells of a fall, whatever the count
    unasked = bool(severity_missing(falls))
    return (
        Criterion(
            code="fall_risk.two_falls",
            level="high",
            met=_at_least(count, 2),
            text="Two or more falls in 12 months",
            sources=cite("wfg2022"),
        ),
        Criterion(
            code="fall_risk.severe_fall",
            level="high",
            met=severe if severe or count is not None else None,
            text="A fall with injury, a long time on the floor, or a blackout",
            sources=cite("wfg2022"),
        ),
        Criterion(
            code="fall_risk.severity_not_asked",
            level="high",
            met=unasked,
            text="A fall, and not recorded whether with injury, long lie or blackout: "
            "drafted as high",
            sources=cite("project"),
        ),
    )


def _by_steadiness(falls: Falls, facts: Facts, found: tuple[str, ...]) -> tuple[Criterion, ...]:
    return (
        Criterion(
            code="fall_risk.fall_and_slow",
            level="intermediate",
            met=_both(_at_least(falls.last_12_months, 1), _slow(facts.tests or Tests())),
            text="A fall, and gait of 0.8 m/s or slower or up-and-go over 15 s",
            sources=cite("wfg2022"),
        ),
        Criterion(
            code="fall_risk.abnormal_test",
            level="intermediate",
            met=bool(found) if facts.tests is not None else None,
            text="; ".join(found) or "A test of balance, strength, gait or pressure abnormal",
            sources=cite("steadi", "wfg2022"),
        ),
        Criterion(
            code="fall_risk.unsteady",
            level="intermediate",
            met=falls.unsteady,
            text="Feels unsteady when standing or walking",
            sources=cite("steadi"),
        ),
    )


def _slow(tests: Tests) -> bool | None:
    """Tell whether gait or up-and-go is slow; None where one was not taken and none is."""
    walk, up_and_go = tests.walk_4m_s, tests.up_and_go_s
    if (walk is not None and walk >= 5.0) or (up_and_go is not None and up_and_go > 15):
        return True
    return None if walk is None or up_and_go is None else False
