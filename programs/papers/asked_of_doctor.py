"""What is asked of a doctor: leave that findings wait for, and what they refer for.

Read from the findings, those that were signed or today's; a finding that was cleared asks nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol

from patients.facts.codes import MODALITIES
from programs.papers.numbers import line_start
from safety.findings import Level


class Found(Protocol):
    """What a finding has, whether it was signed or is of today."""

    @property
    def level(self) -> Level:
        """How serious it is."""

    @property
    def about(self) -> str:
        """A modality, or "all"."""

    @property
    def text(self) -> str:
        """What it says."""

    @property
    def cleared(self) -> bool:
        """Whether a clearance lifts what it asks."""


@dataclass(frozen=True, kw_only=True)
class Request:
    """One thing that is asked of a doctor; kinds are those that leave is asked for."""

    kinds: tuple[str, ...]
    text: str

    @property
    def words(self) -> str:
        """Return it as a sentence."""
        if not self.kinds:
            return self.text
        named = ", ".join(MODALITIES.get(kind, "the program") for kind in self.kinds)
        return f"Leave for {named}: {self.text}"


def requests(findings: Iterable[Found]) -> tuple[Request, ...]:
    """Return what is asked, a line for each reason; leave first, then what is referred."""
    leave: dict[str, list[str]] = {}
    refer: dict[str, None] = {}
    for one in findings:
        if one.level is Level.NEEDS_CLEARANCE and not one.cleared:
            leave.setdefault(one.text, []).append(one.about)
        elif one.level is Level.REFER:
            refer[line_start(one.text.removeprefix("Refer: "))] = None
    asked = [Request(kinds=tuple(dict.fromkeys(kinds)), text=text) for text, kinds in leave.items()]
    return (*asked, *(Request(kinds=(), text=text) for text in refer))
