"""Files that are there as a whole or not at all, readable by their owner only."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from programs.machine.folder import for_owner_only
from programs.machine.refusals import NotPossible


def part_of(file: Path) -> Path:
    """Return the name under which a file is written until it is whole."""
    return file.with_name(f".{file.name}.part")


@contextmanager
def new_file(file: Path) -> Iterator[Path]:
    """Give a name to write to; it becomes the file at the end, and is gone after a failure.

    What a killed run left under that name does not stand in the way. Nothing is overwritten.
    """
    part = part_of(file)
    try:
        refuse_existing(file)
        part.unlink(missing_ok=True)
        with for_owner_only():
            yield part
        keep_on_disk(part)
        refuse_existing(file)
        part.rename(file)
        keep_on_disk(file.parent)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def refuse_existing(file: Path) -> None:
    """Refuse a name that is taken."""
    if file.exists():
        raise NotPossible(f"{file} is there already. Name a new file.")


def keep_on_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, stand on the disk itself."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
