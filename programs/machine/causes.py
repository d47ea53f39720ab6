"""What a failure of the machine or the database is, in words, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Cause:
    """One thing that can be wrong: as a heading, what it means, what to do."""

    title: str
    means: str
    do: str

    def __str__(self) -> str:
        """Return it as one paragraph."""
        return f"{self.title}. {self.means} {self.do}"


@dataclass(frozen=True, kw_only=True)
class Symptom:
    """What a failure looked like.

    code         as the database names it: SQLITE_FULL, or the five characters of PostgreSQL
    text         its words, where it has no code
    free_bytes   room on the disk of the state folder
    writable     whether that disk takes anything
    """

    code: str = ""
    text: str = ""
    free_bytes: int
    writable: bool


BUSY = Cause(
    title="The records are busy: try again",
    means="The database did not answer in time: somebody else was writing.",
    do="Wait a few seconds, then load this page again; your browser will offer to send the form "
    "again.",
)
FULL = Cause(
    title="The disk is full",
    means="Nothing can be written, and often not even read, until there is room.",
    do="Whoever looks after this machine: make room on the disk of the state folder. What was "
    "saved before is not lost.",
)
READ_ONLY = Cause(
    title="The database cannot be written to",
    means="Its disk, folder or file is read-only.",
    do="Whoever looks after this machine: let the user who runs Calcar write to the state folder; "
    "a disk that became read-only by itself is often failing.",
)
DAMAGED = Cause(
    title="The database is damaged",
    means="Parts of its file cannot be read. Do not go on working with it.",
    do="Whoever looks after this machine: stop Calcar, keep the file as it is, check the disk, "
    "and put the last good copy back: manage.py restore FILE.",
)
DISK = Cause(
    title="The disk does not answer as it should",
    means="Reading or writing the database failed.",
    do="Whoever looks after this machine: check the disk and its connection. Make a copy elsewhere "
    "as soon as it can be read (manage.py back_up).",
)
NOT_OPENED = Cause(
    title="The database cannot be opened",
    means="Its file or folder is not there, or belongs to another user of this machine.",
    do="Whoever looks after this machine: run Calcar as the user who owns the state folder, and "
    "look whether the folder is there.",
)
BEHIND = Cause(
    title="The database is not of this release",
    means="A table or column that this release needs is not there.",
    do="Whoever looks after this machine: stop Calcar and start it by ./run, which brings the "
    "database up to date; make a copy first (manage.py back_up).",
)
AWAY = Cause(
    title="The database server does not answer",
    means="PostgreSQL could not be reached, or ended the connection.",
    do="Whoever looks after this machine: see that it runs, and that DATABASE_URL names its "
    "address and database. Then load this page again.",
)
NOT_LET_IN = Cause(
    title="The database server does not let Calcar in",
    means="PostgreSQL refused the user or the password.",
    do="Whoever looks after this machine: correct them in DATABASE_URL.",
)
NO_DATABASE = Cause(
    title="The database is not there",
    means="PostgreSQL runs, but has no database of this name.",
    do="Whoever looks after this machine: correct the name in DATABASE_URL, or make it (createdb).",
)
NO_DRIVER = Cause(
    title="The driver of PostgreSQL is missing",
    means="DATABASE_URL names a PostgreSQL, and the package psycopg is not installed.",
    do="Start Calcar by ./run, which installs it.",
)

#: Beginnings of codes, the longer ones first where one begins another.
_BY_CODE = (
    ("SQLITE_BUSY", BUSY),
    ("SQLITE_LOCKED", BUSY),
    ("SQLITE_FULL", FULL),
    ("SQLITE_READONLY", READ_ONLY),
    ("SQLITE_CORRUPT", DAMAGED),
    ("SQLITE_NOTADB", DAMAGED),
    ("SQLITE_IOERR", DISK),
    ("SQLITE_CANTOPEN", NOT_OPENED),
    ("SQLITE_PERM", NOT_OPENED),
    # PostgreSQL's are in "PostgreSQL Error Codes" of its manual.
    ("55P03", BUSY),
    ("40", BUSY),
    ("57014", BUSY),
    ("53300", BUSY),
    ("53100", FULL),
    ("25006", READ_ONLY),
    ("XX", DAMAGED),
    ("58030", DISK),
    ("42P01", BEHIND),
    ("42703", BEHIND),
    ("3D000", NO_DATABASE),
    ("28", NOT_LET_IN),
    ("57P", AWAY),
    ("08", AWAY),
)
_BY_TEXT = (
    ("is locked", BUSY),
    ("is full", FULL),
    ("no space left", FULL),
    ("quota exceeded", FULL),
    ("readonly", READ_ONLY),
    ("read-only", READ_ONLY),
    ("malformed", DAMAGED),
    ("not a database", DAMAGED),
    ("disk i/o error", DISK),
    ("unable to open", NOT_OPENED),
    ("no such table", BEHIND),
    ("no such column", BEHIND),
    ("has no column", BEHIND),
    ("password authentication failed", NOT_LET_IN),
    ("no password supplied", NOT_LET_IN),
    ('role "', NOT_LET_IN),
    ("does not exist", NO_DATABASE),
    ("error loading psycopg", NO_DRIVER),
    ("connection", AWAY),
    ("could not translate host name", AWAY),
    ("failed to resolve host", AWAY),
)
#: A file on a disk with less room than this cannot even be opened for reading.
_NO_ROOM = 256 * 1024


def cause_of(symptom: Symptom) -> Cause | None:
    """Return what is wrong, or None where it is none of these."""
    text = symptom.text.lower()
    found = next((cause for code, cause in _BY_CODE if symptom.code.startswith(code)), None)
    found = found or next((cause for words, cause in _BY_TEXT if words in text), None)
    if found in (DISK, NOT_OPENED, READ_ONLY):
        # A full disk, or one that became read-only, shows as any of these.
        if symptom.free_bytes < _NO_ROOM:
            return FULL
        if not symptom.writable:
            return READ_ONLY
    return found
