"""Backing up while others write: row D15 of the complaints."""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing, contextmanager
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.db import connection, connections
from django.utils.connection import ConnectionDoesNotExist

from patients.append_only import CHANGE, DELETION, drop_triggers, make_triggers
from patients.models.patient import Audit
from programs.actions.record_check import look_over
from programs.machine import copies, encrypted
from programs.machine.connections import COPY
from programs.machine.copies import kind
from programs.machine.encrypted import is_encrypted
from programs.machine.key import fingerprint
from programs.models.database_copies import MADE, DatabaseCopy
from tests.programs.actions.test_many_at_once import add
from tests.programs.machine.restores import somebody_writes

COPIES = 5
KEPT = ("seq", "hash", "prev_hash", "object_id")
PHRASE = "seven quiet herons at dawn"

pytestmark = [pytest.mark.long, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    settings.STATE_DIR = tmp_path / "state"
    settings.STATE_DIR.mkdir()
    monkeypatch.setitem(encrypted._SCRYPT, "n", 2**4)
    return Path(settings.STATE_DIR)


def back_up(*arguments: str | Path) -> str:
    said = StringIO()
    call_command("back_up", *map(str, arguments), stdout=said)
    return said.getvalue()


def lines_of(copy: Path) -> list[tuple[object, ...]]:
    """Return the record of a copy, as a restored database would hold it."""
    with kind().readable(copy) as alias:
        return [*Audit.objects.using(alias).order_by("seq").values_list(*KEPT)]


@pytest.mark.database
def test_d15_copies_made_while_others_write_are_whole(clinician: User, tmp_path: Path) -> None:
    """D15: a copy of a live database was corrupt or old, and was reported fine."""
    add(0, clinician)
    made = [tmp_path / f"{n}" for n in range(COPIES)]
    with somebody_writes(clinician):
        said = [back_up(copy) for copy in made]
    live = list(Audit.objects.order_by("seq").values_list(*KEPT))
    lengths = [len(lines_of(copy)) for copy in made]
    for copy, length, told in zip(made, lengths, said, strict=True):
        assert lines_of(copy) == live[:length]
        assert f"whole, {length} lines" in told
        assert str(live[length - 1][1]) in told
    assert lengths == sorted(lengths)
    assert lengths[0] >= 1


def test_only_its_owner_reads_a_copy_and_none_is_overwritten(tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    assert "whole, 0 lines" in back_up(copy)
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    with pytest.raises(CommandError, match="is there already"):
        back_up(copy)
    with pytest.raises(CommandError, match=r"could not be written|did not do it"):
        back_up(tmp_path / "no such folder" / "copy")


@pytest.mark.database
def test_o05_the_fingerprint_of_the_key_is_told_and_noted(tmp_path: Path) -> None:
    """O05: a backup without its key is worth little, and back_up did not mention it."""
    assert f"belongs to it: {fingerprint()}" in back_up(tmp_path / "copy")
    row = DatabaseCopy.objects.get()
    assert (row.what, row.file, row.key, row.encrypted) == (MADE, "copy", fingerprint(), False)


@pytest.mark.database
def test_a_copy_whose_record_does_not_hold_is_refused_by_its_row(
    clinician: User, tmp_path: Path
) -> None:
    for number in range(3):
        add(number, clinician)
    assert "whole, 3 lines" in back_up(tmp_path / "before")
    with _set_aside("patients_audit"):
        Audit.objects.filter(seq=2).update(reason="another")
    with pytest.raises(CommandError, match="Line 2 of the record: is not as it was written"):
        back_up(tmp_path / "after")
    assert (tmp_path / "after").exists()
    assert DatabaseCopy.objects.count() == 1
    with pytest.raises(ConnectionDoesNotExist):
        connections[COPY]


def test_it_is_the_copy_that_is_looked_over(
    clinician: User, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if connection.vendor != "sqlite":
        # There the copy is loaded into a database of its own to be looked over.
        assert "whole, 0 lines" in back_up(tmp_path / "copy")
        return
    add(0, clinician)
    write = kind().write_copy

    def changed(file: Path) -> None:
        write(file)
        with closing(sqlite3.connect(file)) as held:
            held.execute("DROP TRIGGER patients_audit_no_update")
            held.execute("UPDATE patients_audit SET action = 'another'")
            held.commit()

    monkeypatch.setattr(kind(), "write_copy", changed)
    with pytest.raises(CommandError, match="Line 1 of the record"):
        back_up(tmp_path / "copy")
    assert look_over().broken == ()


@pytest.mark.database
def test_o08_encrypted_if_wished(
    clinician: User, tmp_path: Path, state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """O08: the copy that travels was in clear text."""
    add(0, clinician)
    monkeypatch.setenv("CALCAR_PASS_PHRASE", PHRASE)
    copy = tmp_path / "copy"
    assert "whole, 1 lines" in back_up(copy, "--encrypt")
    assert is_encrypted(copy)
    assert b"Thornwick" not in copy.read_bytes()
    # Nothing in clear stays behind; the anchors tell of seals alone.
    assert [path.name for path in state.iterdir()] == ["record_anchors.txt"]


def test_the_pass_phrase_comes_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "phrase"
    for text, why in (("short", "15 characters"), ("", "is empty"), (None, "could not be read")):
        file.unlink(missing_ok=True)
        if text is not None:
            file.write_text(text)
        with pytest.raises(CommandError, match=why):
            back_up(tmp_path / "copy", "--encrypt", "--pass-phrase-file", file)
    file.write_text(PHRASE + "\n")
    back_up(tmp_path / "copy", "--encrypt", "--pass-phrase-file", file)
    encrypted.decrypt(tmp_path / "copy", tmp_path / "plain", phrase=PHRASE)


def test_without_anybody_to_ask_it_says_how_to_give_one(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="CALCAR_PASS_PHRASE"):
        back_up(tmp_path / "copy", "--encrypt")
    assert not (tmp_path / "copy").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["copy", "--folder", "place"],
        ["copy", "--keep", "3"],
        ["--folder", "place", "--keep", "0"],
        ["copy", "--pass-phrase-file", "phrase"],
    ],
)
def test_what_does_not_go_together(arguments: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(CommandError, match=r"Name a new file|is for --encrypt"):
        back_up(*arguments)


class TestFolder:
    """A folder of dated copies, as made each night."""

    @pytest.fixture
    def place(self, tmp_path: Path) -> Path:
        (tmp_path / "place").mkdir()
        return tmp_path / "place"

    def older(self, place: Path, day: int, lines: int) -> str:
        name = f"calcar-202601{day:02}-020000-{lines}-lines-key-{'a' * 16}.{kind().ENDING}"
        (place / name).write_text("older")
        return name

    def test_names_tell_day_lines_and_key(self, place: Path, clinician: User) -> None:
        add(1, clinician)
        back_up("--folder", place)
        (file,) = place.iterdir()
        assert copies.OWN.fullmatch(file.name)
        assert f"-1-lines-key-{fingerprint()}.{kind().ENDING}" in file.name
        assert DatabaseCopy.objects.get().file == file.name

    def test_only_its_own_older_copies_are_removed(self, place: Path) -> None:
        names = [self.older(place, day, 0) for day in (1, 2, 3)]
        others = ["calcar.sqlite3", "calcar-20260101-020000.sqlite3", f"my-{names[0]}"]
        for name in others:
            (place / name).write_text("")
        said = back_up("--folder", place, "--keep", "2")
        left = {path.name for path in place.iterdir()}
        assert {*others, names[2]} < left
        assert not {*names[:2]} & left
        assert len(left) == len(others) + 2
        assert f"Removed: {names[0]}\nRemoved: {names[1]}" in said

    def test_o07_nothing_is_removed_for_one_that_holds_less(self, place: Path) -> None:
        """O07: the newest copy, an empty one, took the place of the full ones."""
        full = [self.older(place, day, 500 + day) for day in (1, 2)]
        with pytest.raises(CommandError, match=r"holds less than .*-502-lines"):
            back_up("--folder", place, "--keep", "1")
        assert {*full} < {path.name for path in place.iterdir()}

    def test_encrypted(self, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("CALCAR_PASS_PHRASE", PHRASE)
        back_up("--folder", place, "--encrypt", "--keep", "3")
        (file,) = place.iterdir()
        assert file.name.endswith(".encrypted")
        assert copies.OWN.fullmatch(file.name)


def test_o09_on_a_full_disk_nothing_is_left_and_the_next_try_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """O09: a copy on a full disk left an empty file that blocked the next try."""

    def full(file: Path) -> None:
        file.write_bytes(b"")
        raise OSError(28, os.strerror(28))

    with monkeypatch.context() as broken:
        broken.setattr(kind(), "write_copy", full)
        for more in ([], ["--encrypt"]):
            broken.setenv("CALCAR_PASS_PHRASE", PHRASE)
            with pytest.raises(CommandError, match="No space left on device"):
                back_up(tmp_path / "copy", *more)
    assert [path.name for path in tmp_path.rglob("*")] == ["state"]
    back_up(tmp_path / "copy")


@contextmanager
def _set_aside(table: str) -> Iterator[None]:
    """Take a table's triggers away for a moment, as somebody who owns the file may."""
    editor = connection.schema_editor()
    drop_triggers(editor, (table,))
    try:
        yield
    finally:
        make_triggers(editor, (table,), (CHANGE, DELETION))
