"""What a hazard is, and how grave and how likely. Nothing controls it that no test holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from types import MappingProxyType

from safety.sources import SOURCES


class Severity(IntEnum):
    """What could become of her, mildest first."""

    MINOR = 1
    SIGNIFICANT = 2
    CONSIDERABLE = 3
    MAJOR = 4
    CATASTROPHIC = 5


class Likelihood(IntEnum):
    """How likely that is in a clinic's use over years, least first."""

    VERY_LOW = 1
    LOW = 2
    MEDIUM = 3
    HIGH = 4
    VERY_HIGH = 5


#: The five words are those used with DCB0129; what they mean here is said by this project.
SEVERITIES: Mapping[Severity, str] = MappingProxyType(
    {
        Severity.MINOR: "a discomfort or a delay that leaves nothing behind",
        Severity.SIGNIFICANT: "an injury or illness that heals within days or weeks, or months "
        "in which the program does her no good",
        Severity.CONSIDERABLE: "an injury that heals in months, such as a broken wrist",
        Severity.MAJOR: "lasting harm, such as a broken hip or vertebra",
        Severity.CATASTROPHIC: "death, or the loss of an independent life",
    }
)
LIKELIHOODS: Mapping[Likelihood, str] = MappingProxyType(
    {
        Likelihood.VERY_LOW: "hardly conceivable in years of use",
        Likelihood.LOW: "conceivable, not expected",
        Likelihood.MEDIUM: "to be expected once in a while",
        Likelihood.HIGH: "to be expected several times a year",
        Likelihood.VERY_HIGH: "to be expected all the time",
    }
)
#: Ratings from 1, acceptable, to 5, unacceptable, by likelihood from the least.
MATRIX: Mapping[Severity, tuple[int, int, int, int, int]] = MappingProxyType(
    {
        Severity.MINOR: (1, 1, 2, 2, 3),
        Severity.SIGNIFICANT: (1, 2, 3, 3, 4),
        Severity.CONSIDERABLE: (2, 3, 3, 4, 5),
        Severity.MAJOR: (2, 3, 4, 5, 5),
        Severity.CATASTROPHIC: (3, 4, 5, 5, 5),
    }
)
#: From here on a risk is not to stand without work on it.
NOT_TO_STAND = 4
ABOUT_THE_SCALE = (
    "The words for severity and the five by five matrix are those of this source: "
    f"{SOURCES['dcb0129'].text} Of two versions of the matrix that were found the stricter one is "
    "taken. What the words mean here, and every rating, are this project's own judgement, made "
    "without figures from use. A clinic confirms them before it relies on them."
)


@dataclass(frozen=True, kw_only=True)
class Risk:
    """How grave and how likely."""

    severity: Severity
    likelihood: Likelihood

    @property
    def rating(self) -> int:
        """Return the rating, from 1 to 5."""
        return MATRIX[self.severity][self.likelihood - 1]

    @property
    def words(self) -> str:
        """Return it in words: "major, low: 3"."""
        return f"{spelt(self.severity)}, {spelt(self.likelihood)}: {self.rating}"


def spelt(step: IntEnum) -> str:
    """Return a step in words."""
    return step.name.lower().replace("_", " ")


class How(StrEnum):
    """How a control works, the surest first."""

    DESIGN = "it cannot be done"
    GUARD = "it is stopped or asked about"
    TOLD = "it is said"


@dataclass(frozen=True, kw_only=True)
class Control:
    """Something in the product that holds a hazard back, with the tests that prove it.

    tests   node names, "tests/x/test_y.py::test_z"; without one there is no control
    """

    how: How
    words: str
    tests: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.tests:
            raise ValueError(f"No test holds this: {self.words}")

    @property
    def by_file(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Return the tests of each file, in the order in which they are named."""
        of: dict[str, list[str]] = {}
        for path, _, name in (test.partition("::") for test in self.tests):
            of.setdefault(path, []).append(name)
        return tuple((path, tuple(names)) for path, names in of.items())


class Carrier(StrEnum):
    """Who carries what is left of a hazard."""

    CLINICIAN = "the clinician who signs"
    CLINIC = "the clinic"
    MAKERS = "whoever makes and changes the product"


class Standing(StrEnum):
    """Where a hazard stands."""

    CONTROLLED = "controlled"
    PARTLY = "partly controlled"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class Hazard:
    """One hazard.

    what      what could happen
    cause     how it comes about
    harm      what that does to her
    before    the risk with none of the controls
    after     the risk as the product is now
    missing   what the product does not hold back yet
    left      what no product can take away
    """

    code: str
    what: str
    cause: str
    harm: str
    before: Risk
    controls: tuple[Control, ...]
    after: Risk
    missing: tuple[str, ...]
    left: str
    carried_by: Carrier

    def __post_init__(self) -> None:
        if self.after.rating > self.before.rating:
            raise ValueError(f"{self.code}: no control makes a risk graver.")
        if not self.controls and (self.after != self.before or not self.missing):
            raise ValueError(f"{self.code}: nothing controls it, so it is as before, and open.")
        if self.after.rating >= NOT_TO_STAND and not self.missing:
            raise ValueError(f"{self.code}: such a risk does not stand; say what is missing.")

    @property
    def standing(self) -> Standing:
        """Return where it stands; it follows from the controls, so that nobody declares it."""
        if not self.controls:
            return Standing.OPEN
        return Standing.PARTLY if self.missing else Standing.CONTROLLED

    @property
    def tests(self) -> tuple[str, ...]:
        """Return every test that holds it, each once."""
        return tuple(dict.fromkeys(test for one in self.controls for test in one.tests))


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """The hazards of one part of the work."""

    name: str
    hazards: tuple[Hazard, ...]


def found(path: str, *names: str) -> tuple[str, ...]:
    """Return the node names of several tests of one file."""
    return tuple(f"tests/{path}::{name}" for name in names)


def design(words: str, *tests: tuple[str, ...]) -> Control:
    """Return a control by which it cannot be done."""
    return _control(How.DESIGN, words, tests)


def guard(words: str, *tests: tuple[str, ...]) -> Control:
    """Return a control that stops it or asks."""
    return _control(How.GUARD, words, tests)


def told(words: str, *tests: tuple[str, ...]) -> Control:
    """Return a control that says it."""
    return _control(How.TOLD, words, tests)


def _control(how: How, words: str, tests: tuple[tuple[str, ...], ...]) -> Control:
    return Control(how=how, words=words, tests=tuple(one for some in tests for one in some))


def risk(severity: Severity, likelihood: Likelihood) -> Risk:
    """Return a risk."""
    return Risk(severity=severity, likelihood=likelihood)
