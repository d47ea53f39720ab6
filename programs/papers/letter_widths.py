"""How wide letters of the papers' typeface are, so that lines of text can be counted.

Read from the typeface itself, in thousandths of the letters' size; a test holds them against it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

_BY_WIDTH: Mapping[int, str] = {
    160: "'",
    205: ",.:;",
    233: "|",
    235: "’·",
    239: "l",
    254: "j",
    278: "i",
    280: " \N{NO-BREAK SPACE}",
    281: "!¡",
    300: "()",
    301: '"',
    311: "f",
    315: "[]",
    324: "t",
    340: "r",
    368: "-",
    377: "/",
    396: "_",
    398: "“”",
    402: "1",
    414: "I",
    429: "y",
    441: "v",
    460: "z",
    461: "x",
    471: "s",
    480: "–",
    490: "k",
    500: "c",
    510: "7J",
    520: "?¿",
    526: "a",
    528: "×",
    536: "u",
    539: "Le",
    546: "hn",
    548: "F",
    549: "2",
    558: "T",
    560: "g",
    562: "«»",
    564: "d",
    566: "bp",
    567: "E",
    574: "3",
    576: "q",
    552: "o",
    583: "5",
    589: "V",
    595: "Y",
    596: "S",
    598: "69",
    601: "P",
    602: "+=",
    607: "Z",
    614: "4",
    615: "8",
    618: "R",
    619: "B",
    623: "X",
    626: "A",
    627: "K",
    648: "0",
    654: "w",
    656: "C",
    673: "D",
    689: "N",
    690: "HU",
    705: "&",
    710: "G",
    727: "O",
    753: "Q",
    820: "M",
    840: "W",
    841: "m",
    927: "%œ",
}
#: Of a letter in the size of 1; an accent adds nothing.
WIDTHS: Mapping[str, float] = MappingProxyType(
    {letter: wide / 1000 for wide, letters in _BY_WIDTH.items() for letter in letters}
)
#: Of a letter that is not among them, such as one of another script.
OTHER = 0.7


@lru_cache(maxsize=8192)
def width_em(text: str) -> float:
    """Return how wide a text is, in units of its letters' size."""
    return sum(WIDTHS.get(unicodedata.normalize("NFD", letter)[0], OTHER) for letter in text)


@lru_cache(maxsize=32768)
def lines(text: str, room_em: float) -> int:
    """Return the lines that a text takes in a width, broken at its spaces."""
    count, filled = 1, 0.0
    for word in text.split():
        wide = width_em(word)
        if filled and filled + wide > room_em:
            count, filled = count + 1, 0.0
        filled += wide + WIDTHS[" "]
    return count
