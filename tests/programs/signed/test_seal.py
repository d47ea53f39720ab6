"""The keyed seal's own parts: what it covers, the commitment, the order of the chain."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from programs.signed.seal import FIRST_SEAL, Link, Sealed, check_seals, commitment_of

HELD: dict[str, Any] = {
    "number": 1,
    "row": 2,
    "plan": 3,
    "patient": 4,
    "version": 1,
    "signer": 5,
    "signed_name": "Marta Ferro",
    "meaning": "reviewed",
    "signed_at": "2026-03-02T09:30:00",
    "rulebook": "2027.1",
    "format": 2,
    "digest": "a" * 64,
    "commitment": "b" * 64,
    "previous_seal": FIRST_SEAL,
}


def test_each_of_what_it_covers_changes_what_is_sealed() -> None:
    one = Sealed(**HELD)
    for field in fields(Sealed):
        held = getattr(one, field.name)
        other = held + 1 if isinstance(held, int) else f"{held}x"
        assert replace(one, **{field.name: other}).text != one.text, field.name


def test_the_content_is_bound_and_not_told() -> None:
    """Without the salt the same content gives another commitment."""
    salt, other = "01" * 32, "02" * 32
    assert commitment_of("a text", salt) == commitment_of("a text", salt)
    assert commitment_of("a text", salt) != commitment_of("another", salt)
    assert commitment_of("a text", salt) != commitment_of("a text", other)


def links() -> list[Link]:
    seals = [FIRST_SEAL, "1" * 64, "2" * 64, "3" * 64]
    return [
        Link(number=n, row=n + 10, previous_seal=seals[n - 1], seal=seals[n], holds=True)
        for n in (1, 2, 3)
    ]


def test_a_whole_chain_of_seals_holds() -> None:
    assert check_seals(links()) is None
    assert check_seals([]) is None


def test_the_first_seal_that_does_not_hold_is_named() -> None:
    one, two, three = links()
    tried = {
        "is missing": [one, three],
        "does not follow": [one, replace(two, previous_seal="9" * 64), three],
        "does not hold": [one, replace(two, holds=False), three],
    }
    for words, chain in tried.items():
        broken = check_seals(chain)
        assert broken is not None
        assert words in broken.why
        assert broken.row == (13 if words == "is missing" else 12)
