"""What a row is: a requirement in our own words, a verdict, the tests that show it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

STANDARD = "OWASP Application Security Verification Standard 5.0.0"


class Verdict(StrEnum):
    """How a requirement stands."""

    HOLDS = "holds"
    NOT_HERE = "does not apply"
    OPEN = "open"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One requirement, or a few that belong together.

    numbers   as the standard counts them
    level     the lowest at which one of them is asked for; more than 2 is taken freely
    words     what is asked for, in our own words
    note      how far it goes; a sentence wherever it does not plainly hold
    tests     node names, "tests/x/test_y.py::test_z"
    """

    numbers: str
    level: int
    words: str
    verdict: Verdict
    note: str
    tests: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.verdict is Verdict.HOLDS and not self.tests:
            raise ValueError(f"{self.numbers}: nothing holds that no test shows.")
        if self.verdict is not Verdict.HOLDS and not self.note:
            raise ValueError(f"{self.numbers}: say in a sentence why.")


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """The rows of one subject."""

    name: str
    rows: tuple[Row, ...]


def found(path: str, *names: str) -> tuple[str, ...]:
    """Return the node names of several tests of one file."""
    return tuple(f"tests/{path}::{name}" for name in names)


def holds(numbers: str, level: int, words: str, *tests: tuple[str, ...], note: str = "") -> Row:
    """Return a requirement that tests show."""
    return _row(Verdict.HOLDS, numbers, level, words, note, tests)


def not_here(numbers: str, level: int, words: str, why: str, *tests: tuple[str, ...]) -> Row:
    """Return a requirement of something that there is not here."""
    return _row(Verdict.NOT_HERE, numbers, level, words, why, tests)


def is_open(numbers: str, level: int, words: str, why: str, *tests: tuple[str, ...]) -> Row:
    """Return a requirement that is not met, or not wholly."""
    return _row(Verdict.OPEN, numbers, level, words, why, tests)


def _row(
    verdict: Verdict,
    numbers: str,
    level: int,
    words: str,
    note: str,
    tests: tuple[tuple[str, ...], ...],
) -> Row:
    return Row(
        numbers=numbers,
        level=level,
        words=words,
        verdict=verdict,
        note=note,
        tests=tuple(name for some in tests for name in some),
    )
