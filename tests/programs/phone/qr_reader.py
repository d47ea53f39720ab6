"""A reader of QR codes, apart from what writes them: from modules to the text in them.

From the standard, ISO/IEC 18004, its tables from memory: level M, versions 1 to 10, one run of
bytes. It corrects nothing, but says so where the code words for correction do not fit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Modules = Sequence[Sequence[bool]]

#: Of level M, by version: code words for correction in a block, and the data words of each block.
BLOCKS = {
    1: (10, [16]),
    2: (16, [28]),
    3: (26, [44]),
    4: (18, [32] * 2),
    5: (24, [43] * 2),
    6: (16, [27] * 4),
    7: (18, [31] * 4),
    8: (22, [38] * 2 + [39] * 2),
    9: (22, [36] * 3 + [37] * 2),
    10: (26, [43] * 4 + [44]),
}
#: Where the centres of the small squares stand, by version.
CENTRES = {
    1: [],
    2: [6, 18],
    3: [6, 22],
    4: [6, 26],
    5: [6, 30],
    6: [6, 34],
    7: [6, 22, 38],
    8: [6, 24, 42],
    9: [6, 26, 46],
    10: [6, 28, 50],
}
#: What is laid over the data, by number: dark where it holds of row and column.
MASKS = (
    lambda i, j: (i + j) % 2 == 0,
    lambda i, j: i % 2 == 0,
    lambda i, j: j % 3 == 0,
    lambda i, j: (i + j) % 3 == 0,
    lambda i, j: (i // 2 + j // 3) % 2 == 0,
    lambda i, j: i * j % 2 + i * j % 3 == 0,
    lambda i, j: (i * j % 2 + i * j % 3) % 2 == 0,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2 == 0,
)
_OVER_FORMAT, _FORMAT_DIVISOR, _FIELD = 0x5412, 0x537, 0x11D
_LEVEL_M, _BYTES, _LONG_COUNT_FROM = 0, 4, 10
_CORNER, _BESIDE = 8, 6


class NotReadError(Exception):
    """Raised for modules that are no code which this reader knows, or not a whole one."""


def read(modules: Modules) -> str:
    """Return the text in a code, its quiet zone taken off. Raises NotReadError."""
    wide = len(modules)
    version = (wide - 17) // 4
    if version not in BLOCKS or wide != 17 + 4 * version or any(len(r) != wide for r in modules):
        raise NotReadError("this is not as wide as a code")
    bits = [*_data_bits(modules, version, _mask_of(modules))]
    words = [_number(bits[at : at + 8]) for at in range(0, len(bits) - len(bits) % 8, 8)]
    return _text(b"".join(_blocks(words, version)), version)


def _number(bits: Sequence[bool]) -> int:
    return int("".join("1" if bit else "0" for bit in bits), 2)


def _mask_of(modules: Modules) -> int:
    """Return the number of the mask, as both copies of the format tell it."""
    wide = len(modules)
    first = [modules[8][j] for j in (*range(6), 7, 8)]
    first += [modules[i][8] for i in (7, *range(5, -1, -1))]
    other = [modules[i][8] for i in range(wide - 1, wide - 8, -1)]
    other += [modules[8][j] for j in range(wide - 8, wide)]
    told = _number(first) ^ _OVER_FORMAT
    if first != other or _left_of(told) or told >> 13 != _LEVEL_M:
        raise NotReadError("its format cannot be read")
    return told >> 10 & 7


def _left_of(told: int) -> int:
    """Return what is left of the format's fifteen bits when they are divided; nothing is right."""
    for bit in range(14, 9, -1):
        if told >> bit & 1:
            told ^= _FORMAT_DIVISOR << (bit - 10)
    return told


def is_data(i: int, j: int, version: int) -> bool:
    """Tell whether a module holds data, not a square, a row of dots, the format or the version."""
    wide = 17 + 4 * version
    far = wide - _CORNER
    in_corner = (i <= _CORNER and (j <= _CORNER or j >= far)) or (i >= far and j <= _CORNER)
    if in_corner or _BESIDE in (i, j):
        return False
    if version >= 7 and ((i < 6 and j >= wide - 11) or (j < 6 and i >= wide - 11)):
        return False
    corners = {(6, 6), (6, wide - 7), (wide - 7, 6)}
    centres = {(a, b) for a in CENTRES[version] for b in CENTRES[version]} - corners
    return not any(abs(i - a) <= 2 and abs(j - b) <= 2 for a, b in centres)


def _data_bits(modules: Modules, version: int, mask: int) -> Iterator[bool]:
    """Yield the bits in pairs of columns from the right, up and down in turn."""
    wide, up = len(modules), True
    for right in (*range(wide - 1, _BESIDE, -2), *range(_BESIDE - 1, 0, -2)):
        for i in range(wide - 1, -1, -1) if up else range(wide):
            for j in (right, right - 1):
                if is_data(i, j, version):
                    yield bool(modules[i][j]) != MASKS[mask](i, j)
        up = not up


def _blocks(words: Sequence[int], version: int) -> list[bytes]:
    """Return the data of each block; the words of all blocks stand in turn."""
    correcting, lengths = BLOCKS[version]
    if len(words) < sum(lengths) + correcting * len(lengths):
        raise NotReadError("it is too short")
    blocks: list[list[int]] = [[] for _ in lengths]
    turn = iter(words)
    for n in range(max(lengths)):
        for block, length in zip(blocks, lengths, strict=True):
            if n < length:
                block.append(next(turn))
    for _ in range(correcting):
        for block in blocks:
            block.append(next(turn))
    if not all(_fits(block, correcting) for block in blocks):
        raise NotReadError("its words for correction do not fit: a module is another one")
    return [bytes(b[:length]) for b, length in zip(blocks, lengths, strict=True)]


def _fits(block: Sequence[int], correcting: int) -> bool:
    """Tell whether a block is nothing at each power of two of the field (Reed and Solomon)."""
    point = 1
    for _ in range(correcting):
        value = 0
        for word in block:
            value = _times(value, point) ^ word
        if value:
            return False
        point = _times(point, 2)
    return True


def _times(a: int, b: int) -> int:
    product = 0
    while b:
        if b & 1:
            product ^= a
        a, b = a << 1, b >> 1
        if a & 0x100:
            a ^= _FIELD
    return product


def _text(data: bytes, version: int) -> str:
    bits = [bool(byte >> n & 1) for byte in data for n in range(7, -1, -1)]
    if _number(bits[:4]) != _BYTES:
        raise NotReadError("it holds no bytes")
    begins = 4 + (16 if version >= _LONG_COUNT_FROM else 8)
    length = _number(bits[4:begins])
    ends = begins + 8 * length
    held = bytes(_number(bits[at : at + 8]) for at in range(begins, ends, 8))
    return held.decode("ascii")
