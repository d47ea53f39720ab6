"""What the gate reads of the project: its files, and which modules are computation."""

import os
import subprocess
import tomllib
from fnmatch import fnmatch
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
APPS = ("patients", "safety", "programs")


def settings_of_tools() -> dict[str, Any]:
    """Return pyproject.toml's table of tools."""
    tools: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]
    return tools


def files(*endings: str) -> list[Path]:
    """Return the project's files, those not yet committed included, ignored ones left out."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split("\0")
    found = [Path(name) for name in sorted(set(listed)) if name.endswith(endings or ("",)) and name]
    return [path for path in found if (ROOT / path).exists()]


def python_of_apps() -> list[Path]:
    """Return the apps' own Python files."""
    return [path for path in files(".py") if path.parts[0] in APPS]


def computation() -> list[Path]:
    """Return the files that compute: neither actions nor named as the framework's.

    The framework's are those that pyproject.toml leaves out of coverage.
    """
    patterns = [*settings_of_tools()["coverage"]["run"]["omit"], "*/actions.py", "*/actions/*"]
    return [
        path
        for path in python_of_apps()
        if not any(fnmatch(str(path), pattern) for pattern in patterns)
    ]


def module(path: Path) -> str:
    """Return the dotted name of a file."""
    return ".".join(path.with_suffix("").parts).removesuffix(".__init__")


def run(*command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run a command at the project's root; its two outputs come as one."""
    # Meant for this process and its browser only.
    inherited = {key: os.environ[key] for key in os.environ if key != "DJANGO_ALLOW_ASYNC_UNSAFE"}
    return subprocess.run(
        command,
        cwd=ROOT,
        env=inherited | environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
