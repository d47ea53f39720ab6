"""What the tools say: lint, layout, types, the one-way flow, Django's own checks."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command

from patients.models.patient import Audit
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


@pytest.mark.slow
@pytest.mark.parametrize(
    "contract, path, upward",
    [
        ("one-way", "patients/names.py", "safety.words"),
        ("stages", "programs/dose/plate.py", "programs.draft.days"),
        ("rooms", "patients/facts/ages.py", "patients.measured.density"),
    ],
)
def test_an_import_upward_is_found(contract: str, path: str, upward: str, tmp_path: Path) -> None:
    for app in ("config", "patients", "safety", "programs"):
        shutil.copytree(ROOT / app, tmp_path / app, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    (tmp_path / path).write_text(f"{(ROOT / path).read_text()}\nimport {upward}\n")
    asked = ("--no-cache", "--contract", contract)
    done = subprocess.run(
        [str(BIN / "lint-imports"), *asked], cwd=tmp_path, capture_output=True, text=True
    )
    assert done.returncode == 1
    assert upward in done.stdout


@pytest.mark.django_db
def test_no_migration_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("makemigrations", check=True, dry_run=True)
    assert "No changes detected" in capsys.readouterr().out


@pytest.mark.django_db
def test_a_missing_migration_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Audit._meta.get_field("action"), "max_length", 1)
    with pytest.raises(SystemExit):
        call_command("makemigrations", check=True, dry_run=True, verbosity=0)


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
