"""The hazard log and the table of the door tell the truth: what they name is there and runs."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterable, Iterator

import pytest

from config.asvs.all_rows import ROWS
from safety.hazards.all_hazards import HAZARDS
from safety.hazards.intended_use import VERSION
from tests.gate.project import ROOT, files

#: Whatever makes pytest pass a test over, in any of its spellings.
PASSED_OVER = {"skip", "skipif", "xfail", "importorskip"}


def living(path: str, text: str) -> Iterator[str]:
    """Yield the node names of the tests in a file that pytest runs, each without parameters."""
    module = ast.parse(text)
    if not passed_over(mark for mark in module.body if "pytestmark" in ast.unparse(mark)):
        yield from _living(module.body, path)


def _living(body: Iterable[ast.stmt], within: str) -> Iterator[str]:
    for node in body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef):
            continue
        if passed_over(node.decorator_list):
            continue
        if isinstance(node, ast.ClassDef):
            if node.name.startswith("Test"):
                yield from _living(node.body, f"{within}::{node.name}")
        elif node.name.startswith("test_") and not passed_over(node.body):
            yield f"{within}::{node.name}"


def passed_over(nodes: Iterable[ast.AST]) -> bool:
    """Tell whether any of these skips, or lets a failure pass."""
    return any(
        isinstance(node, ast.Attribute | ast.Name)
        and (node.attr if isinstance(node, ast.Attribute) else node.id) in PASSED_OVER
        for part in nodes
        for node in ast.walk(part)
    )


@pytest.fixture(scope="module")
def there() -> frozenset[str]:
    """The node names of all tests of the project."""
    paths = [path for path in files(".py") if path.name.startswith("test_")]
    return frozenset(
        name for path in paths for name in living(str(path), (ROOT / path).read_text())
    )


def test_every_test_that_holds_a_hazard_is_there(there: frozenset[str]) -> None:
    gone = [(one.code, test) for one in HAZARDS for test in one.tests if test not in there]
    assert gone == []


def test_every_test_that_shows_a_row_of_the_door_is_there(there: frozenset[str]) -> None:
    gone = [(row.numbers, test) for row in ROWS for test in row.tests if test not in there]
    assert gone == []


def test_there_are_tests_to_look_among(there: frozenset[str]) -> None:
    assert len(there) > 2500
    assert "tests/gate/test_hazards.py::test_there_are_tests_to_look_among" in there


SAMPLE = """
import pytest
{mark}
def test_kept(): assert given()
def test_renamed_now(): assert given()
@pytest.mark.skip
def test_skipped(): assert given()
@pytest.mark.xfail(reason="later")
def test_may_fail(): assert given()
def test_stops_itself(): pytest.skip("not here")
def helper(): assert given()
class TestIt:
    def test_within(self): assert given()
@pytest.mark.skipif(True, reason="never")
class TestSkipped:
    def test_within(self): assert given()
class Other:
    def test_of_no_test_class(self): assert given()
"""


def test_a_test_that_is_gone_renamed_or_passed_over_does_not_count() -> None:
    names = set(living("a.py", SAMPLE.format(mark="")))
    assert names == {"a.py::test_kept", "a.py::test_renamed_now", "a.py::TestIt::test_within"}
    assert set(living("a.py", SAMPLE.format(mark="pytestmark = pytest.mark.skip"))) == set()
    marked = SAMPLE.format(mark="pytestmark = [pytest.mark.slow]")
    assert set(living("a.py", marked)) == names


def test_the_file_names_the_release_that_is_built() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert project["version"] == VERSION
