"""The command that puts a copy back: what it says, what it asks, how it ends."""

from __future__ import annotations

from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from patients.models.patient import Patient
from programs.machine import encrypted, restoring
from programs.machine.copies import kind
from programs.management.commands import restore as command
from tests.programs.actions.test_many_at_once import add
from tests.programs.machine.restores import copy_of_now, throw_kept_away

pytestmark = [pytest.mark.long, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def copy(
    settings: Any, tmp_path: Path, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Path]:
    """A copy of one person; another one was added since."""
    settings.STATE_DIR = tmp_path / "state"
    settings.STATE_DIR.mkdir()
    monkeypatch.setitem(encrypted._SCRYPT, "n", 2**4)
    kept: list[str] = []
    put = kind().put_in_place
    monkeypatch.setattr(
        kind(), "put_in_place", lambda new, old: (kept.append(old), put(new, old))[-1]
    )
    add(1, clinician)
    copy_of_now(tmp_path / "copy")
    add(2, clinician)
    yield tmp_path / "copy"
    for name in kept:
        throw_kept_away(name)


def restored(*arguments: str | Path) -> str:
    said = StringIO()
    call_command("restore", *map(str, arguments), stdout=said)
    return said.getvalue()


@pytest.mark.database
def test_o06_it_ends_with_a_verdict_in_words(copy: Path) -> None:
    """O06: nobody knew whether the restore was done or had failed."""
    said = restored(copy, "--yes")
    assert "THE COPY HOLDS LESS" in said
    assert "GOOD. This is now the database. Lines of the record: 3. People: 1. Signed" in said
    assert "The database from before is kept as " in said
    assert Patient.objects.count() == 1


def test_trying_out(copy: Path) -> None:
    assert "is GOOD: a restore from it would hold. Lines of the record: 1." in restored(
        copy, "--rehearse"
    )
    assert Patient.objects.count() == 2


def test_a_file_that_is_not_there(copy: Path) -> None:
    with pytest.raises(CommandError, match="is not there"):
        restored(copy.with_name("none"))


def test_what_is_refused_says_that_nothing_was_restored(copy: Path) -> None:
    copy.write_bytes(b"nothing of the kind")
    with pytest.raises(CommandError, match="Nothing was restored"):
        restored(copy, "--yes")


@pytest.mark.parametrize(("typed", "people"), [("yes", 1), ("y", 2), ("", 2)])
def test_it_asks_first(
    copy: Path, monkeypatch: pytest.MonkeyPatch, typed: str, people: int
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("builtins.input", lambda question: typed)
    if people == 1:
        restored(copy)
    else:
        with pytest.raises(CommandError, match="Nothing was changed"):
            restored(copy)
    assert Patient.objects.count() == people


def test_with_nobody_to_ask_it_goes_no_further(copy: Path) -> None:
    with pytest.raises(CommandError, match="To go on without a question: --yes"):
        restored(copy)
    assert Patient.objects.count() == 2


def test_a_disk_that_does_not_keep_what_it_is_given(
    copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = restoring.rehearse(copy, phrase="", at=command.timezone.now())
    bad = restoring.Restored(held=held, kept="kept-name", damage="page 7 is damaged")
    monkeypatch.setattr(command, "restore", lambda *_, **__: bad)
    with pytest.raises(CommandError, match="NOT GOOD after the restore") as said:
        restored(copy, "--yes")
    assert "page 7" in str(said.value)
    assert "kept-name" in str(said.value)
