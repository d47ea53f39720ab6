"""Which failure is called what: by the database's code, by its words, by the state of the disk."""

import pytest

from programs.machine import causes
from programs.machine.causes import Cause, Symptom, cause_of

ROOM = 10**9

BY_CODE = {
    "SQLITE_BUSY": causes.BUSY,
    "SQLITE_BUSY_SNAPSHOT": causes.BUSY,
    "SQLITE_FULL": causes.FULL,
    "SQLITE_READONLY_DBMOVED": causes.READ_ONLY,
    "SQLITE_CORRUPT_VTAB": causes.DAMAGED,
    "SQLITE_NOTADB": causes.DAMAGED,
    "SQLITE_IOERR_READ": causes.DISK,
    "SQLITE_CANTOPEN": causes.NOT_OPENED,
    "53100": causes.FULL,
    "55P03": causes.BUSY,
    "40P01": causes.BUSY,
    "25006": causes.READ_ONLY,
    "XX001": causes.DAMAGED,
    "42P01": causes.BEHIND,
    "28P01": causes.NOT_LET_IN,
    "3D000": causes.NO_DATABASE,
    "57P01": causes.AWAY,
    "08006": causes.AWAY,
}
BY_TEXT = {
    "database is locked": causes.BUSY,
    "database or disk is full": causes.FULL,
    "[Errno 28] No space left on device": causes.FULL,
    "attempt to write a readonly database": causes.READ_ONLY,
    "[Errno 30] Read-only file system": causes.READ_ONLY,
    "database disk image is malformed": causes.DAMAGED,
    "file is not a database": causes.DAMAGED,
    "disk I/O error": causes.DISK,
    "unable to open database file": causes.NOT_OPENED,
    "no such table: patients_audit": causes.BEHIND,
    "no such column: x.y": causes.BEHIND,
    "table x has no column named y": causes.BEHIND,
    "Error loading psycopg2 or psycopg module": causes.NO_DRIVER,
    'connection failed: FATAL:  role "calcar" does not exist': causes.NOT_LET_IN,
    'connection failed: FATAL:  database "calcar" does not exist': causes.NO_DATABASE,
    "connection failed: password authentication failed for user": causes.NOT_LET_IN,
    "connection failed: Connection refused": causes.AWAY,
    "the connection is closed": causes.AWAY,
}


def named(code: str = "", text: str = "", room: int = ROOM, writable: bool = True) -> Cause | None:
    return cause_of(Symptom(code=code, text=text, free_bytes=room, writable=writable))


@pytest.mark.parametrize("code", BY_CODE)
def test_by_code(code: str) -> None:
    assert named(code, "whatever else it says") == BY_CODE[code]


@pytest.mark.parametrize("text", BY_TEXT)
def test_by_words(text: str) -> None:
    assert named(text=text) == BY_TEXT[text]


@pytest.mark.parametrize("text", ["UNIQUE constraint failed", "near SELECT: syntax error", ""])
def test_a_mistake_of_the_program_is_none_of_these(text: str) -> None:
    assert named(text=text) is None
    assert named("23505", text) is None


@pytest.mark.parametrize("code", ["SQLITE_IOERR_WRITE", "SQLITE_CANTOPEN", "SQLITE_READONLY"])
def test_a_full_disk_shows_as_other_things(code: str) -> None:
    assert named(code, room=0) == causes.FULL
    assert named(code, writable=False) == causes.READ_ONLY
    assert named("SQLITE_BUSY", room=0) == causes.BUSY


def test_each_says_what_it_means_and_what_to_do() -> None:
    every = [one for one in vars(causes).values() if isinstance(one, Cause)]
    assert len({one.title for one in every}) == len(every) > 10
    for one in every:
        assert str(one) == f"{one.title}. {one.means} {one.do}"
        assert one.means.endswith(".")
        assert one.do.endswith(".")
