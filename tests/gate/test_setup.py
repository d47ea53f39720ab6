"""The set-up scripts, on machines that lack something."""

import ast
import socket
import sys
from pathlib import Path

import pytest

import _setup
from tests.gate.project import ROOT, run


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that set-up would have run; none is."""
    commands: list[list[str]] = []
    monkeypatch.setattr(_setup, "_quiet", lambda command, env=None: commands.append(command))
    return commands


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with locks and no environment."""
    for name in ("requirements.txt", "requirements-dev.txt"):
        (tmp_path / name).write_text(f"pins of {name}")
    venv = tmp_path / ".venv"
    python = venv / "bin" / "python"
    monkeypatch.setattr(_setup, "RUN_LOCK", tmp_path / "requirements.txt")
    monkeypatch.setattr(_setup, "CHECK_LOCK", tmp_path / "requirements-dev.txt")
    monkeypatch.setattr(_setup, "VENV", venv)
    monkeypatch.setattr(_setup, "PYTHON", python)
    monkeypatch.setattr(_setup, "PIP", [str(python), "-m", "pip"])
    monkeypatch.setattr(_setup, "INSTALLED", venv / "installed-locks")
    monkeypatch.setattr(_setup, "_venv_has_pip", _setup._venv_works)  # Debian's own has none
    monkeypatch.setattr(_setup.shutil, "which", lambda name: None)
    return tmp_path


def make_venv_work(bare: Path) -> None:
    (bare / ".venv" / "bin").mkdir(parents=True, exist_ok=True)
    (bare / ".venv" / "bin" / "python").symlink_to(sys.executable)


def test_without_the_right_it_names_the_one_command(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_setup.shutil, "which", lambda name: "/usr/bin/" + name)
    monkeypatch.setattr(_setup.os, "geteuid", lambda: 1000)
    with pytest.raises(_setup.Stop, match=r"sudo apt-get update && .* libpango-1\.0-0 chromium"):
        _setup.install_system_packages(["libpango-1.0-0", "chromium"])


def test_as_root_it_installs_itself(
    monkeypatch: pytest.MonkeyPatch, typed: list[list[str]]
) -> None:
    monkeypatch.setattr(_setup.shutil, "which", lambda name: "/usr/bin/" + name)
    monkeypatch.setattr(_setup.os, "geteuid", lambda: 0)
    _setup.install_system_packages(["libpango-1.0-0"])
    assert [command[-1] for command in typed] == ["update", "libpango-1.0-0"]


def test_elsewhere_than_debian_it_names_the_libraries(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_setup.shutil, "which", lambda name: None)
    with pytest.raises(_setup.Stop, match=r"libpango-1\.0-0"):
        _setup.install_system_packages(["libpango-1.0-0"])


def test_with_nothing_missing_nothing_is_run(typed: list[list[str]]) -> None:
    _setup.install_system_packages([])
    assert typed == []


def test_a_library_that_loads_is_not_missing() -> None:
    here = {"libc6": ("libc.so.6", "c"), "libnowhere": ("libnowhere.so.9", "nowhere")}
    assert _setup.missing_libraries(here) == ["libnowhere"]


def test_first_set_up_makes_the_environment_and_checks_hashes(
    bare: Path, typed: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = []
    monkeypatch.setattr(_setup, "_make_venv", lambda uv: made.append(make_venv_work(bare)))
    _setup.install_locked(bare / "requirements.txt")
    assert made
    assert "--require-hashes" in typed[-1]
    assert typed[-1][-1] == str(bare / "requirements.txt")


def test_second_set_up_runs_nothing(bare: Path, typed: list[list[str]]) -> None:
    make_venv_work(bare)
    _setup.install_locked(bare / "requirements.txt")
    typed.clear()
    _setup.install_locked(bare / "requirements.txt")
    assert typed == []


def test_a_changed_lock_is_installed(bare: Path, typed: list[list[str]]) -> None:
    make_venv_work(bare)
    _setup.install_locked(bare / "requirements.txt")
    typed.clear()
    (bare / "requirements.txt").write_text("other pins")
    _setup.install_locked(bare / "requirements.txt")
    assert len(typed) == 1


def test_the_tests_environment_can_serve(bare: Path, typed: list[list[str]]) -> None:
    make_venv_work(bare)
    _setup.install_locked(bare / "requirements-dev.txt")
    typed.clear()
    _setup.install_locked(bare / "requirements.txt")
    assert typed == []


def test_a_stopped_install_is_done_again(
    bare: Path, typed: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    make_venv_work(bare)

    def fail(command: list[str], env: object = None) -> None:
        raise _setup.Stop("no room on the disk")

    with monkeypatch.context() as broken:
        broken.setattr(_setup, "_quiet", fail)
        with pytest.raises(_setup.Stop):
            _setup.install_locked(bare / "requirements.txt")
    _setup.install_locked(bare / "requirements.txt")
    assert len(typed) == 1


def test_a_half_made_environment_is_thrown_away(bare: Path, typed: list[list[str]]) -> None:
    (bare / ".venv" / "bin").mkdir(parents=True)
    (bare / ".venv" / "bin" / "python").symlink_to(bare / "gone")
    (bare / ".venv" / "left-over").write_text("")
    with pytest.raises(OSError, match="installed-locks"):  # nothing made a new one here
        _setup.install_locked(bare / "requirements.txt")
    assert not (bare / ".venv").exists()
    assert typed[0][1:3] == ["-m", "venv"]


@pytest.mark.parametrize(
    ("error", "said"),
    [(_setup.Stop("type this"), "type this"), (OSError("disk full"), "disk full")],
)
def test_what_stops_it_is_a_sentence(
    error: Exception, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    def work() -> int:
        raise error

    assert _setup.guarded(work) == 1
    assert said in capsys.readouterr().err


def test_an_old_python_is_told_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(_setup.sys, "version_info", (3, 10, 12))
    assert _setup.guarded(lambda: 0) == 1
    assert "needs Python 3.11" in capsys.readouterr().err


@pytest.mark.parametrize("script", ["run", "check", "_setup.py"])
def test_an_old_python_can_read_far_enough_to_say_so(script: str) -> None:
    ast.parse((ROOT / script).read_text(), feature_version=(3, 9))


def test_a_busy_port_is_told_plainly() -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with pytest.raises(_setup.Stop, match=f"Port {port} is in use"):
            _setup.refuse_busy_port(port)
    _setup.refuse_busy_port(port)


def test_a_failing_command_shows_what_it_said() -> None:
    with pytest.raises(_setup.Stop, match="out of luck"):
        _setup._quiet([sys.executable, "-c", "raise SystemExit('out of luck')"])


def test_ci_runs_the_check() -> None:
    done = run(".ci/run", "--help")
    assert done.returncode == 0
    assert "./check" in done.stdout


def test_set_up_needs_only_the_standard_library() -> None:
    for script in ("run", "check", "_setup.py"):
        for node in ast.walk(ast.parse((ROOT / script).read_text())):
            names = [a.name for a in node.names] if isinstance(node, ast.Import) else []
            names += [str(node.module)] if isinstance(node, ast.ImportFrom) else []
            tops = {name.partition(".")[0] for name in names}
            assert tops <= sys.stdlib_module_names | {"_setup"}
