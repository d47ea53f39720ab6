"""A failure of this machine, told apart from a mistake of the program."""

from __future__ import annotations

import os
from collections.abc import Iterator

from django.core.exceptions import ImproperlyConfigured
from django.db import Error

from programs.machine import folder
from programs.machine.causes import Cause, Symptom, cause_of


def cause_of_error(error: BaseException | None) -> Cause | None:
    """Return which failure of the machine an error is, or None where it is none."""
    if not isinstance(error, (Error, OSError, ImproperlyConfigured)):
        return None
    symptom = Symptom(
        code=next((code for one in _chain(error) if (code := _code(one))), ""),
        text=str(error),
        free_bytes=_free_bytes(),
        writable=os.access(folder.state(), os.W_OK),
    )
    return cause_of(symptom)


def _chain(error: BaseException) -> Iterator[BaseException]:
    one: BaseException | None = error
    while one is not None:
        yield one
        one = one.__cause__


def _code(error: BaseException) -> str:
    """Return the database's own name of it: what it is called differs with its driver."""
    named = getattr(error, "sqlite_errorname", None) or getattr(error, "sqlstate", None)
    # What SQLite calls just an error is told apart by its words.
    return "" if named in (None, "SQLITE_ERROR") else str(named)


def _free_bytes() -> int:
    try:
        return folder.free_bytes()
    except OSError:
        return 1 << 40
