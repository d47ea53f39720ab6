"""The five modalities in words, one row each: names, heads of columns, the order on the days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from patients.facts import codes
from patients.facts.before_first_visit import gettext_noop
from safety.findings import ALL, Modality

WHOLE_PROGRAM = "The whole program"


@dataclass(frozen=True, kw_only=True)
class Row:
    """What is said of a modality, wherever it is shown.

    title      what a patient's paper calls it, in English; looked up in her language there
    strength   the head of the column that tells how strong a dose is; empty where none does
    placed     its turn when sessions are given their days, 1 first: lifting needs days apart,
               the plate days without it; what may lie on any day comes last
    """

    code: Modality
    title: str
    strength: str
    placed: int

    @property
    def name(self) -> str:
        """Return what pages call it, with a capital: the label that its code has in the facts."""
        return codes.MODALITIES[self.code].capitalize()


_ROWS = (
    Row(
        code=Modality.PLATE,
        title=gettext_noop("Vibration plate"),
        strength="Peak, g",
        placed=2,
    ),
    Row(
        code=Modality.RESISTANCE,
        title=gettext_noop("Lifting"),
        strength="% of 1RM",
        placed=1,
    ),
    Row(
        code=Modality.IMPACT,
        title=gettext_noop("Firm steps and landings"),
        strength="Body weights",
        placed=3,
    ),
    Row(
        code=Modality.BALANCE,
        title=gettext_noop("Balance"),
        strength="Rung",
        placed=5,
    ),
    Row(
        code=Modality.POSTURE,
        title=gettext_noop("Posture"),
        strength="",
        placed=4,
    ),
)
MODALITIES: Mapping[Modality, Row] = MappingProxyType({row.code: row for row in _ROWS})
#: The modalities as they are given their days, one after the other.
AS_PLACED = tuple(row.code for row in sorted(_ROWS, key=lambda row: row.placed))


def about_words(about: str) -> str:
    """Return what a finding is about: the name of a modality, or the whole program.

    Raises ValueError for what is neither a modality nor "all".
    """
    return WHOLE_PROGRAM if about == ALL else MODALITIES[Modality(about)].name
