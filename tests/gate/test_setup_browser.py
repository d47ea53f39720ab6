"""Which browser the tests want, by the system they run on."""

import pytest

import _setup

DEBIAN = {"ID": "debian", "VERSION_ID": "12"}


@pytest.mark.parametrize(
    ("there", "user", "wanted"),
    [
        (f"/usr/bin/{_setup.HEADLESS}", 0, []),
        ("/usr/bin/chromium", 0, [_setup.HEADLESS]),
        ("/usr/bin/chromium", 1000, []),
    ],
)
def test_a_slower_browser_does_where_nothing_may_be_installed(
    monkeypatch: pytest.MonkeyPatch, there: str, user: int, wanted: list[str]
) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(_setup, "_os_release", lambda: DEBIAN)
    monkeypatch.setattr(_setup, "browser", lambda: there)
    monkeypatch.setattr(_setup.os, "geteuid", lambda: user)
    assert _setup._browser_packages() == wanted


@pytest.mark.parametrize(
    ("system", "wanted"),
    [
        (DEBIAN, {_setup.HEADLESS}),
        ({"ID": "debian", "VERSION_ID": "11"}, {"chromium"}),
        ({"ID": "debian"}, {"chromium"}),
        ({"ID": "ubuntu", "VERSION_ID": "24.04"}, set()),
        ({}, {"chromium"}),
    ],
)
def test_the_tests_want_a_browser_and_postgresql(
    monkeypatch: pytest.MonkeyPatch, system: dict[str, str], wanted: set[str]
) -> None:
    asked: list[str] = []
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setattr(_setup.shutil, "which", lambda name: None)
    monkeypatch.setattr(_setup, "_venv_has_pip", lambda: True)
    monkeypatch.setattr(_setup, "install_system_packages", asked.extend)
    monkeypatch.setattr(_setup, "missing_libraries", lambda wanted: [])
    monkeypatch.setattr(_setup, "_os_release", lambda: system)
    monkeypatch.setattr(_setup, "postgres_programs", lambda: None)
    monkeypatch.setattr(_setup, "install_locked", lambda lock: None)
    monkeypatch.setattr(_setup, "browser", lambda: None)
    monkeypatch.setattr(_setup, "_quiet", lambda command: None)
    monkeypatch.setattr(_setup, "fetch_open_data", lambda: None)
    _setup.prepare(for_tests=True)
    assert {one for one in asked if one.startswith("chromium")} == wanted
    assert "postgresql" in asked
    asked.clear()
    _setup.prepare()
    assert "postgresql" not in asked
