"""Who may be on record twice: found when a person is entered or changed, and kept as a list.

The list is worked out from what is kept, so that it has no line of its own in the record; that
two records are two people's is said by somebody, and has one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Protocol
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import Q

from patients import audit
from patients.actions.refusals import Refused
from patients.facts.partial_dates import first_span
from patients.facts.units import clean_text
from patients.models.finding import OPEN
from patients.models.patient import Patient
from patients.models.standing import PossibleDouble, TwoPeople
from patients.names import alike, fold
from patients.search import born_within


class Who(Protocol):
    """Somebody by name and date of birth, on record or not."""

    @property
    def given_name(self) -> str: ...
    @property
    def family_name(self) -> str: ...
    @property
    def born(self) -> dt.date: ...
    @property
    def born_is(self) -> str: ...
    @property
    def record_number(self) -> str: ...


def same_person(who: Who) -> list[Patient]:
    """Return who may be this person: born the same day with a like name, or the same number."""
    span = first_span(who.born, who.born_is)
    born = Patient.objects.filter(born_within((span,), "findable__"))
    key = fold(who.record_number)
    numbered = Patient.objects.filter(record_key=key) if key else Patient.objects.none()
    like = [patient for patient in born if _like(patient, who)]
    return list({p.pk: p for p in (*like, *numbered)}.values())


def _like(patient: Patient, who: Who) -> bool:
    same_given = fold(patient.given_name) == fold(who.given_name)
    return same_given or alike(patient.family_name, who.family_name)


def keep_possible(patient: Patient) -> None:
    """Bring the list of possible doubles to what is now known of a person, inside writing()."""
    PossibleDouble.objects.filter(Q(one=patient) | Q(other=patient)).delete()
    if patient.findable.state != OPEN:
        return
    for match in same_person(patient):
        one, other = in_order(patient, match)
        if match.pk == patient.pk or match.findable.state != OPEN:
            continue
        if not TwoPeople.objects.filter(one=one, other=other).exists():
            PossibleDouble.objects.create(one=one, other=other)


def in_order(one: Patient, other: Patient) -> tuple[Patient, Patient]:
    """Return both, the lower number first."""
    return (one, other) if one.pk < other.pk else (other, one)


def two_people(
    *,
    one: Patient,
    other: Patient,
    reason: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> None:
    """Say that two records are of two people; they leave the list of possible doubles.

    Said twice it stays as it was said first. Raises Refused without a reason.
    """
    why = clean_text(reason)[:200]
    if not why:
        raise Refused("Say how you know that they are two people.")
    with audit.writing():
        if audit.done_before(token) is None:
            say_two_people(one, [other], why, by, at, token)


def say_two_people(
    patient: Patient,
    others: Iterable[Patient],
    why: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> None:
    """Keep that each of the others is another person, inside writing()."""
    for match in others:
        one, other = in_order(patient, match)
        if TwoPeople.objects.filter(one=one, other=other).exists():
            continue
        row = TwoPeople.objects.create(one=one, other=other, reason=why, by=by, at=at)
        new = audit.state_of(row)
        audit.record(by=by, at=at, action="two people", on=row, new=new, reason=why, token=token)
        PossibleDouble.objects.filter(one=one, other=other).delete()
