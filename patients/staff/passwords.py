"""Whether a password would soon be guessed, and why."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any

from zxcvbn import zxcvbn

#: What a guesser tries before it, as a power of ten; at this the estimate's own scale ends.
TRIES_LOG10 = 10
#: The estimate reads no more of a password than this.
READ_AT_MOST = 72
PRODUCT = "calcar"
#: Letters and digits that a password has at least beside the names in it.
BESIDE_NAMES = 6

_OWN = "user_inputs"
_WHY: Mapping[str, str] = MappingProxyType(
    {
        "repeat": "It repeats the same letters or the same word.",
        "sequence": "Letters or digits follow each other in their order.",
        "spatial": "Its keys lie beside each other on the keyboard.",
        "regex": "It holds a year, which is soon guessed.",
        "date": "It holds a date, which is soon guessed.",
        "dictionary": "It is, or is made of, words that many people use as a password.",
        _OWN: "It is made of your own name or the name of this program.",
        "bruteforce": "It is too short for what it is made of.",
    }
)
#: Rows of a keyboard, of which a piece forwards or backwards is no secret.
_KEY_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop", "azertyuiop", "1234567890")


def why_guessed(password: str, names: Collection[str] = ()) -> str:
    """Return why a password would soon be guessed, or nothing where it would not.

    names   of the person: full name and name of the account
    """
    own = _own_words(names)
    if _little_beside(password, own):
        return _WHY[_OWN]
    found = zxcvbn(password[:READ_AT_MOST], user_inputs=sorted(own))
    if float(found["guesses_log10"]) >= TRIES_LOG10:
        return ""
    return _WHY[_reason(found["sequence"], password)]


def _own_words(names: Collection[str]) -> set[str]:
    words = {PRODUCT}
    for name in names:
        whole = name.casefold().strip()
        words |= {whole, re.sub(r"\W+", "", whole), *re.split(r"\W+", whole)}
    return {word for word in words if len(word) > 1}


def _little_beside(password: str, own: Collection[str]) -> bool:
    """Tell whether little is left of a password without the names in it."""
    left = password.casefold()
    for word in sorted((word for word in own if len(word) > 2), key=len, reverse=True):
        left = left.replace(word, "")
    return left != password.casefold() and len(re.sub(r"\W|_", "", left)) < BESIDE_NAMES


def _reason(parts: list[dict[str, Any]], password: str) -> str:
    """Return which kind of part makes it weak: the one that takes up most of the password."""
    if any(_of_names(part) for part in parts):
        return _OWN
    widest = max(parts, key=lambda part: len(part["token"]))
    if widest["pattern"] == "dictionary" and _key_row(widest["token"]):
        return "spatial"
    kind: str = widest["pattern"]
    return kind


def _of_names(part: dict[str, Any]) -> bool:
    """Tell whether a part is one of the names, or repeats one."""
    if part["pattern"] == "repeat":
        return any(_of_names(one) for one in part["base_matches"])
    return bool(part.get("dictionary_name") == _OWN)


def _key_row(token: str) -> bool:
    typed = token.lower()
    return any(typed in row or typed[::-1] in row for row in _KEY_ROWS)
