"""The set-up scripts, on machines that lack something."""

import ast
import socket
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import ModuleType

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


@pytest.mark.parametrize(("user", "told"), [(0, True), (1000, False)])
def test_root_is_told_a_word(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], user: int, told: bool
) -> None:
    monkeypatch.setattr(_setup.os, "geteuid", lambda: user)
    _setup.tell_root()
    assert ("You are root" in capsys.readouterr().out) == told


def test_a_failing_command_shows_what_it_said() -> None:
    with pytest.raises(_setup.Stop, match="out of luck"):
        _setup._quiet([sys.executable, "-c", "raise SystemExit('out of luck')"])


# --- What the check runs, and where -----------------------------------------------------------


class Check:
    """The script, with each of its runs noted instead: its arguments and its database."""

    def __init__(self, script: ModuleType) -> None:
        self.script = script
        self.runs: list[tuple[list[str], bool]] = []
        self.ends = {True: 0, False: 0}

    def run_pytest(self, arguments: list[str], environment: dict[str, str]) -> int:
        on_postgres = "the run's own" in environment.get("DATABASE_URL", "")
        self.runs.append((arguments, on_postgres))
        return self.ends[on_postgres]

    def start(self, monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
        monkeypatch.setattr(sys, "argv", ["check", *arguments])
        return _setup.guarded(self.script.main)


def script_of(name: str, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Return one of the scripts as a module."""
    spec = spec_from_loader(name, SourceFileLoader(name, str(ROOT / name)))
    assert spec is not None
    assert spec.loader is not None
    script = module_from_spec(spec)
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    spec.loader.exec_module(script)
    return script


@pytest.fixture
def check(monkeypatch: pytest.MonkeyPatch) -> Check:
    script = script_of("check", monkeypatch)
    noted = Check(script)

    @contextmanager
    def own_server(folder: Path) -> Iterator[str]:
        yield "postgresql://the run's own"

    monkeypatch.setattr(script, "run_pytest", noted.run_pytest)
    monkeypatch.setattr(_setup, "prepare", lambda *, for_tests: None)
    monkeypatch.setattr(_setup, "throw_away_postgres", own_server)
    return noted


def test_a_plain_check_begins_on_postgresql_and_says_so(
    check: Check, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert check.start(monkeypatch) == 0
    (some, first), (all_of_it, second) = check.runs
    assert (first, second) == (True, False)
    assert some[some.index("-m") + 1] == "database"
    read = {"tests/patients/test_audit.py", "tests/programs/models/test_refused.py"}
    assert read <= {*some}
    assert "tests/programs/dose/test_plate.py" not in some
    assert "-m" not in all_of_it
    assert "PostgreSQL" in capsys.readouterr().out


@pytest.mark.parametrize("on_postgres", [True, False])
def test_a_plain_check_fails_where_either_fails(
    check: Check, monkeypatch: pytest.MonkeyPatch, on_postgres: bool
) -> None:
    check.ends[on_postgres] = 1
    assert check.start(monkeypatch) == 1
    assert len(check.runs) == 2


def test_a_plain_check_fails_where_postgresql_cannot_start(
    check: Check, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def no_server(folder: Path) -> None:
        raise _setup.Stop("no such server")

    monkeypatch.setattr(_setup, "throw_away_postgres", no_server)
    assert check.start(monkeypatch) == 1
    assert check.runs == []
    assert "no such server" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("typed", "on_postgres"),
    [
        (["--quick"], False),
        (["tests/safety", "-x"], False),
        (["--postgres"], True),
        (["--postgres", "tests/safety"], True),
    ],
)
def test_anything_more_than_a_plain_check_is_one_run(
    check: Check, monkeypatch: pytest.MonkeyPatch, typed: list[str], on_postgres: bool
) -> None:
    assert check.start(monkeypatch, *typed) == 0
    ((arguments, where),) = check.runs
    assert where == on_postgres
    assert "database" not in arguments


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


class Terminal:
    """What a script reads from or writes to: somebody's terminal, or a file."""

    def __init__(self, *, there: bool) -> None:
        self.isatty = lambda: there


@pytest.mark.parametrize(
    ("display", "terminal", "opens"),
    [
        ({"DISPLAY": ":0"}, True, True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, True, True),
        ({}, True, False),
        ({"DISPLAY": ""}, True, False),
        ({"DISPLAY": ":0"}, False, False),
    ],
)
def test_a_browser_is_opened_only_for_somebody_who_sits_there(
    monkeypatch: pytest.MonkeyPatch, display: dict[str, str], terminal: bool, opens: bool
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    for name, value in display.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(_setup.sys, "platform", "linux")
    for stream in ("stdin", "stdout"):
        monkeypatch.setattr(_setup.sys, stream, Terminal(there=terminal))
    assert _setup.may_open_browser() is opens


@pytest.mark.parametrize(
    ("typed_in", "may", "more"),
    [([], True, ["--open"]), ([], False, []), (["--no-browser"], True, [])],
)
def test_run_opens_a_browser_unless_told_not_to(
    monkeypatch: pytest.MonkeyPatch, typed_in: list[str], may: bool, more: list[str]
) -> None:
    script = script_of("run", monkeypatch)
    served: list[list[str]] = []
    monkeypatch.setattr(sys, "argv", ["run", *typed_in])
    for name in ("tell_root", "prepare"):
        monkeypatch.setattr(_setup, name, lambda: None)
    monkeypatch.setattr(_setup, "refuse_busy_port", lambda port: None)
    monkeypatch.setattr(_setup, "manage", lambda *command: None)
    monkeypatch.setattr(_setup, "may_open_browser", lambda: may)
    monkeypatch.setattr(script.os, "chdir", lambda where: None)
    monkeypatch.setattr(script.os, "execv", lambda python, command: served.append(command))
    script.main()
    assert served == [[str(_setup.PYTHON), "manage.py", "serve", "--port", "8765", *more]]
