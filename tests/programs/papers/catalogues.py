"""The catalogues of each declared language, read as they are written."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po

from programs.languages import DECLARED
from programs.papers.kinds import ENGLISH_CODE
from tests.gate.project import ROOT
from tests.programs.patient_texts import Text

#: The languages that have a catalogue: all but the one that the source is written in.
CODES = tuple(code for code in DECLARED if code != ENGLISH_CODE)


@dataclass(frozen=True, kw_only=True)
class Written:
    """A catalogue, its messages, and each English form with its translation."""

    code: str
    catalogue: Catalog
    messages: tuple[Message, ...]
    pairs: tuple[tuple[str, str], ...]


def place(code: str) -> Path:
    """Return where the catalogue of a language lies."""
    return ROOT / "programs" / "locale" / code / "LC_MESSAGES"


@cache
def written(code: str) -> Written:
    """Return the catalogue of a language."""
    with open(place(code) / "django.po", "rb") as file:
        catalogue = read_po(file, locale=code, abort_invalid=True)
    messages = tuple(message for message in catalogue if message.id)
    pairs = tuple(pair for message in messages for pair in _pairs(message))
    return Written(code=code, catalogue=catalogue, messages=messages, pairs=pairs)


def _pairs(message: Message) -> list[tuple[str, str]]:
    if isinstance(message.id, tuple):
        assert isinstance(message.string, tuple)
        return list(zip(message.id, message.string, strict=True))
    return [(message.id, str(message.string))]


def text_of(message: Message) -> Text:
    """Return the English of a message as the source has it."""
    held = message.id
    english, plural = held if isinstance(held, tuple) else (held, "")
    return Text(english=english, plural=plural, context=message.context or "")
