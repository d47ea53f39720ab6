"""What she said of the kinds of loading, and what came of the prompts, for the doctor's letter.

As it was when the plan was signed: what was told afterwards is left out, so that a letter that is
made later says the same.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from programs.actions.beside import all_answers, all_said
from programs.beside.prompts import ANSWERS, PROMPTS
from programs.beside.said import NOTHING, Said
from programs.models.beside import PromptAnswer
from programs.models.program import SignedPlan
from safety.findings import Modality
from safety.modalities import MODALITIES


@dataclass(frozen=True, kw_only=True)
class ToldBeside:
    """A line for each kind that she agreed to or does not want, and for each prompt answered."""

    said: tuple[str, ...]
    prompts: tuple[str, ...]


def told_beside(signed: SignedPlan) -> ToldBeside:
    """Return what held when a plan was signed."""
    return ToldBeside(said=tuple(_said(signed)), prompts=tuple(_prompts(signed)))


def _said(signed: SignedPlan) -> Iterator[str]:
    rows = all_said(signed.patient).filter(at__lte=signed.signed_at).order_by("pk")
    newest = {row.modality: row for row in rows}
    for kind in Modality:
        row = newest.get(kind)
        if row is not None and row.said != NOTHING:
            said = Said(said=row.said, words=row.words, on=row.on, asked_by=row.asked_by)
            yield f"{MODALITIES[kind].name}: {said.text}"


def _prompts(signed: SignedPlan) -> Iterator[str]:
    rows = all_answers(signed.patient).filter(at__lte=signed.signed_at).order_by("pk")
    newest = {row.prompt: row for row in rows}
    for code, prompt in PROMPTS.items():
        if code in newest:
            yield f"{prompt.title}: {_answer(newest[code])}"


def _answer(row: PromptAnswer) -> str:
    """Return "referred to the ward physiotherapist, 2 Mar 2026. Rails first."."""
    told = " ".join(part for part in (ANSWERS[row.answer], row.to) if part)
    note = f" {row.note}" if row.note else ""
    return f"{told}, {_day(row.on)}.{note}"


def _day(day: dt.date) -> str:
    return f"{day.day} {day:%b %Y}"
