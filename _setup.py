"""What ./run and ./check need before Django can start: packages, libraries, a browser.

Standard library only, since nothing else is there yet. Everything already in place is left alone,
so a second start takes seconds. A problem the reader can solve ends in a `Stop`, whose text says
what to type.
"""

from __future__ import annotations

import contextlib
import ctypes
import ctypes.util
import hashlib
import importlib.util
import os
import platform
import pwd
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

OLDEST_PYTHON = (3, 11)
ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
PIP = [str(PYTHON), "-m", "pip"]
INSTALLED = VENV / "installed-locks"
RUN_LOCK = ROOT / "requirements.txt"
CHECK_LOCK = ROOT / "requirements-dev.txt"
#: Real density scans to check the arithmetic on, unpacked from this Debian package, which is
#: not installed: it would bring the whole of R.
OPEN_DATA = VENV / "open-data"
DATA_PACKAGE = "r-cran-lava"
DATA_FILE = "calcium.rda"

#: Debian's package -> the library file it brings and its plain name elsewhere.
PDF_LIBRARIES = {
    "libpango-1.0-0": ("libpango-1.0.so.0", "pango-1.0"),
    "libpangoft2-1.0-0": ("libpangoft2-1.0.so.0", "pangoft2-1.0"),
    "libharfbuzz-subset0": ("libharfbuzz-subset.so.0", "harfbuzz-subset"),
}
BROWSER_LIBRARIES = {"libatomic1": ("libatomic.so.1", "atomic")}


class Stop(Exception):
    """Set-up cannot go on; the text tells the reader why and what to do."""


def guarded(work: Callable[[], int]) -> int:
    """Do the work; turn what stops it into a sentence and exit code 1, never a stack trace."""
    try:
        if sys.version_info < OLDEST_PYTHON:
            raise Stop(f"Calcar needs Python 3.11 or later; this is {sys.version.split()[0]}.")
        return work()
    except Stop as stop:
        print(stop, file=sys.stderr)
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
    except OSError as error:
        print(f"Set-up stopped: {error}", file=sys.stderr)
    return 1


def prepare(*, for_tests: bool = False) -> None:
    """Bring the machine to where the app, or its tests, can start."""
    packages = missing_libraries(PDF_LIBRARIES)
    if not (_has_ensurepip() or shutil.which("uv") or _venv_has_pip()):
        packages.append(f"python3.{sys.version_info.minor}-venv")
    if for_tests:
        packages += missing_libraries(BROWSER_LIBRARIES)
        packages += _browser_packages()
        packages += ["postgresql"] if not postgres_programs() else []
    install_system_packages(packages)
    install_locked(CHECK_LOCK if for_tests else RUN_LOCK)
    if for_tests and not browser():
        say("Fetching a browser for the tests")
        with_libraries = ["--with-deps"] if os.geteuid() == 0 else []
        _quiet([str(PYTHON), "-m", "playwright", "install", *with_libraries, "chromium"])
    if for_tests:
        fetch_open_data()


def say(text: str) -> None:
    """Tell the reader what is going on, at once."""
    print(text, flush=True)


def may_open_browser() -> bool:
    """Tell whether somebody sits here who would see a browser: a terminal, and a display.

    Never where a program started it: a test, a service, a connection without a display.
    """
    shows = sys.platform in ("darwin", "win32") or any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY")
    )
    return shows and sys.stdin.isatty() and sys.stdout.isatty()


# --- system packages ------------------------------------------------------------------------


def missing_libraries(wanted: dict[str, tuple[str, str]]) -> list[str]:
    """Return the Debian packages whose library cannot be loaded here."""
    return [package for package, names in wanted.items() if not _loadable(*names)]


def _loadable(file_name: str, plain_name: str) -> bool:
    try:
        ctypes.CDLL(file_name)
    except OSError:
        return ctypes.util.find_library(plain_name) is not None
    return True


def _has_ensurepip() -> bool:
    return importlib.util.find_spec("ensurepip") is not None


def install_system_packages(packages: list[str]) -> None:
    """Install Debian packages when allowed to; otherwise say what to type, and stop."""
    if not packages:
        return
    names = " ".join(packages)
    if not shutil.which("apt-get"):
        raise Stop(
            f"Some system libraries are missing. Debian calls them: {names}\n"
            "Install them with this machine's package manager, then start again."
        )
    if os.geteuid() != 0:
        raise Stop(
            "Some system packages are missing. Type this once, then start again:\n\n"
            f"    sudo apt-get update && sudo apt-get install -y --no-install-recommends {names}\n"
        )
    say(f"Installing system packages: {names}")
    apt = ["apt-get", "-qq", "-o", "DPkg::Lock::Timeout=120"]
    quiet = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
    _quiet([*apt, "update"], env=quiet)
    _quiet([*apt, "install", "-y", "--no-install-recommends", *packages], env=quiet)


def _quiet(command: list[str], env: dict[str, str] | None = None, folder: Path = ROOT) -> None:
    done = subprocess.run(
        command, cwd=folder, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    if done.returncode:
        raise Stop(f"{done.stdout}\nThis did not work: {' '.join(command)}")


# --- open data of the tests -------------------------------------------------------------------


def open_data() -> Path | None:
    """Return the file of density scans that tests compare with, or None."""
    return next(OPEN_DATA.rglob(DATA_FILE), None)


def fetch_open_data() -> None:
    """Unpack the open density scans; where that cannot be, say so, and their test will fail."""
    if open_data():
        return
    if not (shutil.which("apt-get") and shutil.which("dpkg-deb")):
        say(f"Open density data not fetched: no apt-get here for {DATA_PACKAGE}.")
        return
    say("Fetching open density data")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        try:
            _download(folder)
            for package in folder.glob("*.deb"):
                _quiet(["dpkg-deb", "-x", str(package), str(OPEN_DATA)])
        except Stop as stop:
            say(f"{stop}\nOpen density data not fetched; the test that reads it will fail.")


def _download(folder: Path) -> None:
    command = ["apt-get", "-qq", "download", DATA_PACKAGE]
    try:
        _quiet(command, folder=folder)
    except Stop:
        # A fresh machine has no lists of packages yet; only root may get them.
        if os.geteuid() != 0:
            raise
        _quiet(["apt-get", "-qq", "update"])
        _quiet(command, folder=folder)


# --- Python packages ------------------------------------------------------------------------


def install_locked(lock: Path) -> None:
    """Make .venv hold exactly what the lock names, checked by hash; skip it when it does."""
    if _digest(lock) in _installed_locks() and _venv_works():
        return
    uv = shutil.which("uv")
    if not _venv_works() or not (uv or _venv_has_pip()):
        _make_venv(uv)
    say(f"Installing Python packages from {lock.name}")
    # The lock is complete. Resolving anew could also ask for a version newer than its hashes,
    # as older pips do for a package that another one names with an extra.
    strict = ["--require-hashes", "--no-deps", "--only-binary", ":all:", "-r", str(lock)]
    if uv:
        _quiet([uv, "pip", "install", "--python", str(PYTHON), "--compile-bytecode", *strict])
    else:
        _quiet([*PIP, "install", "--disable-pip-version-check", "--no-input", *strict])
    # The test lock holds every pin of the other one.
    locks = [RUN_LOCK, CHECK_LOCK] if lock == CHECK_LOCK else [lock]
    INSTALLED.write_text("\n".join(map(_digest, locks)), encoding="ascii")


def _make_venv(uv: str | None) -> None:
    # A half-made one is what a missing ensurepip or a stopped set-up leaves behind.
    if VENV.exists():
        shutil.rmtree(VENV)
    say("Making .venv")
    if uv:
        _quiet([uv, "venv", "--python", sys.executable, str(VENV)])
    else:
        _quiet([sys.executable, "-m", "venv", str(VENV)])


def _installed_locks() -> list[str]:
    return INSTALLED.read_text(encoding="ascii").split() if INSTALLED.exists() else []


def _digest(lock: Path) -> str:
    return hashlib.sha256(lock.read_bytes()).hexdigest()


def _venv_works() -> bool:
    return _succeeds([str(PYTHON), "-c", "import sys; sys.exit(sys.version_info < (3, 11))"])


def _venv_has_pip() -> bool:
    return _succeeds([*PIP, "--version"])


def _succeeds(command: list[str]) -> bool:
    try:
        return subprocess.run(command, capture_output=True).returncode == 0
    except OSError:
        return False


# --- the browser of the tests ---------------------------------------------------------------


#: Chromium without its windows: it starts, and loads a page, in less than half the time.
HEADLESS = "chromium-headless-shell"
#: The first release of Debian that has it.
HEADLESS_SINCE = 12


def browser() -> str | None:
    """Return the path of a browser the tests can drive, or None."""
    if os.environ.get("CHROMIUM"):
        return os.environ["CHROMIUM"]
    if not _chromium_is_a_stub():
        found = (shutil.which(name) for name in (HEADLESS, "chromium", "google-chrome"))
        return next(filter(None, found), None)
    return _fetched_browser()


def _browser_packages() -> list[str]:
    """Return what to install for a browser of the tests; one that is there does, but is slower."""
    there, release = browser(), _os_release()
    if there and (HEADLESS in there or os.environ.get("CHROMIUM") or os.geteuid() != 0):
        return []
    since = release.get("VERSION_ID", "")
    if release.get("ID") == "debian" and since.isdecimal() and int(since) >= HEADLESS_SINCE:
        return [HEADLESS]
    return [] if there or _chromium_is_a_stub() else ["chromium"]


def _chromium_is_a_stub() -> bool:
    # Ubuntu's package only points to a snap, which no test can drive.
    return _os_release().get("ID") == "ubuntu"


def _os_release() -> dict[str, str]:
    try:
        return platform.freedesktop_os_release()
    except OSError:
        return {}


def _fetched_browser() -> str | None:
    where = os.environ.get("PLAYWRIGHT_BROWSERS_PATH") or Path.home() / ".cache/ms-playwright"
    found = sorted(Path(where).glob("chromium-*/chrome-linux*/chrome"))
    return str(found[-1]) if found else None


# --- a PostgreSQL to throw away -------------------------------------------------------------


def postgres_programs() -> Path | None:
    """Return the folder of initdb and pg_ctl, or None. Debian keeps them off the PATH."""
    if on_path := shutil.which("initdb"):
        return Path(on_path).parent
    found = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    newest = max(found, key=lambda path: float(path.parts[-3]), default=None)
    return newest.parent if newest else None


@contextlib.contextmanager
def throw_away_postgres(folder: Path) -> Iterator[str]:
    """Run a server inside the folder, reached by a socket there only; give its address."""
    programs = postgres_programs()
    if not programs:
        raise Stop("PostgreSQL is not installed: its initdb was not found.")
    # The server refuses to run as root.
    other = _nobody() if os.geteuid() == 0 else {}
    data = folder / "data"
    options = f"-c listen_addresses='' -c unix_socket_directories='{folder}' -c fsync=off"

    def call(program: str, *arguments: str) -> None:
        done = subprocess.run(
            [str(programs / program), "-D", str(data), *arguments],
            cwd=folder,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            **other,
        )
        if done.returncode:
            raise Stop(f"{done.stderr}\nThe test database did not start ({program}).")

    call("initdb", "-A", "trust", "-U", "calcar", "-E", "UTF8", "--locale=C", "--no-sync")
    call("pg_ctl", "-w", "-o", options, "-l", str(folder / "log"), "start")
    try:
        yield f"postgresql://calcar@{str(folder).replace('/', '%2F')}/calcar"
    finally:
        call("pg_ctl", "-m", "immediate", "stop")


def _nobody() -> dict[str, Any]:
    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def is_decided_by_database(tests: Path) -> bool:
    """Tell whether the outcome of some tests of a file can hang on the kind of database.

    Whatever keeps rows in a folder of models; elsewhere a test says so itself: where locks,
    constraints, triggers, the order of rows or SQL of our own decide how it comes out.
    """
    in_folder = "models" in tests.relative_to(ROOT).parts
    return in_folder or "mark.database" in tests.read_text(encoding="utf-8")


def files_for_the_database() -> list[str]:
    """Return the files with such tests."""
    files = sorted((ROOT / "tests").rglob("test_*.py"))
    return [str(file.relative_to(ROOT)) for file in files if is_decided_by_database(file)]


# --- serving --------------------------------------------------------------------------------


def tell_root() -> None:
    """Say a word to whoever starts it with rights that it does not need."""
    if os.geteuid() == 0:
        say(
            "You are root. Calcar needs no such rights: a user of its own, who owns this folder, "
            "is safer."
        )


def refuse_busy_port(port: int) -> None:
    """Stop when another program already answers on the port."""
    with socket.socket() as probe:
        if probe.connect_ex(("127.0.0.1", port)) == 0:
            raise Stop(
                f"Port {port} is in use, perhaps by Calcar itself: http://127.0.0.1:{port}/\n"
                f"To use another one: ./run --port {port + 1}"
            )


def manage(*arguments: str) -> None:
    """Run one of the app's own commands; stop when it fails (it has said why)."""
    done = subprocess.run([str(PYTHON), "manage.py", *arguments], cwd=ROOT)
    if done.returncode:
        raise Stop(f"This did not work: manage.py {' '.join(arguments)}")
