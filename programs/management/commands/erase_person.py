"""Erase a person by law: named, confirmed, and told by the record for ever."""

import sys
from collections.abc import Iterator
from typing import Any

from django.contrib.auth.models import User
from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from patients.models.patient import Patient
from patients.standing import erasure_of, erasure_words
from programs.actions.copies_elsewhere import copies_elsewhere
from programs.actions.erasing import Goes, erase_person, what_goes, why_not_erased
from programs.actions.refusals import NotDone
from programs.machine.copies import rub_out
from programs.machine.refusals import NotPossible
from programs.management.answering import AnsweredCommand

SURE = "erase"
STAYS = (
    "What stays: her number; that programs were signed, by whom and when, with their digests and "
    "seals; the places of the lines about her, each with its day, what was done and by whom; who "
    "looked at her pages; this reason. It names her no more. Everybody signs in again."
)
NOT_SEARCHED = "Free words about her in somebody else's record are not searched for."


class Command(AnsweredCommand):
    help = (
        "Erase a person by law: her names, facts, log, reviews, drafts, papers and what she "
        "signed for go for good; the chains stay whole and say that it was done. Says first in "
        "words what goes and what stays, and asks. --by a clinician is needed."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("id", type=int, help="as the banner of the patient's pages has it")
        parser.add_argument("record_number", help="hers; both must match. '' where she has none")
        parser.add_argument("--why", required=True, help="the law or the request; without her name")
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def handle(self, *args: Any, id: int, record_number: str, by: User | None, **more: Any) -> None:
        patient, why = _patient(id, record_number), more["why"]
        if by is None:
            raise CommandError("Say who asks for it: --by USERNAME.")
        if why_not := why_not_erased(patient=patient, by=by, why=why):
            raise CommandError(f"{why_not} Nothing was erased.")
        goes = what_goes(patient)
        elsewhere = list(copies_elsewhere(goes.records, timezone.now()))
        self.stdout.write("\n".join(_words(goes, elsewhere)))
        self._ask(patient, sure=more["yes"])
        try:
            made = erase_person(patient=patient, why=why, by=by, at=timezone.now())
        except NotDone as refusal:
            raise CommandError(f"{refusal} Nothing was erased.") from refusal
        self.stdout.write(erasure_words(made))
        self._finish(elsewhere)

    def _ask(self, patient: Patient, *, sure: bool) -> None:
        if sure:
            return
        if not sys.stdin.isatty():
            raise CommandError("Nothing was erased. To go on without a question: --yes")
        # Asked with her name, by which a slip is seen; what is printed otherwise may be kept.
        whom = f"{patient.name}, born {patient.born_words}"
        said = input(f"This is {whom}. It cannot be taken back. Type {SURE} to go on: ")
        if said.strip().lower() != SURE:
            raise CommandError("Nothing was erased.")

    def _finish(self, elsewhere: list[str]) -> None:
        try:
            rub_out()
        except NotPossible as refusal:
            self.stderr.write(
                "She is erased from every table, but parts may be left in the free space of the "
                f"database's files. {refusal} The command manage.py rub_out does that part again."
            )
        if elsewhere:
            self.stdout.write(f"Still holding her, as listed above: {len(elsewhere)}.")


def _patient(number: int, record_number: str) -> Patient:
    if (gone := erasure_of(number)) is not None:
        raise CommandError(erasure_words(gone))
    found = Patient.objects.filter(pk=number).first()
    if found is None or found.record_number != record_number.strip():
        raise CommandError(
            f"Nobody has the id {number} together with this record number. Nothing was erased."
        )
    return found


def _words(goes: Goes, elsewhere: list[str]) -> Iterator[str]:
    numbers = ", ".join(map(str, goes.records))
    yield f"What goes, of record {numbers}, for good:"
    for title, count in goes.went.items():
        yield f"  {title}: {count}"
    yield f"  What {goes.lines} lines of the record told: old and new values, and reasons"
    yield f"Of {goes.signed} signed programs the content and its salt go, and the signature stays."
    yield STAYS
    if goes.found:
        yield "NOT AS IT WAS RECORDED, before anything is erased; it is kept with the erasure:"
        yield from (f"  {one}" for one in goes.found)
    yield "Not reached by this, and still holding her:" if elsewhere else NO_COPY
    yield from (f"  {one}" for one in elsewhere)
    yield NOT_SEARCHED


NO_COPY = "The record knows of no copy of the database made since she is on it."
