"""Fracture risk and fall risk: every criterion, whether it fired, and whose it is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from patients.facts.codes import SEDATING
from patients.facts.declared import Facts, Falls, Fracture
from patients.measured.density import Density
from patients.measured.function_tests import gait_m_s
from patients.measured.newest_tests import TestsOnDay
from safety import fracture_history
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
    criteria = (
        *_by_fracture(facts),
        *_by_density(density),
        *_by_number(facts),
        *_by_hormone_treatment(facts),
    )
    level = _highest(criteria, ("very_high", "high", "moderate"))
    unknown = density.category == "unknown" or facts.fractures is None
    if unknown and level not in ("very_high", "high"):
        return Risk(level="unknown", drafted_as="high", criteria=criteria)
    level = level or "low"
    return Risk(level=level, drafted_as=level, criteria=criteria)


def _highest(criteria: Iterable[Criterion], levels: tuple[str, ...]) -> str | None:
    met = {c.level for c in criteria if c.met}
    return next((level for level in levels if level in met), None)


#: A criterion by whether it is met: made once, for it says the same of everybody.
_EachWay = Mapping[bool | None, Criterion]


def _each_way(code: str, level: str, text: str, *sources: str) -> _EachWay:
    """Return a criterion that is met, is not met, and is not recorded."""
    return {
        met: Criterion(code=code, level=level, met=met, text=text, sources=cite(*sources))
        for met in (True, False, None)
    }


_RECENT_FRACTURE = _each_way(
    "fracture_risk.recent_fracture",
    "very_high",
    "Low-trauma fracture of vertebra, hip, pelvis, upper arm or wrist in the last 24 months",
    "imminent",
    "aace2020",
)
_TWO_VERTEBRAL = _each_way(
    "fracture_risk.two_vertebral", "very_high", "Two or more vertebral fractures", "aace2020"
)
_EARLIER_FRACTURE = _each_way(
    "fracture_risk.earlier_fracture",
    "high",
    "An earlier low-trauma fracture",
    "acr2022",
    "project",
)


def _by_fracture(facts: Facts) -> tuple[Criterion, ...]:
    if facts.fractures is None:
        return _RECENT_FRACTURE[None], _TWO_VERTEBRAL[None], _EARLIER_FRACTURE[None]
    fractures = fracture_history.each_once(facts.fractures)
    return (
        _RECENT_FRACTURE[bool(recent_fractures(facts))],
        _TWO_VERTEBRAL[len(fracture_history.vertebral(fractures)) >= 2],
        _EARLIER_FRACTURE[bool(fracture_history.low_trauma(fractures))],
    )


def recent_fractures(facts: Facts) -> tuple[Fracture, ...]:
    """Return the low-trauma fractures of a major site of the last 24 months."""
    fractures = fracture_history.each_once(facts.fractures or ())
    counted = fracture_history.low_trauma(fractures)
    return tuple(f for f in counted if fracture_history.is_recent_risk(f, facts.as_of))


_HORMONE_BLOCKING = _each_way(
    "fracture_risk.hormone_blocking_treatment",
    "moderate",
    "Treatment that blocks sex hormones",
    "hormone_blocking",
    "project",
)
_HORMONE_BLOCKING_NOT_ASKED = _each_way(
    "fracture_risk.hormone_blocking_not_asked",
    "moderate",
    "Not recorded whether treatment blocks sex hormones: counted as yes",
    "project",
)


def _by_hormone_treatment(facts: Facts) -> tuple[Criterion, ...]:
    answer = facts.condition("hormone_blocking_treatment").answer
    return _HORMONE_BLOCKING[answer], _HORMONE_BLOCKING_NOT_ASKED[answer is None]


def _of_score(code: str, level: str, text: str, source: str) -> _EachWay:
    return _each_way(f"fracture_risk.{code}", level, text, source, "project")


#: Which score, the most that meets it, and the criterion.
_SCORES = (
    ("t", -3.0, _of_score("t_3_0", "very_high", "T-score \u22123.0 or lower", "aace2020")),
    ("t", -2.5, _of_score("t_2_5", "high", "T-score \u22122.5 or lower", "who")),
    ("z", -2.0, _of_score("z_2_0", "high", "Z-score \u22122.0 or lower", "iscd")),
    ("t", -1.1, _of_score("t_1_0", "moderate", "T-score below \u22121.0", "who")),
)
_T_BESIDE_Z = _each_way(
    "fracture_risk.t_2_5_beside_z",
    "moderate",
    "T-score \u22122.5 or lower, where Z is read",
    "project",
)


def _by_density(density: Density) -> tuple[Criterion, ...]:
    score = density.score
    return (
        *(
            either[None if score is None else by == density.by and score <= limit]
            for by, limit, either in _SCORES
        ),
        _T_BESIDE_Z[density.low_t is not None],
    )


_MAJOR = "Ten-year probability of major fracture {} % or more"
_HIP = "Ten-year probability of hip fracture {} % or more"


def _of_number(code: str, level: str, text: str, source: str) -> _EachWay:
    return _each_way(f"fracture_risk.{code}", level, text, source)


_MAJOR_30 = _of_number("major_30", "very_high", _MAJOR.format(30), "acr2022")
_HIP_4_5 = _of_number("hip_4_5", "very_high", _HIP.format(4.5), "acr2022")
_STEROID_30 = _of_number("steroid_30", "very_high", "Glucocorticoid 30 mg a day or more", "acr2022")
_MAJOR_20 = _of_number("major_20", "high", _MAJOR.format(20), "treatment_line")
_HIP_3 = _of_number("hip_3", "high", _HIP.format(3), "treatment_line")
_STEROID_7_5 = _of_number(
    "steroid_7_5", "high", "Glucocorticoid 7.5 mg a day or more for 3 months", "acr2022"
)
_MAJOR_10 = _of_number("major_10", "moderate", _MAJOR.format(10), "acr2022")


def _by_number(facts: Facts) -> tuple[Criterion, ...]:
    given = facts.probability_10y
    major = given.major_percent if given else None
    hip = given.hip_percent if given else None
    dose, months = fracture_history.steroid_dose(facts)
    return (
        _MAJOR_30[_at_least(major, 30)],
        _HIP_4_5[_at_least(hip, 4.5)],
        _STEROID_30[_at_least(dose, 30)],
        _MAJOR_20[_at_least(major, 20)],
        _HIP_3[_at_least(hip, 3)],
        _STEROID_7_5[_both(_at_least(dose, 7.5), _at_least(months, 3))],
        _MAJOR_10[_at_least(major, 10)],
    )


def _at_least(value: float | None, limit: float) -> bool | None:
    return None if value is None else value >= limit


def _both(a: bool | None, b: bool | None) -> bool | None:
    if a is False or b is False:
        return False
    return True if a and b else None


def fall_risk(facts: Facts, tests: TestsOnDay) -> Risk:
    """Return the fall risk: low, intermediate, high or unknown."""
    falls = facts.falls or Falls()
    drowsy = _two_sedating(facts)
    criteria = (
        *_by_falls(falls),
        *_by_steadiness(facts, tests),
        _TWO_SEDATING[drowsy],
        _by_aid(facts),
    )
    level = _highest(criteria, ("high", "intermediate"))
    unasked = falls.last_12_months is None or falls.unsteady is None
    if level is None and (unasked or drowsy is None):
        return Risk(level="unknown", drafted_as="intermediate", criteria=criteria)
    level = level or "low"
    return Risk(level=level, drafted_as=level, criteria=criteria)


def sedating(facts: Facts) -> tuple[str, ...]:
    """Return the codes of the medicines taken that make drowsy or unsteady."""
    return tuple(code for code in SEDATING if facts.medicine(code).answer)


def sedating_missing(facts: Facts) -> tuple[str, ...]:
    """Return the codes not answered, where a yes could make two such medicines."""
    unknown = tuple(code for code in SEDATING if facts.medicine(code).answer is None)
    if not unknown:
        return ()
    taken = len(sedating(facts))
    return unknown if taken < 2 <= taken + len(unknown) else ()


def _two_sedating(facts: Facts) -> bool | None:
    """Tell whether two such medicines are taken; None where they may be."""
    return True if len(sedating(facts)) >= 2 else None if sedating_missing(facts) else False


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


_TWO_FALLS = _each_way("fall_risk.two_falls", "high", "Two or more falls in 12 months", "wfg2022")
_SEVERE_FALL = _each_way(
    "fall_risk.severe_fall",
    "high",
    "A fall with injury, a long time on the floor, or a blackout",
    "wfg2022",
)
_SEVERITY_NOT_ASKED = _each_way(
    "fall_risk.severity_not_asked",
    "high",
    "A fall, and not recorded whether with injury, long lie or blackout: drafted as high",
    "project",
)


def _by_falls(falls: Falls) -> tuple[Criterion, ...]:
    count = falls.last_12_months
    severe = True in severity(falls).values()  # a yes tells of a fall, whatever the count
    return (
        _TWO_FALLS[_at_least(count, 2)],
        _SEVERE_FALL[severe if severe or count is not None else None],
        _SEVERITY_NOT_ASKED[bool(severity_missing(falls))],
    )


_ABNORMAL_TEST = _each_way(
    "fall_risk.abnormal_test",
    "intermediate",
    "A test of balance, strength, gait or pressure abnormal",
    "steadi",
    "wfg2022",
)
_UNSTEADY = _each_way(
    "fall_risk.unsteady", "intermediate", "Feels unsteady when standing or walking", "steadi"
)


def _by_steadiness(facts: Facts, tests: TestsOnDay) -> tuple[Criterion, ...]:
    found = tests.abnormal
    test = _ABNORMAL_TEST[bool(found) if facts.tests else None]
    return (
        replace(test, text="; ".join(found)) if found else test,
        _UNSTEADY[facts.falls.unsteady if facts.falls else None],
    )


_TWO_SEDATING = _each_way(
    "fall_risk.two_sedating",
    "intermediate",
    "Two or more medicines that make drowsy or unsteady",
    "wfg2022",
    "project",
)
_FRAME = _each_way("fall_risk.frame", "intermediate", "Walks with a frame indoors", "project")


def _by_aid(facts: Facts) -> Criterion:
    mobility = facts.person.mobility
    return _FRAME[None if mobility is None else mobility == "frame"]


#: Row 3a: slower than either is low function; the gait limit is a project choice.
LOW_UP_AND_GO_S, LOW_GAIT_M_S, LOW_SPPB = 15, 0.6, 8
#: Where none of the tests of low function is known, drafted as low function from this age.
LOW_FUNCTION_AGE = 75
_OF_FUNCTION = ("up_and_go_s", "walk_4m_s", "five_stands_s", "chair_stands_30s")


def low_function(tests: TestsOnDay, age: int) -> Risk:
    """Return whether function is low, "yes", "no" or "unknown", and how it is drafted."""
    criteria = _of_function(tests)
    if any(c.met for c in criteria):
        return Risk(level="yes", drafted_as="yes", criteria=criteria)
    if tests.known(*_OF_FUNCTION):
        return Risk(level="no", drafted_as="no", criteria=criteria)
    drafted = "yes" if age >= LOW_FUNCTION_AGE else "no"
    return Risk(level="unknown", drafted_as=drafted, criteria=criteria)


def _function(code: str, text: str) -> _EachWay:
    return _each_way(f"low_function.{code}", "yes", text, "uk2022", "ewgsop2", "project")


_SPPB = _function("sppb", "SPPB 8 or less")
_UP_AND_GO = _function("up_and_go", "Timed Up and Go over 15 s")
_GAIT = _function("gait", "Gait of 0.6 m/s or slower")
_STANDS = _function("stands", "No chair stand in 30 s")
_UNABLE = _function("unable", "Timed Up and Go, walk or chair stands not possible")


def _of_function(tests: TestsOnDay) -> tuple[Criterion, ...]:
    read, gait = tests.read, gait_m_s(tests.read)
    stands = read.chair_stands_30s
    return (
        _SPPB[None if tests.sppb is None else tests.sppb <= LOW_SPPB],
        _UP_AND_GO[_more(read.up_and_go_s, LOW_UP_AND_GO_S)],
        _GAIT[None if gait is None else gait <= LOW_GAIT_M_S],
        _STANDS[None if stands is None else stands == 0],
        _UNABLE[tests.unable(*_OF_FUNCTION)],
    )


def _more(value: float | None, limit: float) -> bool | None:
    return None if value is None else value > limit
