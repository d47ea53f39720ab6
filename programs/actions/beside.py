"""Keeping what she says of a kind of loading, and what came of the prompts. Rows are only added."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone

from patients import audit
from patients.actions.patient_record import refuse_written
from patients.facts.units import clean_text
from patients.models.patient import Patient
from programs.actions.refusals import NotDone
from programs.beside.prompts import ANSWERS, PROMPTS, REFERRED
from programs.beside.said import NOTHING, REFUSES, SAID, Said
from programs.models.beside import KindSaid, PromptAnswer
from safety.findings import Modality

#: What the record calls them.
SAY, ANSWER = "say of a kind", "answer a prompt"
_STILL_TO_COME = "The day is still to come."


@dataclass(frozen=True, kw_only=True)
class Told:
    """What came of one prompt: its code, a code of ANSWERS, to whom, and a note."""

    prompt: str
    answer: str
    to: str = ""
    note: str = ""


def say_of_kind(
    *,
    patient: Patient,
    modality: Modality,
    said: str,
    words: str,
    asked_by: str,
    on: dt.date,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> KindSaid:
    """Keep consent or refusal of a kind, or that neither holds. It changes no draft.

    The same token gives what it gave before. Raises NotDone for an answer that is none, a refusal
    without her words, nobody who asked, or a day to come; Refused where nothing may be written.
    """
    hers, asker = words.strip(), clean_text(asked_by)
    if said not in SAID:
        raise NotDone("Say whether it is agreed to or not wanted.")
    if said == REFUSES and not hers:
        raise NotDone("Write down the refusal in the person’s own words.")
    if not asker:
        raise NotDone("Say who asked.")
    if on > timezone.localdate(at):
        raise NotDone(_STILL_TO_COME)
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, KindSaid)
        refuse_written(patient)
        row = KindSaid.objects.create(
            patient=patient,
            modality=str(modality),
            said=said,
            words=hers,
            asked_by=asker[:120],
            on=on,
            by=by,
            at=at,
        )
        audit.record(by=by, at=at, action=SAY, on=row, new=audit.state_of(row), token=token)
    return row


def answer_prompts(
    *,
    patient: Patient,
    told: Sequence[Told],
    on: dt.date,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> list[PromptAnswer]:
    """Keep what came of some prompts, all of it or nothing. It changes no draft.

    Sent twice it is kept once, and gives nothing the second time. Raises NotDone for a prompt or
    an answer that is none, a referral to nobody, or a day to come; Refused where nothing may be
    written.
    """
    if not told:
        raise NotDone("Answer at least one of them.")
    if on > timezone.localdate(at):
        raise NotDone(_STILL_TO_COME)
    for one in told:
        _check(one)
    rows: list[PromptAnswer] = []
    with audit.writing():
        if audit.done_before(token) is not None:
            return rows
        refuse_written(patient)
        for one in told:
            row = PromptAnswer.objects.create(
                patient=patient,
                prompt=one.prompt,
                answer=one.answer,
                to=clean_text(one.to)[:120] if one.answer == REFERRED else "",
                note=clean_text(one.note)[:200],
                on=on,
                by=by,
                at=at,
            )
            new = audit.state_of(row)
            # A token leads to one line.
            sent = None if rows else token
            audit.record(by=by, at=at, action=ANSWER, on=row, new=new, token=sent)
            rows.append(row)
    return rows


def _check(one: Told) -> None:
    if one.prompt not in PROMPTS or one.answer not in ANSWERS:
        raise NotDone("Say what came of it.")
    if one.answer == REFERRED and not clean_text(one.to):
        raise NotDone(f"{PROMPTS[one.prompt].title}: say to whom.")


def all_said(patient: Patient) -> QuerySet[KindSaid]:
    """Return all that was said of kinds, the newest first."""
    return KindSaid.objects.filter(patient=patient).select_related("by").order_by("-pk")


def all_answers(patient: Patient) -> QuerySet[PromptAnswer]:
    """Return all that came of prompts, the newest first."""
    return PromptAnswer.objects.filter(patient=patient).select_related("by").order_by("-pk")


def said_of_kinds(patient: Patient) -> dict[str, Said]:
    """Return what holds of each kind of which something does, by its code."""
    held: dict[str, Said] = {}
    for row in KindSaid.objects.filter(patient=patient).order_by("pk"):
        held[row.modality] = Said(said=row.said, words=row.words, on=row.on, asked_by=row.asked_by)
    return {kind: one for kind, one in held.items() if one.said != NOTHING}
