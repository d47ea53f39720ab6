"""Files are there as a whole or not at all."""

import stat
from pathlib import Path

import pytest

from programs.machine.refusals import NotPossible
from programs.machine.writing_files import new_file, part_of


def test_it_is_there_as_a_whole_for_its_owner_only(tmp_path: Path) -> None:
    file = tmp_path / "copy"
    with new_file(file) as part:
        part.write_text("whole")
        assert not file.exists()
    assert file.read_text() == "whole"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert [*tmp_path.iterdir()] == [file]


def test_o09_what_failed_leaves_nothing_that_blocks_the_next_try(tmp_path: Path) -> None:
    """O09: an empty file was left on a full disk, and the next try refused to overwrite it."""
    file = tmp_path / "copy"
    with pytest.raises(OSError, match="No space"), new_file(file) as part:
        _half(part)
    assert [*tmp_path.iterdir()] == []
    with new_file(file) as part:
        part.write_text("whole")
    assert file.read_text() == "whole"


def test_what_a_killed_run_left_does_not_stand_in_the_way(tmp_path: Path) -> None:
    file = tmp_path / "copy"
    part_of(file).write_text("ha")
    with new_file(file) as part, part.open("x") as out:
        out.write("whole")
    assert file.read_text() == "whole"


@pytest.mark.parametrize("late", [False, True])
def test_nothing_is_overwritten(tmp_path: Path, late: bool) -> None:
    file = tmp_path / "copy"
    if not late:
        file.write_text("older")
    with pytest.raises(NotPossible, match="is there already"), new_file(file) as part:
        _both(part, file)
    assert file.read_text() == "older"
    assert [*tmp_path.iterdir()] == [file]


def _half(part: Path) -> None:
    part.write_text("ha")
    raise OSError("No space left on device")


def _both(part: Path, file: Path) -> None:
    part.write_text("newer")
    file.write_text("older")
