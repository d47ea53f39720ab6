"""What stops a server before it starts, and what is only told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import OperationalError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder

from patients import audit
from programs.machine import at_start
from programs.machine.at_start import look
from programs.machine.migrations_known import said_of_missing, said_of_unknown
from programs.machine.refusals import NotPossible
from tests.programs.actions.test_record_check import on_record

NOW = dt.datetime(2027, 1, 31, 2, 0, tzinfo=dt.UTC)
ROOM = 10**12

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    tmp_path.chmod(0o700)
    settings.STATE_DIR = tmp_path
    monkeypatch.setattr(at_start.folder, "free_bytes", lambda: ROOM)
    yield tmp_path
    MigrationRecorder(connection).record_unapplied("programs", "0999_of_next_year")


def stopped() -> str:
    with pytest.raises(NotPossible) as refusal:
        look(now=NOW)
    return str(refusal.value)


@pytest.mark.database
def test_nothing_is_said_of_a_sound_machine() -> None:
    assert look(now=NOW) == []


@pytest.mark.database
def test_o03_a_database_of_a_newer_release() -> None:
    """O03: it was served without a word."""
    MigrationRecorder(connection).record_applied("programs", "0999_of_next_year")
    assert "newer release of Calcar, which has programs.0999_of_next_year" in stopped()


@pytest.mark.database
def test_a_database_of_an_older_release() -> None:
    steps = MigrationLoader(connection).disk_migrations
    name = max(name for app, name in steps if app == "programs")
    recorder = MigrationRecorder(connection)
    recorder.record_unapplied("programs", name)
    try:
        assert f"it lacks programs.{name}" in stopped()
    finally:
        recorder.record_applied("programs", name)


def test_many_migrations_are_not_all_listed() -> None:
    names = [f"programs.{number:04}" for number in range(7)]
    for said in (said_of_unknown(names), said_of_missing(names)):
        assert "programs.0002 and 4 more" in said
        assert "0003" not in said


def test_o05_another_key(clinician: User, settings: Any) -> None:
    """O05: a key that was made anew was used without a word."""
    on_record(clinician, "Orla")
    assert look(now=NOW) == []
    settings.SECRET_KEY = "another key, of another installation, just as long as the first one"
    assert "is not the one that sealed the record" in stopped()


def test_a_disk_with_no_room_stops_it_and_little_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(at_start.folder, "free_bytes", lambda: 10**6)
    assert "The disk of the state folder is full" in stopped()
    monkeypatch.setattr(at_start.folder, "free_bytes", lambda: 100 * 1024**2)
    assert look(now=NOW) == [
        "Only 100 MB are left on the disk of the state folder. Make room soon."
    ]


def test_rights_that_were_changed_are_told(state: Path) -> None:
    state.chmod(0o755)
    assert "could be read by others (755)" in look(now=NOW)[0]


@pytest.mark.parametrize(("later", "told"), [(121, True), (119, False), (-9999, False)])
def test_a_clock_gone_back_is_told(clinician: User, later: int, told: bool) -> None:
    at = NOW + dt.timedelta(seconds=later)
    with audit.writing():
        audit.record(by=clinician, at=at, action="test", on=clinician)
    said = look(now=NOW)
    assert ["The clock of this machine says 2027-01-31 02:00 UTC" in one for one in said] == [
        True
    ] * told


@pytest.mark.parametrize(
    ("error", "words"),
    [
        ("attempt to write a readonly database", "The database cannot be written to."),
        ("connection failed: Connection refused", "The database server does not answer."),
        ("something else", "something else"),
    ],
)
def test_a_database_that_fails_is_called_by_its_cause(
    monkeypatch: pytest.MonkeyPatch, error: str, words: str
) -> None:
    def fails() -> list[str]:
        raise OperationalError(error)

    monkeypatch.setattr(at_start, "unknown", fails)
    assert words in stopped()


def test_a_damaged_database(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(at_start.kind(), "not_whole", lambda alias, quick: "page 7")
    assert "The database is damaged (page 7)" in stopped()
