"""Names as people look for them: folded for search, compared for likeness."""

from __future__ import annotations

import unicodedata
from difflib import SequenceMatcher

#: Letters that no accent explains, as they are commonly typed without them.
_LETTERS = str.maketrans(
    {"ø": "o", "đ": "d", "ð": "d", "ł": "l", "æ": "ae", "œ": "oe", "þ": "th", "ı": "i"}
    | {"ħ": "h", "ŧ": "t", "ŋ": "n"}
)
#: Signs within a word, in all their shapes: they go, and the word stays one.
_WITHIN_A_WORD = str.maketrans("", "", "'’‘‛`´ʻʼʽʹʾʿ′＇.")
#: A slip is forgiven in names of so many letters (project choice).
SHORTEST_SLIPPED = 5
#: Names at least this alike are worth a second look (project choice).
_ALIKE = 0.8


def fold(text: str) -> str:
    """Return the text for search: small letters without accents, single spaces.

    Apostrophes and points go, hyphens and commas become spaces: "O'Grady-Muñoz" is
    "ogrady munoz".
    """
    bare = unicodedata.normalize("NFKD", text.translate(_WITHIN_A_WORD).casefold())
    # Invisible signs come along when a name is pasted.
    seen = (c for c in bare if not unicodedata.combining(c) and unicodedata.category(c) != "Cf")
    letters = "".join(seen).translate(_LETTERS)
    return " ".join("".join(c if c.isalnum() else " " for c in letters).split())


def spelt(*names: str) -> str:
    """Return all the words by which a person is found, folded, with a space on either side.

    A name of several words stands there once more as one: "Mc Carthy" is found by mccarthy.
    """
    folded = [text for name in names if (text := fold(name))]
    as_one = [text.replace(" ", "") for text in folded if " " in text]
    return f" {' '.join((*folded, *as_one))} "


def one_less(word: str) -> frozenset[str]:
    """Return the word and all that is left of it without one of its letters.

    Two words that differ by one slip have one of these in common.
    """
    return frozenset({word, *(word[:at] + word[at + 1 :] for at in range(len(word)))})


def covering(text: str) -> tuple[str, ...]:
    """Return trigrams that together cover a text of three signs or more, each once."""
    starts = [*range(0, len(text) - 2, 3), len(text) - 3]
    return tuple(dict.fromkeys(text[start : start + 3] for start in starts))


def keys_of(name: str) -> frozenset[str]:
    """Return the keys by which a slip of a name is found; a short name has none."""
    return one_less(name) if len(name) >= SHORTEST_SLIPPED and name.isalpha() else frozenset()


def one_slip(one: str, other: str) -> bool:
    """Tell whether two words differ by one letter wrong, too many, missing, or by two swapped."""
    if one == other or abs(len(one) - len(other)) > 1:
        return False
    at = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), None)
    if at is None:
        return True
    rest, others = one[at:], other[at:]
    swapped = rest[1:2] + rest[:1] + rest[2:]
    return others in (swapped, rest[1:]) or others[1:] in (rest, rest[1:])


def alike(one: str, other: str) -> bool:
    """Tell whether two names may be one, spelt differently."""
    a, b = fold(one), fold(other)
    return a == b or SequenceMatcher(None, a, b).ratio() >= _ALIKE
