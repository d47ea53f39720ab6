"""SQLite's log (the file -wal) torn after a crash: cut anywhere, or a bit of it turned.

What was written last stands in the log until it is folded into the file. A disk that loses power
may leave less of the log than was promised, or other bits. What is then there must be as one of
the transactions left it, and where lines are missing that were anchored, that is told.
"""

from __future__ import annotations

import hashlib
import random
import shutil
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, connections, transaction
from django.utils import timezone

from patients.models.staff import RoleChange
from programs.actions import pdf_process
from programs.actions.record_check import look_at_the_end, look_over
from programs.machine import sqlite
from programs.machine.at_start import look
from programs.machine.connections import led_to, opened
from programs.machine.refusals import NotPossible
from programs.machine.what_failed import cause_of_error
from tests.kills.harness import folder_of, held, state_of
from tests.kills.story import story
from tests.programs.rows import on_record

pytestmark = [
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="the log is SQLite's"),
]

#: Of the format of a log (sqlite.org/fileformat2.html, section 4): its head, that of a page in it.
HEAD, PAGE_HEAD = 32, 24
SEED = 20261129
#: Until which action of the story: what she is, her facts, a signed program, a paper, her log.
UNTIL = "hold_against_rulebook"


@dataclass(frozen=True)
class Ended:
    """A transaction that had ended: how long the log then was, what was there, the last line."""

    length: int
    digest: str


@dataclass(frozen=True)
class Crashed:
    """The files of a database as a crash left them, and each transaction, the first before all."""

    file: Path
    log: bytes
    page: int
    ended: list[Ended]

    def expected(self, whole: int) -> str:
        """Return what must be there of a log of which so many bytes are as they were written."""
        return [one for one in self.ended if one.length <= whole][-1].digest

    def page_begins(self, at: int) -> int:
        """Return where the page of the log begins in which a byte stands."""
        step = PAGE_HEAD + self.page
        return 0 if at < HEAD else HEAD + (at - HEAD) // step * step


def digest(using: str = "default") -> str:
    return hashlib.sha256(held(using).values.encode()).hexdigest()


@pytest.fixture
def crashed(clinician: User, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Crashed]:
    """Do a morning's work without folding the log, and copy the files as they lie."""
    monkeypatch.setattr(pdf_process, "apart", lambda order: b"%PDF")
    for role in RoleChange.objects.all():
        on_record(role, "give role")
    name = str(connection.settings_dict["NAME"])
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        cursor.execute("PRAGMA wal_autocheckpoint=0")
        (page,) = cursor.execute("PRAGMA page_size").fetchone()
    ended = [Ended(0, digest())]
    with _each_end(name, ended):
        action, steps = "", story(clinician)
        while action != UNTIL:
            # What the story makes ready between two actions is one transaction, as theirs are.
            with transaction.atomic():
                action, step = next(steps)
            step()
    copy = tmp_path / "calcar.sqlite3"
    shutil.copyfile(name, copy)
    return Crashed(copy, Path(f"{name}-wal").read_bytes(), page, ended)


@contextmanager
def _each_end(name: str, ended: list[Ended]) -> Iterator[None]:
    """Note the end of each transaction, one of a single statement too."""
    commit = connection._commit

    def note() -> None:
        length = Path(f"{name}-wal").stat().st_size
        if length > ended[-1].length:
            with opened(name) as beside:
                ended.append(Ended(length, digest(beside)))

    def noted() -> Any:
        done = commit()
        note()
        return done

    def statement(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        done = execute(sql, params, many, context)
        if not connection.in_atomic_block:
            note()
        return done

    connection._commit = noted
    try:
        with connection.execute_wrapper(statement):
            yield
    finally:
        del connection._commit


@contextmanager
def _torn(crashed: Crashed, log: bytes, file: bytes | None = None) -> Iterator[None]:
    """Let this thread's database be the files as a disk left them, with their anchors."""
    torn = crashed.file.with_name("torn.sqlite3")
    sqlite.throw_away(str(torn))
    torn.write_bytes(crashed.file.read_bytes() if file is None else file)
    Path(f"{torn}-wal").write_bytes(log)
    shutil.copytree(settings.STATE_DIR, folder_of(str(torn)), dirs_exist_ok=True)
    connections.close_all()
    try:
        with led_to(str(torn)), state_of(str(torn)):
            yield
    finally:
        shutil.rmtree(folder_of(str(torn)))


def cuts(crashed: Crashed, chance: random.Random, count: int) -> Iterator[tuple[bytes, int]]:
    """Yield a log that ends early, and how much of it is whole: at the edges, and anywhere."""
    step = PAGE_HEAD + crashed.page
    edges = [0, 1, HEAD - 1, HEAD, HEAD + 1, HEAD + step - 1, HEAD + step, len(crashed.log)]
    edges += [crashed.ended[-1].length - 1, crashed.ended[-2].length, crashed.ended[1].length]
    for at in (*edges, *(chance.randrange(len(crashed.log)) for _ in range(count))):
        yield crashed.log[:at], at


def turned(crashed: Crashed, chance: random.Random, count: int) -> Iterator[tuple[bytes, int]]:
    """Yield a log one bit of which is another, and how much stands before that page of it."""
    for _ in range(count):
        log, at = bytearray(crashed.log), chance.randrange(len(crashed.log))
        log[at] ^= 1 << chance.randrange(8)
        yield bytes(log), crashed.page_begins(at)


def test_a_torn_log_leaves_each_transaction_whole_or_none_of_it(
    crashed: Crashed, pytestconfig: pytest.Config
) -> None:
    chance, found = random.Random(SEED), Counter[str]()
    count = 400 if pytestconfig.getoption("every_kill") else 12
    assert len(crashed.ended) > 30
    assert len({one.digest for one in crashed.ended}) > 30
    for log, whole in (*cuts(crashed, chance, count), *turned(crashed, chance, count)):
        with _torn(crashed, log):
            assert digest() == crashed.expected(whole), whole
            assert sqlite.not_whole("default") == ""
            told = (*look_over().broken, *look_at_the_end())
            assert [one for one in told if "Lines were cut off" not in one] == [], whole
            found["told of" if told else "as it was anchored"] += 1
    sys.stdout.write(f"{found.total()} torn logs: {dict(found)}\n")
    assert set(found) == {"told of", "as it was anchored"}


# --- Torn while it was folded into the file -----------------------------------------------------


def newest_pages(crashed: Crashed) -> dict[int, bytes]:
    """Return the newest of each page in the log, by its number: what folding writes."""
    found, step = {}, PAGE_HEAD + crashed.page
    for at in range(HEAD, crashed.ended[-1].length, step):
        number = int.from_bytes(crashed.log[at : at + 4], "big")
        found[number] = crashed.log[at + PAGE_HEAD : at + step]
    return found


def partly_folded(crashed: Crashed, share: float) -> bytes:
    """Return the file of which so much was folded in, in the order of its pages."""
    file, pages = bytearray(crashed.file.read_bytes()), sorted(newest_pages(crashed).items())
    for number, page in pages[: int(len(pages) * share)]:
        at = (number - 1) * crashed.page
        file.extend(bytes(max(0, at + crashed.page - len(file))))
        file[at : at + crashed.page] = page
    return bytes(file)


def what_is_said() -> str:
    """Return what a start, a look at the file and one over the record say of a database."""
    try:
        look(now=timezone.now())
        found = (sqlite.not_whole("default"), *look_over().broken, *look_at_the_end())
        return " ".join(filter(None, found))
    except NotPossible as refusal:
        return str(refusal)
    except DatabaseError as error:
        return f"{cause_of_error(error)}"


def test_torn_while_it_was_folded_it_is_whole_or_said(
    crashed: Crashed, pytestconfig: pytest.Config
) -> None:
    """With the whole log a half-folded file is whole; with less of it the file is two in one."""
    chance, found = random.Random(SEED), Counter[str]()
    known = {one.digest for one in crashed.ended}
    with _torn(crashed, crashed.log, partly_folded(crashed, 0.5)):
        assert digest() == crashed.ended[-1].digest
        assert "damaged" not in what_is_said()
    for _ in range(300 if pytestconfig.getoption("every_kill") else 10):
        log = crashed.log[: chance.randrange(len(crashed.log))]
        with _torn(crashed, log, partly_folded(crashed, chance.random())):
            said = what_is_said()
            assert said != "None"
            try:
                as_it_was = digest() in known
            except (DatabaseError, ValueError, TypeError):
                as_it_was = False
            assert said or as_it_was
            found["said" if said else "whole"] += 1
    sys.stdout.write(f"{found.total()} logs torn while folded: {dict(found)}\n")
    assert found["said"]
