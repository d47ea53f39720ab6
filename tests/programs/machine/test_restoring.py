"""Putting a copy back: rows O01 to O09 of the complaints, on the database that the tests run on."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import connection, transaction
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from patients import audit, life
from patients.append_only import set_aside_for_an_erasure
from patients.models.patient import Audit, Patient
from programs.machine import encrypted, postgres, restoring
from programs.machine.connections import led_to, opened
from programs.machine.copies import kind
from programs.machine.refusals import NotPossible
from programs.machine.restoring import rehearse, restore
from programs.models.database_copies import MADE, PROVEN, RESTORED, DatabaseCopy
from tests.programs.actions.test_many_at_once import add
from tests.programs.machine.restores import (
    agree,
    copy_of_now,
    put_back,
    somebody_writes,
    throw_kept_away,
)

pytestmark = [pytest.mark.long, pytest.mark.django_db(transaction=True)]

PHRASE = "seven quiet herons at dawn"


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A state folder of its own; whatever a restore keeps is removed afterwards."""
    settings.STATE_DIR = tmp_path / "state"
    settings.STATE_DIR.mkdir()
    monkeypatch.setitem(encrypted._SCRYPT, "n", 2**4)
    kept: list[str] = []
    put = kind().put_in_place
    monkeypatch.setattr(
        kind(), "put_in_place", lambda new, old: (kept.append(old), put(new, old))[-1]
    )
    yield settings.STATE_DIR
    for name in kept:
        throw_kept_away(name)


@pytest.fixture
def copy(clinician: User, tmp_path: Path) -> Path:
    """A copy of a database of two people; a third was added since."""
    for number in (1, 2):
        add(number, clinician)
    file = tmp_path / "copy"
    copy_of_now(file)
    add(3, clinician)
    return file


def refused(file: Path, phrase: str = "") -> str:
    before = audit.head(), Patient.objects.count(), life.current()
    said = not_done(file, phrase)
    assert (audit.head(), Patient.objects.count(), life.current()) == before
    return said


def not_done(file: Path, phrase: str = "") -> str:
    with pytest.raises(NotPossible) as refusal:
        restore(file, phrase=phrase, at=timezone.now(), agreed=agree)
    return str(refusal.value)


@pytest.mark.database
def test_o01_refused_until_stopped_and_the_present_one_is_kept(copy: Path, clinician: User) -> None:
    """O01: a copy was put in under open connections, and taken silently."""
    with somebody_writes(clinician, iter(range(10, 10_000))):
        assert "Calcar is running" in not_done(copy)
    people = Patient.objects.count()
    assert people > 3
    done = put_back(copy)
    assert Patient.objects.count() == 2
    with opened(done.kept) as old:
        assert Patient.objects.using(old).count() == people
        assert audit.verify_chain(old) is None


@pytest.mark.database
def test_o01_refused_while_another_program_has_it_open(copy: Path) -> None:
    if connection.vendor == "sqlite":
        with closing(sqlite3.connect(connection.settings_dict["NAME"])) as other:
            other.execute("SELECT count(*) FROM patients_patient").fetchone()
            assert "Another program has the database open" in refused(copy)
    else:
        other = connection.copy()
        other.ensure_connection()
        try:
            assert "1 other connection(s)" in refused(copy)
        finally:
            other.close()
    put_back(copy)
    assert Patient.objects.count() == 2


@pytest.mark.counted
@pytest.mark.database
def test_o02_a_restore_begins_another_life(copy: Path) -> None:
    """O02: what was open before a restore was taken for something of the restored database."""
    before = life.current()
    put_back(copy)
    first = life.current()
    put_back(copy)
    assert len({before, first, life.current()}) == 3
    line = Audit.objects.get(action="restore database")
    assert line.reason == f"from {copy.name}"


@pytest.mark.database
def test_o03_a_copy_of_a_newer_release_is_refused(clinician: User, tmp_path: Path) -> None:
    """O03: an older program opened a newer database without a word."""
    recorder = MigrationRecorder(connection)
    recorder.record_applied("programs", "0999_of_next_year")
    try:
        file = tmp_path / "newer"
        copy_of_now(file)
    finally:
        recorder.record_unapplied("programs", "0999_of_next_year")
    said = refused(file)
    assert "newer release" in said
    assert "programs.0999_of_next_year" in said


def test_a_copy_of_an_older_release_is_brought_up_to_date(
    copy: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    monkeypatch.setattr(restoring, "missing", lambda: ["programs.0014_database_copies"])
    monkeypatch.setattr(restoring, "call_command", lambda name, **_: asked.append(name))
    put_back(copy)
    assert asked == ["migrate"]


@pytest.mark.database
def test_o05_a_copy_of_another_key_is_refused_and_names_it(
    clinician: User, tmp_path: Path, settings: Any
) -> None:
    """O05: a backup without its key is worth little, and nobody was told."""
    add(1, clinician)
    plain, sealed = tmp_path / "plain", tmp_path / "sealed"
    fingerprint = copy_of_now(plain).held.key
    copy_of_now(sealed, PHRASE)
    settings.SECRET_KEY = "another key, of another installation, just as long as the first one"
    for file, phrase in ((plain, ""), (sealed, PHRASE)):
        assert "sealed with another secret key" in (said := refused(file, phrase))
        assert (fingerprint in said) == bool(phrase)


@pytest.mark.database
def test_o06_a_good_copy_is_told_with_its_counts_and_seal(copy: Path) -> None:
    """O06: nobody knew whether the restore was done or had failed."""
    done = put_back(copy)
    assert (done.held.people, done.damage) == (2, "")
    assert (done.held.lines, done.held.seal) == audit.head()
    row = DatabaseCopy.objects.get(what=RESTORED)
    assert (row.file, row.people, row.lines) == (copy.name, 2, 2)


@pytest.mark.parametrize("size", [0, 60, 0.5, 0.9])
def test_o06_a_cut_copy_is_refused(copy: Path, size: float) -> None:
    data = copy.read_bytes()
    copy.write_bytes(data[: int(size * len(data)) if size < 1 else int(size)])
    assert refused(copy)


def test_a_damaged_copy_is_refused(copy: Path) -> None:
    data = bytearray(copy.read_bytes())
    for at in range(len(data) // 3, len(data), 4096):
        data[at : at + 400] = b"\xff" * 400
    copy.write_bytes(data)
    assert refused(copy)


def test_a_copy_with_a_changed_line_is_refused(clinician: User, tmp_path: Path) -> None:
    for number in range(3):
        add(number, clinician)
    file = tmp_path / "copy"
    with led_to(connection.settings_dict["NAME"]):
        held = Audit.objects.get(seq=2).action
        with refusals_set_aside():
            Audit.objects.filter(seq=2).update(action="another")
        assert copy_of_now(file).broken
        with refusals_set_aside():
            Audit.objects.filter(seq=2).update(action=held)
    assert "NOT GOOD" in (said := refused(file))
    assert "Line 2 of the record" in said


@contextmanager
def refusals_set_aside() -> Iterator[None]:
    """Let the record be changed, as who owns the file can; the next test finds it as it was."""
    with transaction.atomic(), set_aside_for_an_erasure(["patients_audit"]):
        yield


def told(file: Path) -> str:
    words: list[str] = []

    def no(what: str) -> bool:
        words.append(what)
        return False

    assert restore(file, phrase="", at=timezone.now(), agreed=no) is None
    return words[0]


def test_o07_a_copy_that_holds_less_says_so(copy: Path, tmp_path: Path, clinician: User) -> None:
    """O07: the newest copy, an empty one, replaced a full database."""
    words = told(copy)
    assert "2 lines of the record, among them 1 of a new person and 0 of a signed program" in words
    assert "THE COPY HOLDS LESS THAN THE PRESENT DATABASE: 2 lines against 4." in words
    assert Patient.objects.count() == 3


@pytest.mark.database
def test_what_would_be_lost_after_an_earlier_restore(copy: Path, clinician: User) -> None:
    put_back(copy)
    for number in (7, 8):
        add(number, clinician)
    assert "among them 2 of a new person" in told(copy)


def test_nothing_would_be_lost_of_an_emptied_database(copy: Path) -> None:
    with refusals_set_aside():
        Audit.objects.all().delete()
    assert "Nothing would be lost" in told(copy)


@pytest.mark.counted
@pytest.mark.database
def test_an_encrypted_copy_is_put_back(clinician: User, tmp_path: Path, state: Path) -> None:
    add(1, clinician)
    file = tmp_path / "sealed"
    copy_of_now(file, PHRASE)
    add(2, clinician)
    assert "pass phrase is not the one" in refused(file, "another pass phrase")
    put_back(file, PHRASE)
    assert Patient.objects.count() == 1
    # Of the restore stays the lock, and the anchors that begin with it; nothing in clear.
    assert {path.name for path in state.iterdir()} == {"in_use.lock", "record_anchors.txt"}


@pytest.mark.database
def test_trying_out_changes_nothing_and_is_noted(copy: Path) -> None:
    mark, people = life.current(), Patient.objects.count()
    held = rehearse(copy, phrase="", at=timezone.now())
    assert (life.current(), Patient.objects.count()) == (mark, people)
    assert DatabaseCopy.objects.latest("pk").what == PROVEN
    assert (held.people, held.lines) == (2, 2)
    copy.write_bytes(copy.read_bytes()[:5000])
    with pytest.raises(NotPossible):
        rehearse(copy, phrase="", at=timezone.now())
    assert DatabaseCopy.objects.filter(what=PROVEN).count() == 1


def test_what_fails_at_the_last_step_leaves_everything_as_it_was(
    copy: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(staged: str, kept: str) -> None:
        raise NotPossible("no")

    monkeypatch.setattr(kind(), "put_in_place", fails)
    assert refused(copy) == "no"
    if connection.vendor == "sqlite":
        here = Path(connection.settings_dict["NAME"])
        assert not [*here.parent.glob(f".{here.name}.restoring*")]


def test_a_damaged_present_database_is_kept_and_replaced(copy: Path) -> None:
    if connection.vendor != "sqlite":
        assert postgres.is_there()
        return
    here = Path(connection.settings_dict["NAME"])
    connection.close()
    here.write_bytes(b"not a database any more" * 100)
    done = put_back(copy)
    assert Patient.objects.count() == 2
    assert Path(done.kept).read_bytes().startswith(b"not a database")


def test_no_password_stands_on_a_command_line(monkeypatch: pytest.MonkeyPatch) -> None:
    called: list[tuple[list[str], dict[str, str]]] = []

    def run(command: list[str], *, env: dict[str, str], **_: object) -> Any:
        called.append((command, env))
        return type("Done", (), {"returncode": 0})

    given = {
        **connection.settings_dict,
        "NAME": "clinic",
        "USER": "calcar",
        "PASSWORD": "hush",
        "HOST": "db",
        "PORT": 5433,
        "OPTIONS": {"sslmode": "verify-full"},
    }
    monkeypatch.setattr(connection._connections["default"], "settings_dict", given)
    monkeypatch.setattr(postgres.subprocess, "run", run)
    monkeypatch.setattr(postgres.shutil, "which", lambda name: name)
    postgres.write_copy(Path("/nowhere/copy"))
    ((command, env),) = called
    assert "hush" not in " ".join(command)
    asked = {name: env[name] for name in env if name.startswith("PG")}
    assert asked.items() >= {
        ("PGPASSWORD", "hush"),
        ("PGHOST", "db"),
        ("PGPORT", "5433"),
        ("PGSSLMODE", "verify-full"),
        ("PGDATABASE", "clinic"),
    }


def test_without_the_client_programs_it_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(postgres.shutil, "which", lambda name: None)
    with pytest.raises(NotPossible, match="postgresql-client"):
        postgres.write_copy(Path("/nowhere/copy"))


@pytest.mark.slow
@pytest.mark.database
def test_restores_in_a_row_while_others_write(
    clinician: User, tmp_path: Path, pytestconfig: pytest.Config
) -> None:
    """Each copy is made while somebody writes; each restore gives it back whole."""
    restores, lives = pytestconfig.getoption("restores"), {life.current()}
    names, refusals, lost = iter(range(1, 10**9)), 0, 0
    for number in range(restores):
        file = tmp_path / f"{number}"
        with somebody_writes(clinician, names):
            made = copy_of_now(file)
            refusals += "Calcar is running" in not_done(file)
        before = Patient.objects.count()
        done = put_back(file)
        _as_copied(made.held, done)
        lost += before - made.held.people
        with opened(done.kept) as old:
            assert Patient.objects.using(old).count() == before
        throw_kept_away(done.kept)
        lives.add(life.current())
        file.unlink()
    assert (len(lives), refusals) == (restores + 1, restores)
    sys.stdout.write(
        f"{restores} of {restores} restores on {connection.vendor}: counts, seal, chain and "
        f"integrity as copied; {refusals} refused while somebody wrote; {lost} people written "
        "after a copy, all of them in the database that was kept\n"
    )


def _as_copied(held: Any, done: Any) -> None:
    assert done.damage == ""
    assert kind().not_whole("default") == ""
    assert audit.verify_chain() is None
    assert Patient.objects.count() == held.people
    assert Audit.objects.filter(action="add patient").count() == held.people
    assert Audit.objects.get(seq=held.lines).hash == held.seal
    assert audit.head()[0] == held.lines + 2
    assert not DatabaseCopy.objects.filter(what=MADE, lines=held.lines).exists()
