"""What the tools say: lint, layout, types, the one-way flow, Django's own checks."""

import os
import sys
from pathlib import Path

import pytest

from tests.gate.project import ROOT, run

BIN = Path(sys.executable).parent
#: The served app's settings; the tests' own are for the tests.
SERVED = {"DJANGO_SETTINGS_MODULE": "config.settings"}


@pytest.mark.parametrize("arguments", [["check"], ["format", "--check"]], ids=["lint", "layout"])
def test_ruff(arguments: list[str]) -> None:
    done = run(str(BIN / "ruff"), *arguments)
    assert done.returncode == 0, done.stdout


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [[], ["_setup.py", "manage.py"], ["run"], ["check"]])
def test_types(arguments: list[str], tmp_path: Path) -> None:
    done = run(str(BIN / "mypy"), *arguments, CALCAR_STATE=str(tmp_path))
    assert done.returncode == 0, done.stdout


def test_imports_go_one_way() -> None:
    done = run(str(BIN / "lint-imports"), "--no-cache")
    assert done.returncode == 0, done.stdout


def test_no_migration_is_missing(tmp_path: Path) -> None:
    done = run(
        sys.executable,
        *("manage.py", "makemigrations", "--check", "--dry-run"),
        CALCAR_STATE=str(tmp_path),
        **SERVED,
    )
    assert done.returncode == 0, done.stdout


def test_ready_to_be_served_by_tls(tmp_path: Path) -> None:
    done = run(
        sys.executable,
        *("manage.py", "check", "--deploy", "--fail-level", "WARNING"),
        CALCAR_STATE=str(tmp_path),
        CALCAR_TLS="1",
        **SERVED,
    )
    assert done.returncode == 0, done.stdout
    assert "0 silenced" in done.stdout


def test_the_checks_would_notice(tmp_path: Path) -> None:
    done = run(
        sys.executable,
        *("manage.py", "check", "--deploy", "--fail-level", "WARNING"),
        CALCAR_STATE=str(tmp_path),
        CALCAR_TLS="0",
        **SERVED,
    )
    assert "SESSION_COOKIE_SECURE" in done.stdout
    assert done.returncode != 0


@pytest.mark.parametrize("script", ["run", "check", ".ci/run", "manage.py"])
def test_scripts_can_be_started(script: str) -> None:
    assert os.access(ROOT / script, os.X_OK)
