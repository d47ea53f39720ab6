"""Whom to call in an emergency, set once for each language; today's number and words on papers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from programs.actions.clinic import Details, details_in_force
from programs.actions.languages import Held, languages_on
from programs.actions.number_room import CLINIC_EM, EMERGENCY_EM, why_no_room
from programs.actions.refusals import NotDone
from programs.languages import ready
from programs.models.clinic import EmergencyNumber
from programs.papers.kinds import ENGLISH_CODE
from programs.signed.program import Clinic, SignedProgram

#: A number that is dialled has two digits at least.
LEAST_DIGITS = 2
CHANGED = (
    "Somebody else set a number after you had opened this page. What is set now is on "
    "the clinic's page; what you typed is below. Save again to put it in its place."
)


@dataclass(frozen=True, kw_only=True)
class Emergency:
    """What papers in a language say of an emergency; empty where nothing is set."""

    language: str
    number: str = ""
    words: str = ""


def why_no_number(number: str) -> str:
    """Return why a number cannot be set; nothing where it can. An empty one takes it back."""
    if number and sum(sign.isdecimal() for sign in number) < LEAST_DIGITS:
        return "Write the number as it is dialled, such as 112."
    return why_no_room(number, EMERGENCY_EM)


def why_no_phone(number: str) -> str:
    """Return why the clinic's telephone cannot be set; nothing where it can."""
    return why_no_room(number, CLINIC_EM)


def emergencies_in_force() -> dict[str, Emergency]:
    """Return what is set for each language in which papers are made here.

    Words from before they were kept by language stand for English until that is set.
    """
    held = _in_force(details_in_force())
    return {code: held[code] for code, _ in languages_on()}


def _in_force(
    details: Details, rows: Iterable[EmergencyNumber] | None = None
) -> dict[str, Emergency]:
    held = {one.code: Emergency(language=one.code) for one in ready()}
    held[ENGLISH_CODE] = Emergency(language=ENGLISH_CODE, words=details.emergency)
    for row in EmergencyNumber.objects.all() if rows is None else rows:
        if row.language in held:
            told = {"number": row.number, "words": row.words}
            held[row.language] = Emergency(language=row.language, **told)
    return held


def newest_row() -> int:
    """Return the number of the last row that was set; 0 where nothing ever was."""
    return EmergencyNumber.objects.values_list("pk", flat=True).last() or 0


def set_emergencies(
    *,
    given: Sequence[Emergency],
    by: User,
    at: dt.datetime,
    seen: int | None = None,
    token: UUID | None = None,
) -> None:
    """Set whom to call, a language each; those that are so already stay as they are.

    Papers made from now on have it, those of programs signed before as well.

    seen   the newest row when the form was shown; None where nobody had been shown any
    Raises NotDone for a number that cannot be set, or where somebody else set one meanwhile.
    """
    if problem := next(filter(None, (why_no_number(one.number) for one in given)), ""):
        raise NotDone(problem)
    with audit.writing():
        if audit.done_before(token) is not None:
            return
        if seen is not None and seen != newest_row():
            raise NotDone(CHANGED)
        before = _in_force(details_in_force())
        for one in given:
            if one != before[one.language]:
                _set(one, before[one.language], by, at, token)
                # A token leads to one line.
                token = None


def _set(one: Emergency, before: Emergency, by: User, at: dt.datetime, token: UUID | None) -> None:
    new = vars(one)
    row = EmergencyNumber.objects.create(**new, by=by, at=at)
    audit.record(
        by=by,
        at=at,
        action="set emergency number",
        on=row,
        old=vars(before),
        new=new,
        token=token,
    )


# --- What is missing --------------------------------------------------------------------------


def missing_numbers(
    details: Details | None = None,
    languages: Held | None = None,
    numbers: Iterable[EmergencyNumber] | None = None,
) -> tuple[str, ...]:
    """Return which numbers papers would have to leave blank.

    details, languages, numbers   what the clinic has set, where that was already read
    """
    return tuple(_missing(details or details_in_force(), languages, numbers))


def _missing(
    details: Details, languages: Held | None, numbers: Iterable[EmergencyNumber] | None
) -> Iterator[str]:
    held = _in_force(details, numbers)
    for code, name in languages_on(languages):
        if not held[code].number:
            yield f"the emergency number for papers in {name}"
    if not details.phone:
        yield "the clinic's telephone"


# --- On papers --------------------------------------------------------------------------------


def with_numbers_of_today(program: SignedProgram, language: str) -> SignedProgram:
    """Return a signed program with the clinic's numbers and words as they are now.

    They are no dose: nothing else of what was signed is other than it was. What is not set now
    stays as it was signed.
    """
    return replace(program, clinic=_today(program.clinic, details_in_force(), language))


def _today(signed: Clinic, details: Details, language: str) -> Clinic:
    now = _in_force(details)[language]
    is_set = bool(now.number or now.words)
    return replace(
        signed,
        phone=details.phone or signed.phone,
        number=now.number,
        emergency=now.words if is_set else signed.emergency,
    )


def clinic_of_today(language: str) -> Clinic:
    """Return the clinic as papers say it that are nobody's own."""
    held = details_in_force()
    named = Clinic(name=held.name, phone="", address=held.address, emergency="")
    return _today(named, held, language)


def numbers_told(clinic: Clinic) -> Mapping[str, str]:
    """Return what the record tells of the numbers on a paper."""
    return {"phone": clinic.phone, "number": clinic.number, "emergency": clinic.emergency}
