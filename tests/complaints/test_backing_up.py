"""Backing up while others write: row D15 of the complaints."""

from __future__ import annotations

import sqlite3
import stat
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from io import StringIO
from itertools import count
from pathlib import Path
from threading import Event

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.db import connection

from patients.models import Audit
from tests.complaints.test_many_at_once import add

COPIES = 5
KEPT = ("seq", "hash", "prev_hash", "object_id")


def back_up(file: Path) -> str:
    said = StringIO()
    call_command("back_up", str(file), stdout=said)
    return said.getvalue()


def lines_of(copy: Path) -> list[tuple[object, ...]]:
    """Return the record of a copy, as a restored database would hold it."""
    with closing(sqlite3.connect(copy)) as held:
        (people,) = held.execute("SELECT count(*) FROM patients_patient").fetchone()
        lines = held.execute(
            f"SELECT {', '.join(KEPT)} FROM patients_audit ORDER BY seq"
        ).fetchall()
    assert people == len(lines)
    return lines


@pytest.mark.django_db(transaction=True)
def test_d15_copies_made_while_others_write_are_whole(clinician: User, tmp_path: Path) -> None:
    """D15: a copy of a live database was corrupt or old, and was reported fine."""
    if connection.vendor != "sqlite":
        with pytest.raises(CommandError, match="pg_dump"):
            back_up(tmp_path / "copy.sqlite3")
        return
    add(0, clinician)
    enough, copies = Event(), [tmp_path / f"{n}.sqlite3" for n in range(COPIES)]
    with ThreadPoolExecutor(1) as writer:
        writing = writer.submit(_add_until, enough, clinician)
        said = [back_up(copy) for copy in copies]
        enough.set()
        writing.result()
    live = list(Audit.objects.order_by("seq").values_list(*KEPT))
    lengths = [len(lines_of(copy)) for copy in copies]
    for copy, length, told in zip(copies, lengths, said, strict=True):
        assert lines_of(copy) == live[:length]
        assert f"whole, {length} lines" in told
        assert str(live[length - 1][1]) in told
    assert lengths == sorted(lengths)
    assert lengths[0] >= 1


def _add_until(enough: Event, clinician: User) -> None:
    for number in count(1):
        add(number, clinician)
        if enough.is_set():
            return


@pytest.mark.django_db(transaction=True)
def test_only_its_owner_reads_a_copy_and_none_is_overwritten(tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite3"
    if connection.vendor != "sqlite":
        with pytest.raises(CommandError, match="pg_dump"):
            back_up(copy)
        return
    assert "whole, 0 lines" in back_up(copy)
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    with pytest.raises(CommandError, match="is there already"):
        back_up(copy)
    with pytest.raises(CommandError, match="could not be written"):
        back_up(tmp_path / "no such folder" / "copy.sqlite3")
