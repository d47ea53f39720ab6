"""What the tests of restores share: people added meanwhile, and the databases that were kept."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from threading import Event

from django.contrib.auth.models import User
from django.db import connection
from django.utils import timezone

from programs.machine import copies, folder, postgres, sqlite
from programs.machine.restoring import Restored, restore
from tests.programs.actions.test_many_at_once import add


@dataclass
class Writer:
    """Somebody who goes on adding people, as a server does, until told to stop."""

    by: User
    added: int = 0
    enough: Event = field(default_factory=Event)
    some: Event = field(default_factory=Event)

    def run(self, names: Iterator[int]) -> None:
        with folder.in_use():
            for number in names:
                add(number, self.by)
                self.added += 1
                self.some.set()
                if self.enough.is_set():
                    return


@contextmanager
def somebody_writes(by: User, names: Iterator[int] | None = None) -> Iterator[Writer]:
    """Let somebody else write for as long as this lasts."""
    writer = Writer(by)
    with ThreadPoolExecutor(1) as other:
        done = other.submit(writer.run, names or count(1))
        try:
            writer.some.wait(30)
            yield writer
        finally:
            writer.enough.set()
            done.result()


def agree(words: str) -> bool:
    return True


def put_back(file: Path, phrase: str = "") -> Restored:
    done = restore(file, phrase=phrase, at=timezone.now(), agreed=agree)
    assert done is not None
    return done


def copy_of_now(file: Path, phrase: str = "") -> copies.Made:
    return copies.make(file, phrase=phrase, at=timezone.now())


def throw_kept_away(kept: str) -> None:
    """Remove what a restore kept, so that the tests leave nothing behind."""
    here = sqlite if connection.vendor == "sqlite" else postgres
    here.throw_away(kept)
