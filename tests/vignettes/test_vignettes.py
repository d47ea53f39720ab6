"""Clinical cases: one person each, and what a draft for her must and must not hold.

A case is the steady person of tests/people.py with changes, or facts/1 documents of its own, and
checks: a JMESPath expression over the draft/1 answer, what it must be, and why. `of` names the
document that a check is about, and a `pair` compares two expressions over all answers.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jmespath
import yaml

from programs.draft.document import answer
from tests.each import each
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
    "contains": lambda got, want: want in (got or ()),
    "lacks": lambda got, want: want not in (got or ()),
    "empty": lambda got, want: (not got) is want,
}
KEYS = {"that", "because", "or_absent", "of", *TESTS}
#: What a case may be about: the steady person changed, one document, or several by name.
DOCUMENTS = ("changes", "facts", "documents")


def plain(value: Any) -> Any:
    """Return what JSON makes of a value: dates as text."""
    return json.loads(json.dumps(value, default=dt.date.isoformat))


def answers_of(case: dict[str, Any]) -> dict[str, Any]:
    """Return the draft of each document of a case, by its name; "answer" where it has one."""
    if "changes" in case:
        return {"answer": answer(steady_document(**plain(case["changes"])))}
    given = case.get("documents") or {"answer": {"facts": case["facts"]}}
    return {name: answer(plain(one["facts"])) for name, one in given.items()}


def failures(case: dict[str, Any], answers: dict[str, Any]) -> list[str]:
    """Return each check that does not hold, with what was found and why it matters."""
    wrong = []
    for check in case["expect"]:
        got = looked_up(check["that"], answers[check.get("of", next(iter(answers)))])
        if got is None and check.get("or_absent"):
            continue
        for name in TESTS.keys() & check.keys():
            if not TESTS[name](got, plain(check[name])):
                wrong.append(
                    f"{check['that']} {name} {check[name]!r}, got {got!r}: {check['because']}"
                )
    return wrong + _pairs_that_differ(case, answers)


def _pairs_that_differ(case: dict[str, Any], answers: dict[str, Any]) -> list[str]:
    """Return each comparison of two answers that does not hold; nothing found fails too."""
    wrong = []
    for check in case.get("pair", ()):
        got = looked_up(check["that"], answers)
        for name in TESTS.keys() & check.keys():
            want = looked_up(check[name], answers)
            if got is None or want is None or not TESTS[name](got, want):
                wrong.append(f"{check['that']} {name} {want!r}, got {got!r}: {check['because']}")
    return wrong


def looked_up(path: str, draft: dict[str, Any]) -> Any:
    """Return what stands at a path; None where it finds nothing."""
    try:
        return jmespath.search(path, draft)
    except jmespath.exceptions.JMESPathTypeError:  # max() of nothing
        return None


def test_there_are_cases() -> None:
    assert len(CASES) >= 20


@each("name", CASES)
def test_case(name: str) -> None:
    case = CASES[name]
    answers = answers_of(case)
    assert not any("errors" in one for one in answers.values())
    assert failures(case, answers) == []


@each("name", CASES)
def test_case_is_well_formed(name: str) -> None:
    case = CASES[name]
    assert set(case) - {"pair"} in [{"story", "expect", of} for of in DOCUMENTS]
    for check in case["expect"]:
        assert set(check) <= KEYS
        assert {"that", "because"} <= set(check)
        assert set(check) & set(TESTS)


def test_a_check_can_fail() -> None:
    answers = {"answer": answer(steady_document())}
    wrong = {"expect": [{"that": "issuable", "is": False, "because": "she is well"}]}
    assert failures(wrong, answers) == ["issuable is False, got True: she is well"]
    absent = {"expect": [{"that": "max(nothing[].here)", "at_most": 1, "because": "nothing"}]}
    assert failures(absent, answers)
    pair = [
        {"that": "answer.weeks[0].week", "is": "answer.weeks[:1][].week | [0]", "because": "same"}
    ]
    assert failures({"expect": [], "pair": pair}, answers) == []
    pair[0]["is"] = "answer.weeks[1].week"
    assert failures({"expect": [], "pair": pair}, answers)
