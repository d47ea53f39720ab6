"""What the machine it runs on gives: the secret key and the time zone."""

import os
import secrets
from collections.abc import Callable
from pathlib import Path

SHORTEST_KEY = 32


class CannotStart(Exception):
    """This machine is not set up so that Calcar can start; the text says why and what to do."""


def secret_key(path: Path, *, rows_are_there: Callable[[], bool] = lambda: False) -> str:
    """Return the key kept in the file at path; made on first use, readable by the owner only.

    Where the database has rows already, they were sealed with a key that is gone: a new one
    would make each of their seals wrong. Raises CannotStart then, and where the file is no key.
    """
    try:
        return _read(path)
    except FileNotFoundError:
        if rows_are_there():
            raise CannotStart(
                f"The secret key is missing: {path} is not there, and the database has records "
                "that were sealed with it. Put that file back, from where it was kept, or from the "
                "other machine that serves the same database. A new key is not made: with it "
                "nobody could tell any more whether the records were changed."
            ) from None
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return _read(path)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(key := secrets.token_urlsafe(64))
    return key


def _read(path: Path) -> str:
    try:
        key = path.read_text(encoding="ascii").strip()
    except UnicodeDecodeError:
        key = ""
    if len(key) < SHORTEST_KEY or not key.isprintable():
        raise CannotStart(
            f"The secret key is damaged: {path} is empty, too short or no text. Put the right file "
            "back, from where it was kept. Only where nothing was ever recorded: delete it, and "
            "a new one is made."
        )
    return key


def time_zone(name_file: Path = Path("/etc/timezone"), link: Path = Path("/etc/localtime")) -> str:
    """Return the machine's time zone as an IANA name, or UTC when it keeps none."""
    if name_file.is_file() and (name := name_file.read_text(encoding="ascii").strip()):
        return name
    target = os.path.realpath(link) if link.is_symlink() else ""
    return target.partition("zoneinfo/")[2] or "UTC"
