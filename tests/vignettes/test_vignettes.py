"""Clinical cases: one person each, and what a draft for her must and must not hold.

A case is the steady person of tests/people.py with changes, and checks: a JMESPath
expression over the draft/1 answer, what it must be, and why.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jmespath
import pytest
import yaml

from programs.answer import answer
from tests.people import steady_document

CASES = {
    path.stem: yaml.safe_load(path.read_text())
    for path in sorted(Path(__file__).parent.glob("*.yaml"))
}
TESTS: dict[str, Callable[[Any, Any], bool]] = {
    "is": lambda got, want: got == want,
    "is_not": lambda got, want: got is not None and got != want,
    "at_most": lambda got, want: got is not None and got <= want,
    "at_least": lambda got, want: got is not None and got >= want,
    "contains": lambda got, want: want in got,
    "empty": lambda got, want: (not got) is want,
}
KEYS = {"that", "because", "or_absent", *TESTS}


def plain(value: Any) -> Any:
    """Return what JSON makes of a value: dates as text."""
    return json.loads(json.dumps(value, default=dt.date.isoformat))


def failures(case: dict[str, Any], draft: dict[str, Any]) -> list[str]:
    """Return each check that does not hold, with what was found and why it matters."""
    wrong = []
    for check in case["expect"]:
        got = looked_up(check["that"], draft)
        if got is None and check.get("or_absent"):
            continue
        for name in TESTS.keys() & check.keys():
            if not TESTS[name](got, check[name]):
                wrong.append(
                    f"{check['that']} {name} {check[name]!r}, got {got!r}: {check['because']}"
                )
    return wrong


def looked_up(path: str, draft: dict[str, Any]) -> Any:
    """Return what stands at a path; None where it finds nothing."""
    try:
        return jmespath.search(path, draft)
    except jmespath.exceptions.JMESPathTypeError:  # max() of nothing
        return None


def test_there_are_cases() -> None:
    assert len(CASES) >= 20


@pytest.mark.parametrize("name", CASES)
def test_case(name: str) -> None:
    case = CASES[name]
    draft = answer(steady_document(**plain(case["changes"])))
    assert "errors" not in draft
    assert failures(case, draft) == []


@pytest.mark.parametrize("name", CASES)
def test_case_is_well_formed(name: str) -> None:
    case = CASES[name]
    assert set(case) == {"story", "changes", "expect"}
    for check in case["expect"]:
        assert set(check) <= KEYS
        assert {"that", "because"} <= set(check)
        assert set(check) & set(TESTS)


def test_a_check_can_fail() -> None:
    draft = answer(steady_document())
    wrong = {"expect": [{"that": "issuable", "is": False, "because": "she is well"}]}
    assert failures(wrong, draft) == ["issuable is False, got True: she is well"]
    absent = {"expect": [{"that": "max(nothing[].here)", "at_most": 1, "because": "nothing"}]}
    assert failures(absent, draft)
