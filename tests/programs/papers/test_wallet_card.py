"""The wallet card: what helpers must know of her, from what was signed alone."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from programs.papers import ENGLISH, issue_of
from programs.papers.emergency import alarm
from programs.papers.wallet_card import BONES, MATTERS, WalletCard, wallet_card
from tests.programs.sample_papers import DIGEST, in_format_1, program_of, snapshot_of


def card(**medicines: Any) -> WalletCard:
    held = snapshot_of()
    held["facts"]["medicines"] = {"otherwise": "no", **medicines}
    program = program_of(held)
    return wallet_card(program, ENGLISH, issue_of(program, ENGLISH, digest=DIGEST, zone=dt.UTC))


def test_it_says_whose_it_is_and_whom_to_call() -> None:
    made = card()
    assert (made.name, made.born) == ("Orla Testwick", "14 August 1960")
    assert made.clinic == "Example bone clinic"
    assert made.alarm == alarm(program_of(snapshot_of()), ENGLISH)
    assert made.facts == (BONES,)


@pytest.mark.parametrize("code", MATTERS)
def test_a_medicine_that_matters_is_named(code: str) -> None:
    made = card(**{code: "yes"})
    assert made.facts == (BONES, f"I take, as known on 2 Mar 2026: {MATTERS[code]}.")
    assert card(**{code: "unknown"}).facts == (BONES,)
    assert card(**{code: "no"}).facts == (BONES,)


def test_several_are_named_in_one_line() -> None:
    glucocorticoid = {"answer": "yes", "mg_per_day": 5, "months": 12}
    made = card(anticoagulant="yes", glucocorticoid=glucocorticoid, antidepressant="yes")
    assert made.facts[1].endswith("blood thinner, cortisone by mouth (do not stop it at once).")


def test_a_program_of_the_first_format_has_its_card() -> None:
    held = in_format_1(snapshot_of("ending"))
    program = program_of(held)
    assert program.medicines == {"anticoagulant", "bone_medicine"}
