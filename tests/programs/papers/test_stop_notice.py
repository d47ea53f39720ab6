"""The notice of a stop: what it tells of one kind, of all, and of jumps without lifting."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.papers.paper_parts import ENGLISH
from programs.papers.stop_notice import Stop, stop_notice
from safety.findings import Modality
from tests.each import each
from tests.programs.sample_papers import program_of, snapshot_of

DAY = dt.date(2026, 3, 16)
JUMPS = "Leave out jumps and stamps too. Walk in their place."


def lines(*kinds: Modality) -> tuple[str, ...]:
    told = Stop(kinds=kinds, by="Marta Ferro", on=DAY)
    return stop_notice(program_of(snapshot_of()), ENGLISH, told).lines


def test_of_the_whole_program() -> None:
    assert lines()[0] == "Do not do any exercise of your plan until we give you a new one."
    assert "Marta Ferro stopped this on Monday 16 March 2026." in lines()


@each("kind", list(Modality))
def test_of_one_kind_the_rest_goes_on(kind: Modality) -> None:
    told = lines(kind)
    assert told[0].startswith("Do not do this any more: ")
    assert "You may go on with the rest of your plan." in told
    assert (JUMPS in told) is (kind is Modality.RESISTANCE)


@pytest.mark.parametrize("kinds", [(Modality.RESISTANCE, Modality.IMPACT)])
def test_jumps_that_are_stopped_are_not_named_twice(kinds: tuple[Modality, ...]) -> None:
    assert JUMPS not in lines(*kinds)
