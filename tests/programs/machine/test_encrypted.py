"""Encrypted copies: what was changed, cut or moved is refused before anything is written."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from programs.machine import encrypted
from programs.machine.encrypted import MAGIC, decrypt, encrypt, head_of, is_encrypted
from programs.machine.refusals import NotPossible

PHRASE = "seven quiet herons at dawn"
PIECE = 1000
SEALED = PIECE + 16


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(encrypted._SCRYPT, "n", 2**4)
    monkeypatch.setattr(encrypted, "PIECE", PIECE)


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    file = tmp_path / "plain"
    file.write_bytes(os.urandom(3 * PIECE + 10))
    return file


@pytest.fixture
def made(plain: Path, tmp_path: Path) -> Path:
    file = tmp_path / "made"
    encrypt(plain, file, phrase=PHRASE, key="0123456789abcdef")
    return file


def refused(file: Path, tmp_path: Path, phrase: str = PHRASE) -> str:
    with pytest.raises(NotPossible) as refusal:
        decrypt(file, tmp_path / "back", phrase=phrase)
    assert not (tmp_path / "back").exists()
    return str(refusal.value)


@pytest.mark.parametrize("size", [0, 1, PIECE - 1, PIECE, PIECE + 1, 2 * PIECE, 5 * PIECE + 7])
def test_what_goes_in_comes_out(tmp_path: Path, size: int) -> None:
    plain, made, back = (tmp_path / name for name in ("plain", "made", "back"))
    plain.write_bytes(os.urandom(size))
    encrypt(plain, made, phrase=PHRASE, key="0123456789abcdef")
    decrypt(made, back, phrase=PHRASE)
    assert back.read_bytes() == plain.read_bytes()


def test_o08_a_copy_that_travels_can_be_read_by_nobody_else(plain: Path, tmp_path: Path) -> None:
    """O08: the copy that travels was in clear text."""
    plain.write_bytes(b"SQLite format 3\0" + b"Nelda Thornwick " * 300)
    made = tmp_path / "made"
    encrypt(plain, made, phrase=PHRASE, key="0123456789abcdef")
    assert b"Thornwick" not in made.read_bytes()
    assert b"SQLite" not in made.read_bytes()
    assert is_encrypted(made)
    assert not is_encrypted(plain)


def test_it_names_the_key_and_holds_no_pass_phrase(made: Path) -> None:
    assert head_of(made)["key"] == "0123456789abcdef"
    assert PHRASE.encode() not in made.read_bytes()


def test_two_copies_of_the_same_have_nothing_in_common(plain: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    for file in (one, two):
        encrypt(plain, file, phrase=PHRASE, key="k")
    body = [file.read_bytes()[-PIECE:] for file in (one, two)]
    assert body[0] != body[1]


def test_another_pass_phrase(made: Path, tmp_path: Path) -> None:
    assert "pass phrase is not the one" in refused(made, tmp_path, PHRASE + " ")


def pieces(data: bytes) -> tuple[bytes, list[bytes]]:
    start = data.index(b"\n", len(MAGIC)) + 1 + 32
    body = data[start:]
    return data[:start], [body[at : at + SEALED] for at in range(0, len(body), SEALED)]


def swapped(data: bytes) -> bytes:
    head, (first, second, *others) = pieces(data)
    return head + second + first + b"".join(others)


def without_the_last(data: bytes) -> bytes:
    head, parts = pieces(data)
    return head + b"".join(parts[:-1])


def with_the_last_twice(data: bytes) -> bytes:
    head, parts = pieces(data)
    return head + b"".join([*parts, parts[-1]])


def without_any(data: bytes) -> bytes:
    return pieces(data)[0]


BENT: list[Callable[[bytes], bytes]] = [
    swapped,
    without_the_last,
    with_the_last_twice,
    without_any,
    lambda data: data[:-1],
    lambda data: data[: len(data) // 2],
    lambda data: data + b"\0",
]


@pytest.mark.parametrize("bend", BENT)
def test_pieces_cut_swapped_or_missing(
    made: Path, tmp_path: Path, bend: Callable[[bytes], bytes]
) -> None:
    made.write_bytes(bend(made.read_bytes()))
    assert "cut off or was changed" in refused(made, tmp_path)


def test_any_changed_byte_is_noticed(made: Path, tmp_path: Path) -> None:
    data = made.read_bytes()
    for at in [*range(0, 400, 3), *range(400, len(data), 97), len(data) - 1]:
        made.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
        assert refused(made, tmp_path), at


def test_a_piece_of_another_copy(made: Path, plain: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    encrypt(plain, other, phrase=PHRASE, key="0123456789abcdef")
    head, parts = pieces(made.read_bytes())
    foreign = pieces(other.read_bytes())[1]
    made.write_bytes(head + parts[0] + foreign[1] + b"".join(parts[2:]))
    assert "piece 2" in refused(made, tmp_path)


@pytest.mark.parametrize(
    "head",
    [b"", b"{}\n", b"[]\n", b"no json\n", b'{"nonce": "00", "salt": ""}\n'],
)
def test_a_head_that_is_none(tmp_path: Path, head: bytes) -> None:
    file = tmp_path / "made"
    file.write_bytes(MAGIC + head)
    assert "beginning was changed" in refused(file, tmp_path)


def test_a_head_that_asks_for_all_memory(made: Path, tmp_path: Path) -> None:
    magic, line, rest = made.read_bytes().split(b"\n", 2)
    asks = json.dumps({**json.loads(line), "n": 2**30}).encode()
    made.write_bytes(b"\n".join([magic, asks, rest]))
    assert "beginning was changed" in refused(made, tmp_path)


def test_no_encrypted_copy_at_all(plain: Path, tmp_path: Path) -> None:
    assert "not an encrypted copy" in refused(plain, tmp_path)
