"""Texts by the names of their columns, said in words without knowing the program they are of."""

from __future__ import annotations

from collections.abc import Mapping

from patients.facts.units import Unreadable
from programs.log.cells import in_words, read_cell
from programs.log.day import BY_NAME, Of


def day_words(told: Mapping[str, str]) -> tuple[str, ...]:
    """Return what texts tell of the day itself: "fall: yes", "pain 7"."""
    mine = (name.partition(".") for name in told)
    return tuple(_said(key, told[f"{of}.{key}"]) for of, _, key in mine if of == Of.DAY)


def _said(name: str, text: str) -> str:
    cell = BY_NAME[name]
    try:
        return in_words(cell, read_cell(cell, text))
    except Unreadable:
        return f"{cell.head.lower()}: {text}"
