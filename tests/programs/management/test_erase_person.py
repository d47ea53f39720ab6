"""The command that erases a person by law: what it asks, what it says, what it leaves behind."""

from __future__ import annotations

import sqlite3
import sys
from contextlib import closing
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.utils import timezone

from patients import audit
from patients.models.erasure import PersonErasure
from patients.models.patient import Audit, Patient
from patients.models.staff import RoleChange
from programs.machine import copies
from programs.machine.connections import led_to
from programs.machine.copies import kind
from programs.machine.refusals import NotPossible
from programs.machine.restoring import restore
from programs.models.program import SessionLog
from tests.programs import rows
from tests.programs.actions.test_erasing import WHY, a_person
from tests.programs.machine.restores import copy_of_now

pytestmark = [pytest.mark.long, pytest.mark.django_db]
MARK = "Zwanziger"


@pytest.fixture
def nothing_to_rub(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Inside a test's transaction no file is written anew."""
    done: list[str] = []
    monkeypatch.setattr(kind(), "rub_out", lambda: done.append("rubbed out"))
    return done


@pytest.fixture
def her(clinician: User, nothing_to_rub: list[str]) -> Patient:
    return a_person(clinician, MARK)


def erase(number: int, record_number: str, *more: str, by: str = "m.ferro", why: str = WHY) -> str:
    said = StringIO()
    named = ["--by", by] if by else []
    told = [str(number), record_number, *named, "--why", why, *more]
    call_command("erase_person", *told, stdout=said, stderr=said)
    return said.getvalue()


def refused(*told: Any, **more: Any) -> str:
    with pytest.raises(CommandError) as refusal:
        erase(*told, **more)
    assert not PersonErasure.objects.exists()
    return str(refusal.value)


@pytest.mark.counted
def test_it_says_what_goes_what_stays_and_what_it_does_not_reach(
    her: Patient, clinician: User, nothing_to_rub: list[str]
) -> None:
    rows.database_copy(file="calcar-old.sqlite3")
    rows.database_copy(file="calcar-back.sqlite3", what="restored")
    with audit.writing():
        audit.record(by=clinician, at=rows.AT, action="export everything kept", on=her)
    said = erase(her.pk, her.record_number, "--yes")
    for words in (
        f"What goes, of record {her.pk}, for good:",
        "Papers: 1",
        "Log of sessions: 1",
        "lines of the record told",
        "Of 1 signed programs the content and its salt go, and the signature stays.",
        "What stays: her number",
        "Copy of the database calcar-old.sqlite3: 2 Mar 2026, ",
        "when calcar-back.sqlite3 was restored",
        "Export of everything kept, taken by Marta Ferro",
        "Papers that were made, in her hand or a colleague's: 1.",
        f"Record {her.pk} was erased on ",
        "Still holding her, as listed above: 4.",
    ):
        assert words in said, words
    assert nothing_to_rub == ["rubbed out"]
    assert MARK not in said


@pytest.mark.counted
def test_of_whom_nothing_was_made_there_is_no_copy(
    clinician: User, nothing_to_rub: list[str]
) -> None:
    of = rows.patient(clinician)
    said = erase(of.pk, of.record_number, "--yes")
    assert "The record knows of no copy of the database made since she is on it." in said
    assert "Still holding her" not in said


def test_the_record_tells_who_where_and_why(her: Patient, clinician: User) -> None:
    assert "knows of no copy" not in erase(her.pk, her.record_number, "--yes")
    line = Audit.objects.get(action=audit.ERASE_PERSON)
    assert (line.actor, line.patient_id) == (clinician, her.pk)
    assert line.source_address.startswith("this machine, ")
    assert WHY in line.new
    assert audit.verify_chain() is None


def test_both_numbers_must_be_hers(her: Patient, clinician: User) -> None:
    other = rows.patient(clinician)
    for number, record in (
        (her.pk, other.record_number),
        (other.pk, her.record_number),
        (her.pk, ""),
        (987, her.record_number),
    ):
        assert "together with this record number" in refused(number, record, "--yes")


@pytest.mark.counted
def test_somebody_answers_for_it(her: Patient, clinician: User) -> None:
    assert "--by USERNAME" in refused(her.pk, her.record_number, "--yes", by="")
    assert "Nobody who works here" in refused(her.pk, her.record_number, "--yes", by="x")
    rows_of = {"who": clinician, "role": "clinician", "given": False, "at": rows.AT}
    RoleChange.objects.create(**rows_of)
    told = refused(her.pk, her.record_number, "--yes")
    assert told == (
        "Your account may not have a person erased by law. The role that may: clinician. "
        "Nothing was erased."
    )


def test_a_reason_is_needed(her: Patient) -> None:
    assert "Say why" in refused(her.pk, her.record_number, "--yes", why=" ")


def test_it_asks(her: Patient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", StringIO())
    assert "To go on without a question: --yes" in refused(her.pk, her.record_number)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    asked: list[str] = []
    monkeypatch.setattr("builtins.input", lambda words: asked.append(words) or "yes")
    assert refused(her.pk, her.record_number) == "Nothing was erased."
    assert f"This is {her.name}, born {her.born_words}." in asked[0]
    monkeypatch.setattr("builtins.input", lambda words: " Erase ")
    assert "was erased on" in erase(her.pk, her.record_number)


def test_who_was_erased_is_not_erased_again_nor_exported(her: Patient, tmp_path: Path) -> None:
    erase(her.pk, her.record_number, "--yes")
    with pytest.raises(CommandError, match=f"Record {her.pk} was erased on .* by Marta Ferro: "):
        erase(her.pk, "", "--yes")
    with pytest.raises(CommandError, match=f"Record {her.pk} was erased on"):
        call_command("export_person", her.pk, tmp_path / "out.zip")


def test_what_the_files_may_still_hold_is_said(
    her: Patient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy() -> None:
        raise DatabaseError("database is locked")

    monkeypatch.setattr(kind(), "rub_out", busy)
    said = erase(her.pk, her.record_number, "--yes")
    assert "parts may be left in the free space" in said
    assert "manage.py rub_out" in said
    with pytest.raises(CommandError, match=r"locked|busy|Busy"):
        call_command("rub_out")


def test_what_did_not_hold_is_said_first(her: Patient, clinician: User) -> None:
    rows.rewrite(SessionLog.objects.get(), pain=0)
    assert "NOT AS IT WAS RECORDED" in erase(her.pk, her.record_number, "--yes")


def test_the_checks_and_copies_say_it(
    her: Patient, clinician: User, tmp_path: Path, settings: Any
) -> None:
    settings.STATE_DIR = tmp_path
    erase(her.pk, her.record_number, "--yes")
    said = StringIO()
    call_command("check_record", stdout=said)
    assert f"Record {her.pk} was erased on" in said.getvalue()
    assert "Each is as it was written." in said.getvalue()


@pytest.mark.database
@pytest.mark.django_db(transaction=True)
def test_copies_are_whole_and_an_older_one_brings_her_back_in_words(
    clinician: User, tmp_path: Path, settings: Any
) -> None:
    settings.STATE_DIR = tmp_path / "state"
    settings.STATE_DIR.mkdir()
    her, number = a_person(clinician, MARK), "Zwanziger-17"
    copy_of_now(tmp_path / "older")
    erase(her.pk, number, "--yes")
    said = StringIO()
    call_command("back_up", tmp_path / "newer", stdout=said)
    assert f"Record {her.pk} was erased on" in said.getvalue()
    assert "People: 0. Signed programs: 1. Kept papers: 0." in said.getvalue()
    told: list[str] = []
    for name in ("older", "newer"):
        file = tmp_path / name
        restore(file, phrase="", at=timezone.now(), agreed=lambda words: bool(told.append(words)))
    assert "1 RECORD ERASED BY LAW SINCE WOULD BE BACK." in told[0]
    assert "ERASED" not in told[1]
    if connection.vendor == "sqlite":
        held = (tmp_path / "newer").read_bytes()
        assert MARK.encode() not in held
        assert MARK.encode() in (tmp_path / "older").read_bytes()


@pytest.mark.django_db(transaction=True)
def test_nothing_of_hers_is_left_in_the_file(tmp_path: Path) -> None:
    """Of a row that is deleted the letters stay in the file until it is written anew."""
    if connection.vendor != "sqlite":
        kind().rub_out()
        return
    file = tmp_path / "calcar.sqlite3"
    with closing(sqlite3.connect(file)) as made:
        made.executescript(
            "PRAGMA journal_mode=WAL; PRAGMA secure_delete=OFF;"
            "CREATE TABLE patients_findable (patient_id INTEGER PRIMARY KEY, words TEXT);"
            "CREATE VIRTUAL TABLE patients_trigrams USING fts5(words, content='patients_findable',"
            "content_rowid='patient_id', tokenize='trigram', detail=none);"
        )
        made.execute("INSERT INTO patients_findable VALUES (1, ?)", [MARK * 2000])
        made.commit()
        made.execute("UPDATE patients_findable SET words = ''")
        made.commit()
    assert left(tmp_path) > 0
    with led_to(str(file)):
        copies.rub_out()
        assert left(tmp_path) == 0
        with closing(sqlite3.connect(file)) as reader:
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA busy_timeout = 50")
            reader.execute("BEGIN")
            reader.execute("SELECT * FROM patients_findable").fetchall()
            with pytest.raises(NotPossible, match="Others are reading"):
                copies.rub_out()


def left(folder: Path) -> int:
    return sum(one.read_bytes().count(MARK.encode()) for one in folder.iterdir())
