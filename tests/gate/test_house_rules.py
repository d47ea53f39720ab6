"""Rules of this house that no tool knows."""

import ast
import re
from pathlib import Path

import pytest

from tests.gate.project import ROOT, files, python_of_apps

TOP = {
    *("README.md", "DEVELOPERS.md", "manage.py", "requirements.txt"),
    *("programs", "patients", "safety", "templates", "static", "tests"),
}
EXTRAS = {
    *("config", "pyproject.toml", "requirements-dev.txt", ".ci", "run", "check"),
    *("_setup.py", "benchmarks", ".gitignore"),
}
#: Parts of an expression that make `.update(` an update of rows, not of a dictionary.
ROWS = {"objects", "filter", "exclude", "all", "select_for_update", "get_queryset", "none"}
IN_BULK = {"bulk_create", "bulk_update", "abulk_create", "abulk_update", "aupdate"}
#: The audit trail takes PostgreSQL's lock on its tail, triggers have words of their own, and copies
#: of the database are made by the database itself: Django has no words for these.
SQL_ALLOWED = {"append_only.py", "migrations", "management", "machine", "audit.py"}
RAW_SQL = {"raw", "extra", "cursor", "RawSQL"}
LEFT_OPEN = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X|HA" + r"CK)\b")
#: A text in two pieces, with nothing between the last word of one and the first of the next.
GROWN_TOGETHER = re.compile(
    r"""f?"[^"\n]* [^"\n]*(?<!\\)[a-z,;.]"\n\s+f?"[A-Za-z][^"\n]* [^"\n]*\""""
)


def calls(path: Path) -> list[ast.Call]:
    return [
        node
        for node in ast.walk(ast.parse((ROOT / path).read_text()))
        if isinstance(node, ast.Call)
    ]


def words_of_chain(call: ast.Call) -> set[str]:
    """Return the attribute names before the called one: rows.filter(x).update -> {filter}."""
    if not isinstance(call.func, ast.Attribute):
        return set()
    below = ast.walk(call.func.value)
    return {node.attr for node in below if isinstance(node, ast.Attribute)}


def writes_rows_in_bulk(call: ast.Call) -> bool:
    if not isinstance(call.func, ast.Attribute):
        return False
    chain = words_of_chain(call)
    of_rows = bool(chain & ROWS) or any(word.endswith("_set") for word in chain)
    return call.func.attr in IN_BULK or (call.func.attr == "update" and of_rows)


def test_top_level() -> None:
    found = {path.parts[0] for path in files()}
    assert found >= TOP
    assert found <= TOP | EXTRAS


@pytest.mark.parametrize(
    ("source", "caught"),
    [
        ("Plan.objects.filter(pk=1).update(a=1)", True),
        ("patient.plan_set.update(a=1)", True),
        ("Plan.objects.bulk_create(rows)", True),
        ("table.update(other)", False),
        ("digest.update(b'x')", False),
    ],
)
def test_bulk_writes_are_recognised(source: str, caught: bool) -> None:
    call = ast.parse(source, mode="eval").body
    assert isinstance(call, ast.Call)
    assert writes_rows_in_bulk(call) == caught


def test_rows_change_one_by_one_so_that_each_change_is_audited() -> None:
    """Actions may update in bulk where they write the audit rows themselves."""
    for path in python_of_apps():
        if "migrations" in path.parts or path.name == "actions.py" or "actions" in path.parts:
            continue
        for call in calls(path):
            assert not writes_rows_in_bulk(call), f"{path}:{call.lineno} changes rows in bulk"


def test_no_sql_by_hand() -> None:
    """Migrations write triggers and commands keep the database; few others need SQL."""
    for path in python_of_apps():
        if SQL_ALLOWED & set(path.parts):
            continue
        for call in calls(path):
            name = getattr(call.func, "attr", getattr(call.func, "id", ""))
            assert name not in RAW_SQL, f"{path}:{call.lineno} calls {name}"


def test_files_stay_under_four_hundred_lines() -> None:
    for path in files(".py", ".html", ".css", ".js"):
        if "migrations" not in path.parts:
            assert len((ROOT / path).read_text().splitlines()) < 400, path


def test_nothing_is_left_open() -> None:
    for path in files(
        ".py", ".html", ".css", ".js", ".md", ".toml", ".yaml", ".json", "run", "check"
    ):
        found = LEFT_OPEN.search((ROOT / path).read_text())
        assert not found, f"{path}: {found}"


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-dev.txt"])
def test_lock_names_no_registry_and_hashes_every_pin(name: str) -> None:
    text = (ROOT / name).read_text()
    assert "://" not in text
    assert "index-url" not in text
    pins = re.split(r"\n(?=\S)(?!#)", text)
    assert len(pins) > 20
    for pin in pins:
        assert "--hash=sha256:" in pin, pin.splitlines()[0]


def test_the_tests_lock_holds_every_pin_of_the_apps() -> None:
    """./check takes an environment with the tests' lock as fit to serve the app."""
    app, tests = (
        set(re.findall(r"^(\S+==[^\s;\\]+)", (ROOT / name).read_text(), re.MULTILINE))
        for name in ("requirements.txt", "requirements-dev.txt")
    )
    assert app
    assert app <= tests


def test_no_page_reaches_outside_or_runs_inline() -> None:
    inline = re.compile(
        r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=\"|https?://(?!www\.w3\.org/)"
    )
    for path in files(".html", ".css", ".js"):
        if path.parts[0] in {"templates", "static"}:
            found = inline.search((ROOT / path).read_text())
            assert not found, f"{path}: {found}"


def test_a_search_for_a_template_finds_who_uses_it() -> None:
    """A name put together from parts is found by nobody."""
    users = [(ROOT / path).read_text() for path in (*python_of_apps(), *files(".html"))]
    users += [(ROOT / path).read_text() for path in files(".py") if path.parts[0] == "config"]
    names = [path.relative_to("templates") for path in files(".html")]
    assert [str(name) for name in names if not any(f'"{name}"' in text for text in users)] == []


def test_two_words_grown_together_would_be_seen() -> None:
    assert GROWN_TOGETHER.search('"what is set now is on"\n    "the page of the clinic"')
    assert not GROWN_TOGETHER.search('"what is set now is on "\n    "the page of the clinic"')


def test_no_two_words_of_a_text_have_grown_together() -> None:
    for path in python_of_apps():
        found = GROWN_TOGETHER.search((ROOT / path).read_text())
        assert found is None, f"{path}: {found and found.group()[-80:]}"
