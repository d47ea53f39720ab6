"""The connection of this process, led to another database for a while."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, connections

COPY = "copy"


@contextmanager
def led_to(name: str) -> Iterator[None]:
    """Let everything that this thread reads and writes be another database of the same kind."""
    here = connection.settings_dict
    connection.close()
    connection.settings_dict = here | {"NAME": name}
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict = here


@contextmanager
def opened(name: str, **settings: object) -> Iterator[str]:
    """Open a database beside the one in use; give its alias."""
    held = connection.copy(alias=COPY)
    held.settings_dict |= {"NAME": name, **settings}
    connections[COPY] = held
    try:
        yield COPY
    finally:
        held.close()
        del connections[COPY]
