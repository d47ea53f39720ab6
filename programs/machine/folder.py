"""The state folder: who may read it, and who has it in use."""

from __future__ import annotations

import fcntl
import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings

from programs.machine.refusals import NotPossible

LOCK = "in_use.lock"
FOLDER_RIGHTS, FILE_RIGHTS = 0o700, 0o600


def state() -> Path:
    """Return the folder of the database and the secret key."""
    return Path(settings.STATE_DIR)


@contextmanager
def in_use() -> Iterator[None]:
    """Hold the folder as a server does; any number may, while no restore is going on."""
    with _locked(fcntl.LOCK_SH, "A restore is going on. Start Calcar again when it is done."):
        yield


@contextmanager
def alone() -> Iterator[None]:
    """Hold the folder so that no server is running, nor can be started."""
    with _locked(fcntl.LOCK_EX, "Calcar is running. Stop it first (each server), then restore."):
        yield


@contextmanager
def _locked(kind: int, otherwise: str) -> Iterator[None]:
    # The lock goes with the process, however it ends; the file itself means nothing.
    handle = os.open(state() / LOCK, os.O_RDWR | os.O_CREAT, FILE_RIGHTS)
    try:
        try:
            fcntl.flock(handle, kind | fcntl.LOCK_NB)
        except BlockingIOError as held:
            raise NotPossible(otherwise) from held
        yield
    finally:
        os.close(handle)


@contextmanager
def for_owner_only() -> Iterator[None]:
    """Let new files be readable by their owner only."""
    before = os.umask(0o077)
    try:
        yield
    finally:
        os.umask(before)


def tidy_rights() -> list[str]:
    """Let nobody but the owner read the folder and its files; tell what had to be changed."""
    wanted = [(state(), FOLDER_RIGHTS)]
    wanted += [(path, FILE_RIGHTS) for path in sorted(state().iterdir()) if path.is_file()]
    said = []
    for path, rights in wanted:
        had = stat.S_IMODE(path.stat().st_mode)
        if had & ~rights:
            path.chmod(rights)
            said.append(f"{path} could be read by others ({had:o}); it is now {rights:o}.")
    return said


def free_bytes() -> int:
    """Return how much room is left on the disk of the folder."""
    return shutil.disk_usage(next(one for one in (state(), *state().parents) if one.exists())).free
