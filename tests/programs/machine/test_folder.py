"""The state folder: held by servers, kept to its owner."""

import stat
from pathlib import Path
from typing import Any

import pytest

from programs.machine.folder import alone, for_owner_only, in_use, tidy_rights
from programs.machine.refusals import NotPossible


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path) -> Path:
    settings.STATE_DIR = tmp_path
    return tmp_path


def test_two_servers_at_once() -> None:
    with in_use(), in_use():
        pass


def test_o01_none_is_alone_while_one_of_two_servers_is_left() -> None:
    """O01: a file was put in under open connections."""
    with in_use():
        with in_use():
            pass
        with pytest.raises(NotPossible, match="Stop it first"), alone():
            pass
    with alone():
        pass


def test_no_server_starts_during_a_restore() -> None:
    with alone(), pytest.raises(NotPossible, match="A restore is going on"), in_use():
        pass
    with in_use():
        pass


def test_rights_of_a_folder_that_was_there_before(state: Path) -> None:
    state.chmod(0o755)
    database, key = state / "calcar.sqlite3", state / "secret_key"
    for file, rights in ((database, 0o644), (key, 0o600)):
        file.write_text("")
        file.chmod(rights)
    said = tidy_rights()
    assert [line.split(" could")[0] for line in said] == [str(state), str(database)]
    assert "(755); it is now 700" in said[0]
    assert [stat.S_IMODE(path.stat().st_mode) for path in (state, database, key)] == [
        0o700,
        0o600,
        0o600,
    ]
    assert tidy_rights() == []


def test_new_files_are_their_owners(state: Path) -> None:
    with for_owner_only():
        (state / "one").write_text("")
    assert stat.S_IMODE((state / "one").stat().st_mode) == 0o600
