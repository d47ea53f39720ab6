"""Others of the same name who may be born on the same day, and what tells them apart."""

from __future__ import annotations

from django.db.models import Q

from patients.facts.partial_dates import first_span
from patients.models.finding import JOINED
from patients.models.patient import Patient
from patients.models.standing import TwoPeople
from patients.names import fold

#: Namesakes looked at for one banner; beyond, the first are named (project choice).
MOST = 20


def namesakes(patient: Patient) -> list[Patient]:
    """Return the others of her name who may be born when she was; not what stands under her.

    By the folded name, so that accents and capitals make nobody another person.
    """
    # Read with her row, so that a page of nobody's namesake asks nothing.
    if not getattr(patient, "has_namesake", True) or patient.findable.state == JOINED:
        return []
    span = first_span(patient.born, patient.born_is)
    rows = Patient.objects.filter(given_key=fold(patient.name)[:300])
    others = rows.exclude(pk=patient.pk).exclude(findable__state=JOINED).order_by("pk")[:MOST]
    return [one for one in others if first_span(one.born, one.born_is).overlaps(span)]


def told_apart(patient: Patient) -> list[tuple[Patient, str]]:
    """Return each namesake with what tells the two apart, for the banner.

    Their record numbers where either has one, else what was written when the second was added
    or the two were said to be two people, else their ids.
    """
    others = namesakes(patient)
    if not others:
        return []
    said = _said(patient, others)
    return [(other, _apart(patient, other, said.get(other.pk, ""))) for other in others]


def _said(patient: Patient, others: list[Patient]) -> dict[int, str]:
    """Return the reason that was given, by the id of the other."""
    among = Q(one=patient, other__in=others) | Q(other=patient, one__in=others)
    rows = TwoPeople.objects.filter(among).values_list("one_id", "other_id", "reason")
    return {other if one == patient.pk else one: reason for one, other, reason in rows}


def _apart(patient: Patient, other: Patient, said: str) -> str:
    why = f" Written down: {said}." if said else " Nobody has said yet that they are two people."
    if not (patient.record_number or other.record_number):
        return f"Tell them apart by id: {patient.pk} here, {other.pk} there.{why}"
    here, there = (one.record_number or "none" for one in (patient, other))
    return f"Record number {here} here, {there} there.{why}"
