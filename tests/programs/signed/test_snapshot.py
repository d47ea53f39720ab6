"""The text that is signed: one value one digest, any change found, old formats read for ever."""

import json
import random
import unicodedata
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from programs.signed.snapshot import (
    FIRST_DIGEST,
    FORMAT,
    Broken,
    Frozen,
    Signed,
    Unreadable,
    canonical,
    check_chain,
    digest_of,
    freeze,
    read,
    verify,
    wrong_with,
)

SAMPLES = Path(__file__).parents[2] / "snapshots"
#: Digest of each sample as it was written. Only ever added to.
WRITTEN = {
    "format-1.json": "ee9ae43f7e8009c47a843277c7775392fc82741691debf36af7f58a33238e3ac",
    "format-2.json": "d7dc827cc5beeeb5bcee449cc3606116f039c8f80b1ef3efb5e83749a642354f",
}

SIGNER = {
    "username": "m.ferro",
    "name": "Marta Ferro",
    "at": "2026-03-02T09:30:00+00:00",
    "meaning": "Reviewed.",
}
DRAFT = {"findings": [], "reviews": [], "rulebook": "2026.1", "weeks": []}


def frozen(version: int = 1, previous: str = FIRST_DIGEST, **more: Any) -> Frozen:
    """Return a small snapshot."""
    held: dict[str, Any] = {
        "patient": {"id": 7, "given_name": "Orla", "family_name": "Muñoz-Testwick"},
        "version": version,
        "replaces": version - 1 or None,
        "starts_on": "2026-03-02",
        "facts": {"format": "facts/1"},
        "draft": DRAFT,
        "edits": [],
        "left_out": {},
        "weeks": [{"week": 1, "minutes": 105.0}],
        "timetable": {"mon": ["balance"]},
        "signer": SIGNER,
        "clinic": {"name": "", "phone": "", "address": ""},
        "previous_digest": previous,
    }
    return freeze(**held | more)


def row(made: Frozen, number: int = 1, previous: str = FIRST_DIGEST, **more: Any) -> Signed:
    """Return a snapshot as the row that holds it."""
    held: dict[str, Any] = {
        "row": number,
        "body": made.body,
        "digest": made.digest,
        "previous_digest": previous,
        "patient_id": 7,
        "version": number,
        "signed_name": SIGNER["name"],
        "meaning": SIGNER["meaning"],
        "signed_at": SIGNER["at"],
        "rulebook": DRAFT["rulebook"],
        "format": FORMAT,
    }
    return Signed(**held | more)


def chain(length: int) -> list[Signed]:
    """Return that many signed programs, each bound to the one before."""
    rows: list[Signed] = []
    for number in range(1, length + 1):
        previous = rows[-1].digest if rows else FIRST_DIGEST
        rows.append(row(frozen(number, previous), number, previous))
    return rows


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"a": 1, "b": 2}, {"b": 2, "a": 1}),
        ({"a": {"x": 1, "y": [1, 2]}}, {"a": {"y": [1, 2], "x": 1}}),
        ("Muñoz", unicodedata.normalize("NFD", "Muñoz")),
        ({"Muñoz": 1}, {unicodedata.normalize("NFD", "Muñoz"): 1}),
        (json.loads('{ "a" :  [1,\n2] }'), json.loads('{"a":[1,2]}')),
        ([25.0, -2.5], [25, -2.50]),
        ((1, 2), [1, 2]),
        (["é" * 3], ["e\u0301" * 3]),
        ("\u212b", "\u00c5"),
        (json.loads('"\\u00f1"'), "ñ"),
    ],
)
def test_the_same_value_has_one_text(one: object, other: object) -> None:
    assert canonical(one) == canonical(other)
    assert digest_of(canonical(one)) == digest_of(canonical(other))


DIFFERENT: list[object] = [
    ["1", "23"],
    ["12", "3"],
    ["123"],
    "123",
    123,
    None,
    "",
    0,
    False,
    True,
    1,
    "1",
    [],
    {},
    [None],
    [""],
    [0],
    {"a": None},
    {"a": ""},
    {"a": 0},
    {"a": []},
    {"a": 1, "b": 2},
    {"a": 2, "b": 1},
    [1, 2],
    [2, 1],
    -2.5,
    2.5,
    "−2.5",
    "-2.5",
    " a",
    "a",
    "a ",
]


def test_different_values_have_different_digests() -> None:
    digests = {digest_of(canonical(value)) for value in DIFFERENT}
    assert len(digests) == len(DIFFERENT)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), {"a": "\ud800"}])
def test_what_json_cannot_hold_is_refused(value: object) -> None:
    with pytest.raises(ValueError):  # noqa: PT011  whatever the encoder calls it
        canonical(value)


def test_a_snapshot_is_read_as_it_was_frozen() -> None:
    made = frozen()
    told = read(made.body)
    assert told["format"] == FORMAT
    assert told["weeks"] == [{"week": 1, "minutes": 105}]
    assert told["patient"]["family_name"] == "Muñoz-Testwick"
    assert (told["rulebook"], told["replaces"]) == ("2026.1", None)
    assert verify(made.body, made.digest)
    assert made == frozen()


def test_each_flipped_bit_is_found() -> None:
    """Every byte of the text, one bit of each: Crosby and Wallach's question of every log."""
    made = frozen()
    raw = made.body.encode()
    chance = random.Random(4)
    for index in range(len(raw)):
        flipped = bytearray(raw)
        flipped[index] ^= 1 << chance.randrange(8)
        text = flipped.decode(errors="replace")
        assert not verify(text, made.digest), index


def test_a_digest_that_is_none_does_not_verify() -> None:
    assert not verify(frozen().body, "")
    assert not verify(frozen().body, "ñ" * 64)


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ("no json", "not a JSON"),
        ("[]", "not known"),
        ('{"format":3}', "not known"),
        ('{"format":2}', "lacks"),
        ('{"format":"1"}', "not known"),
        ('{"format":1}', "lacks"),
    ],
)
def test_what_is_no_snapshot_is_not_read(body: str, why: str) -> None:
    with pytest.raises(Unreadable, match=why):
        read(body)


def test_a_whole_chain_holds() -> None:
    assert check_chain([]) is None
    assert check_chain(chain(20)) is None


@pytest.mark.parametrize("at", range(8))
def test_a_chain_that_was_tampered_with_names_the_first_bad_row(at: int) -> None:
    rows = chain(8)
    removed = rows[:at] + rows[at + 1 :]
    doubled = rows[: at + 1] + rows[at:]
    swapped = [*rows[:at], *rows[at : at + 2][::-1], *rows[at + 2 :]]
    forged = [*rows[:at], row(frozen(99), 99), *rows[at:]]
    changed = [
        *rows[:at],
        replace(rows[at], body=rows[at].body.replace("105", "106")),
        *rows[at + 1 :],
    ]
    found = check_chain(changed)
    assert isinstance(found, Broken)
    assert found.row == rows[at].row
    for tampered in (doubled, forged):
        assert check_chain(tampered) is not None
    if at < 7:
        assert check_chain(removed) is not None
        assert check_chain(swapped) is not None


@pytest.mark.parametrize(
    "moved",
    [
        {"patient_id": 8},
        {"version": 3},
        {"signed_name": "Somebody Else"},
        {"meaning": "Not reviewed."},
        {"signed_at": "2026-03-03T09:30:00+00:00"},
        {"previous_digest": "1" * 64},
        {"rulebook": "2025.9"},
        {"format": 1},
    ],
)
def test_a_signature_moved_to_another_text_is_found(moved: dict[str, Any]) -> None:
    assert wrong_with(row(frozen())) == ""
    assert "another text" in wrong_with(replace(row(frozen()), **moved))


def test_a_sealed_text_that_is_no_snapshot_is_told() -> None:
    assert "not known" in wrong_with(row(Frozen(body="{}", digest=digest_of("{}"))))


def test_a_name_in_another_normal_form_is_the_same_name() -> None:
    signer = {**SIGNER, "name": "Zoë Ferro"}
    made = frozen(signer=signer)
    held = row(made, signed_name=unicodedata.normalize("NFD", "Zoë Ferro"))
    assert wrong_with(held) == ""


@pytest.mark.parametrize("name", sorted(WRITTEN))
def test_samples_of_every_format_are_read_for_ever(name: str) -> None:
    body = (SAMPLES / name).read_text(encoding="utf-8").rstrip("\n")
    assert verify(body, WRITTEN[name])
    told = read(body)
    assert told["signer"]["name"]
    assert len(told["weeks"]) == 26
    assert told["edits"]
    assert canonical(json.loads(body)) == body


def test_every_format_has_a_sample() -> None:
    assert {f"format-{number}.json" for number in range(1, FORMAT + 1)} == set(WRITTEN)
