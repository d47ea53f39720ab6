"""Computation stays computation: no framework, no clock, no chance, no store."""

import ast
import sys

import grimp
import pytest

from tests.gate.project import APPS, ROOT, computation, module, run

FORBIDDEN = {
    *("config", "django", "os", "pathlib", "random", "secrets"),
    *("socket", "sqlite3", "subprocess", "time", "uuid"),
}
CLOCK = {"today", "now", "utcnow"}
ADVICE = "computes, yet reaches {}. Hand it in as an argument, or, if the module belongs to the "
ADVICE += "framework, name it under tool.coverage.run.omit in pyproject.toml."

IMPORT_WITHOUT_DJANGO = """
import importlib, sys

class NoDjango:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] == "django":
            raise ImportError("Django is not here")

sys.meta_path.insert(0, NoDjango())
for name in sys.argv[1:]:
    importlib.import_module(name)
"""


@pytest.fixture(scope="module")
def imports() -> grimp.ImportGraph:
    return grimp.build_graph(*APPS, "config", include_external_packages=True, cache_dir=None)


def test_there_is_computation_to_look_at() -> None:
    names = {module(path) for path in computation()}
    assert {"patients.facts.declared", "safety.findings", "programs.dose.vibration"} <= names


def test_reaches_nothing_forbidden(imports: grimp.ImportGraph) -> None:
    for path in computation():
        reached = {
            name.partition(".")[0] for name in imports.find_upstream_modules(module(path))
        } & FORBIDDEN
        assert not reached, f"{module(path)} {ADVICE.format(sorted(reached))}"


def test_asks_no_clock() -> None:
    for path in computation():
        for node in ast.walk(ast.parse((ROOT / path).read_text())):
            asks = isinstance(node, ast.Attribute) and node.attr in CLOCK
            assert not asks, f"{path}:{getattr(node, 'lineno', 0)} {ADVICE.format('the clock')}"


def test_loads_where_there_is_no_django() -> None:
    names = [module(path) for path in computation()]
    done = run(sys.executable, "-c", IMPORT_WITHOUT_DJANGO, *names)
    assert done.returncode == 0, done.stdout
