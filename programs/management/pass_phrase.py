"""How a command gets the pass phrase of a copy: from a file, the environment, a question."""

from __future__ import annotations

import getpass
import os
import sys
from pathlib import Path

from django.core.management.base import CommandError

VARIABLE = "CALCAR_PASS_PHRASE"
SHORTEST = 15


def pass_phrase(file: Path | None, *, new: bool) -> str:
    """Return the pass phrase; a new one is asked for twice and must be long enough.

    Never an argument of a command: everybody on the machine could read that.
    """
    phrase = _given(file) or _asked(new)
    if new and len(phrase) < SHORTEST:
        raise CommandError(f"The pass phrase needs {SHORTEST} characters or more.")
    return phrase


def _given(file: Path | None) -> str:
    if file is None:
        return os.environ.get(VARIABLE, "")
    try:
        phrase = file.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        raise CommandError(f"The pass phrase could not be read: {error}.") from error
    if not phrase:
        raise CommandError(f"{file} is empty: it should hold the pass phrase.")
    return phrase


def _asked(new: bool) -> str:
    if not sys.stdin.isatty():
        raise CommandError(
            f"A pass phrase is needed: name its file with --pass-phrase-file, or set {VARIABLE}."
        )
    phrase = getpass.getpass("Pass phrase of the copy: ")
    if new and getpass.getpass("The same again: ") != phrase:
        raise CommandError("The two were not the same.")
    return phrase
