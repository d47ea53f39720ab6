"""Names as people look for them: folded for search, compared for likeness."""

from __future__ import annotations

import unicodedata
from difflib import SequenceMatcher

#: Letters that no accent explains, as they are commonly typed without them.
_LETTERS = str.maketrans({"ø": "o", "đ": "d", "ð": "d", "ł": "l", "æ": "ae", "œ": "oe", "þ": "th"})
#: Names at least this alike are worth a second look (project choice).
_ALIKE = 0.8


def fold(text: str) -> str:
    """Return the text for search: small letters without accents, single spaces.

    Apostrophes and points go, hyphens and commas become spaces: "O'Grady-Muñoz" is
    "ogrady munoz".
    """
    bare = unicodedata.normalize("NFKD", text.casefold()).translate(_LETTERS)
    letters = (c for c in bare if not unicodedata.combining(c) and c not in "'’‘`.")
    return " ".join("".join(c if c.isalnum() else " " for c in letters).split())


def alike(one: str, other: str) -> bool:
    """Tell whether two names may be one, spelt differently."""
    a, b = fold(one), fold(other)
    return a == b or SequenceMatcher(None, a, b).ratio() >= _ALIKE
