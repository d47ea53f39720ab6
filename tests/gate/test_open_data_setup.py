"""Set-up brings the open data where it can, and says so where it cannot."""

from collections.abc import Callable
from pathlib import Path

import pytest

import _setup


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine with apt-get and no data yet."""
    monkeypatch.setattr(_setup, "OPEN_DATA", tmp_path / "open-data")
    monkeypatch.setattr(_setup.shutil, "which", lambda name: "/usr/bin/" + name)
    return tmp_path


def answering(
    monkeypatch: pytest.MonkeyPatch, answer: Callable[[list[str], Path], None]
) -> list[list[str]]:
    typed: list[list[str]] = []

    def quiet(
        command: list[str], env: dict[str, str] | None = None, folder: Path = _setup.ROOT
    ) -> None:
        typed.append(command)
        answer(command, folder)

    monkeypatch.setattr(_setup, "_quiet", quiet)
    return typed


def debian(command: list[str], folder: Path) -> None:
    """Do what the two programs would leave behind."""
    if "download" in command:
        (folder / "r-cran-lava_1_all.deb").write_text("")
    if "-x" in command:
        Path(command[-1]).mkdir()
        (Path(command[-1]) / _setup.DATA_FILE).write_text("")


def test_downloaded_and_unpacked_never_installed(
    bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed = answering(monkeypatch, debian)
    _setup.fetch_open_data()
    assert [command[0] for command in typed] == ["apt-get", "dpkg-deb"]
    assert _setup.open_data() == bare / "open-data" / _setup.DATA_FILE
    typed.clear()
    _setup.fetch_open_data()
    assert typed == []


@pytest.mark.parametrize(("user", "fetched"), [(0, True), (1000, False)])
def test_without_lists_of_packages_root_gets_them_first(
    bare: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    user: int,
    fetched: bool,
) -> None:
    updated: list[bool] = []

    def no_lists(command: list[str], folder: Path) -> None:
        if "update" in command:
            updated.append(True)
        if "download" in command and not updated:
            raise _setup.Stop("no such package")
        debian(command, folder)

    monkeypatch.setattr(_setup.os, "geteuid", lambda: user)
    answering(monkeypatch, no_lists)
    _setup.fetch_open_data()
    assert bool(_setup.open_data()) == fetched
    assert ("the test that reads it will fail" in capsys.readouterr().out) != fetched


def test_elsewhere_than_debian_it_says_so(
    bare: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(_setup.shutil, "which", lambda name: None)
    _setup.fetch_open_data()
    assert "not fetched: no apt-get" in capsys.readouterr().out
