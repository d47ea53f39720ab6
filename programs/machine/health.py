"""How the machine and its copies stand, in plain words, each with what to do."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

#: A copy older than this is told, and a restore that was tried out longer ago (common practice).
COPY_DAYS, PROVEN_DAYS, LOOKED_DAYS = 2, 92, 31
#: Room on the disk, in megabytes, below which it is told.
LITTLE_MB = 500
#: How far the clocks of two machines may be apart.
CLOCKS_APART = dt.timedelta(minutes=2)


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What was seen; None is "never", and an empty text that nothing is wrong.

    database        what keeps it from being read; then nothing below it was seen
    read_whole      whether each page of it was read
    migrations      how the database and this release differ
    key_fits        whether the secret key sealed the record
    last_line       when the record's last line was written
    held            when the record was last looked over and held; `broken` if it did not since
    copied, proven  when a good copy was made, and when one was tried out or restored from
    """

    at: dt.datetime
    free_mb: int
    key: str
    database: str = ""
    read_whole: bool = True
    migrations: str = ""
    key_fits: bool = True
    last_line: dt.datetime | None = None
    held: dt.datetime | None = None
    broken: bool = False
    copied: dt.datetime | None = None
    proven: dt.datetime | None = None


@dataclass(frozen=True, kw_only=True)
class Check:
    """One thing that was looked at: how it stands, and what to do where it is not fine."""

    name: str
    stands: str
    do: str = ""

    @property
    def fine(self) -> bool:
        """Tell whether there is nothing to do."""
        return not self.do


def checks(seen: Seen) -> tuple[Check, ...]:
    """Return every check, in the order in which they are shown."""
    first = (_disk(seen), _database(seen))
    if seen.database:
        return first
    return (
        *first,
        _migrations(seen),
        _key(seen),
        _clock(seen),
        _record(seen),
        _copy(seen),
        _proven(seen),
    )


def _disk(seen: Seen) -> Check:
    return Check(
        name="Disk",
        stands=f"{seen.free_mb:,} MB are free on the disk of the state folder.",
        do="Make room: on a full disk nothing can be saved." if seen.free_mb < LITTLE_MB else "",
    )


def _database(seen: Seen) -> Check:
    if seen.database:
        return Check(
            name="Database",
            stands=f"It cannot be read: {seen.database}",
            do="See what is said. If it is damaged, keep it as it is and restore the last good "
            "copy (manage.py restore).",
        )
    if seen.read_whole:
        return Check(name="Database", stands="It can be read, and each page of it is whole.")
    return Check(
        name="Database",
        stands="It can be read. Whether each page of it is whole is told by manage.py health.",
    )


def _migrations(seen: Seen) -> Check:
    if seen.migrations:
        return Check(
            name="Release",
            stands=seen.migrations,
            do="Stop Calcar, and start the release that belongs to the database.",
        )
    return Check(name="Release", stands="The database is of this release.")


def _key(seen: Seen) -> Check:
    name = "Secret key"
    if not seen.key_fits:
        return Check(
            name=name,
            stands=f"The key here, {seen.key}, is not the one that sealed the record.",
            do="Put the secret_key that belongs to this database into the state folder.",
        )
    return Check(
        name=name,
        stands=f"It is the one that sealed the record. Its fingerprint: {seen.key}. Is a copy of "
        "the file kept somewhere else?",
    )


def _clock(seen: Seen) -> Check:
    name, now = "Clock", f"It is {_moment(seen.at)} on this machine"
    if seen.last_line is not None and seen.last_line > seen.at + CLOCKS_APART:
        return Check(
            name=name,
            stands=f"{now}, but the record's last line is of {_moment(seen.last_line)}.",
            do="One of the two was wrong. Set the clock right before anything is signed.",
        )
    return Check(name=name, stands=f"{now}, after the record's last line.")


def _record(seen: Seen) -> Check:
    name, when = "Record", _ago(seen.held, seen.at)
    look = "Look it over: on the Clinic page, or manage.py check_record."
    if seen.broken:
        return Check(
            name=name,
            stands=f"At the last look it was not as it was written. It last held: {when}.",
            do="The Clinic page says what. Keep the database and every copy as they are.",
        )
    stands = f"It was checked and passed: {when}."
    return Check(name=name, stands=stands, do=look if _old(seen.held, seen, LOOKED_DAYS) else "")


def _copy(seen: Seen) -> Check:
    return Check(
        name="Last copy",
        stands=f"A good copy of the database was made: {_ago(seen.copied, seen.at)}.",
        do="Make one: manage.py back_up. The README has a line that does it each night."
        if _old(seen.copied, seen, COPY_DAYS)
        else "",
    )


def _proven(seen: Seen) -> Check:
    return Check(
        name="Proven restore",
        stands=f"A copy was tried out, or restored from, and was good: "
        f"{_ago(seen.proven, seen.at)}.",
        do="Try the newest one out, which changes nothing: manage.py restore FILE --rehearse."
        if _old(seen.proven, seen, PROVEN_DAYS)
        else "",
    )


def _old(at: dt.datetime | None, seen: Seen, days: int) -> bool:
    return at is None or seen.at - at > dt.timedelta(days=days)


def _ago(at: dt.datetime | None, now: dt.datetime) -> str:
    if at is None:
        return "never"
    days = (now - at).days
    told = {0: "within the last day", 1: "a day ago"}.get(max(days, 0), f"{days} days ago")
    return f"{_moment(at)}, {told}"


def _moment(at: dt.datetime) -> str:
    return f"{at.day} {at:%b %Y, %H:%M}"
