"""How a record stands today, read from its rows: open, closed, joined to another, or erased."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from django.db import DEFAULT_DB_ALIAS
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from patients.audit import printed_name
from patients.facts.in_words import day_text
from patients.models.erasure import PersonErasure
from patients.models.finding import CLOSED, JOINED, OPEN, Findable
from patients.models.patient import ERASED, Patient
from patients.models.standing import DIED, Closing, Join

#: Why nothing may be entered in a record that is not open.
WHY_NOT_WRITTEN: Mapping[str, str] = MappingProxyType(
    {
        CLOSED: "This record is closed. Open it again first.",
        JOINED: "This record is joined to another one of the same person. Write there.",
        ERASED: "This record was erased by law.",
    }
)


def in_lists(patient: str = "patient") -> Q:
    """Return the condition that a row's patient stands in lists: neither closed nor joined.

    It is asked of each row that the list's own index finds. As a join it would begin with everybody
    who stands in lists, which are nearly all.

    patient   the way from the row to the patient; empty where the row is one
    """
    return Q(Exists(Findable.objects.filter(patient=OuterRef(patient or "pk"), state=OPEN)))


def closings_of(numbers: Collection[int]) -> dict[int, Closing]:
    """Return the newest closing of each of these closed records."""
    if not numbers:
        return {}
    rows = Closing.objects.filter(patient__in=numbers).order_by("id")
    return {row.patient_id: row for row in rows.select_related("by")}


def closing_in_force(patient: Patient) -> Closing | None:
    """Return the closing that holds, or None where the record is open."""
    if patient.findable.state != CLOSED:
        return None
    return closings_of([patient.pk]).get(patient.pk)


def joins_in_force() -> QuerySet[Join]:
    """Return the joins that nobody took back."""
    rows = Join.objects.filter(undoes=None, undone_by=None)
    return rows.select_related("double", "into__findable", "by")


def joins_of(doubles: Collection[int]) -> QuerySet[Join]:
    """Return the join of each of these records that stand under another one."""
    return joins_in_force().filter(double__in=doubles)


def join_of(patient: Patient) -> Join | None:
    """Return the join by which a record stands under another one, or None."""
    return joins_of([patient.pk]).first() if patient.findable.state == JOINED else None


def joined_to(patient: Patient) -> list[Join]:
    """Return the joins of records that stand under this one."""
    return list(joins_in_force().filter(into=patient))


def not_looked_through(patient: Patient) -> list[Join]:
    """Return the joins to this record that nobody has looked through."""
    if not patient.findable.to_look_through:
        return []
    return list(joins_in_force().filter(into=patient, looked_through=None))


def has_died(patient: Patient) -> bool:
    """Tell whether a record was closed because the person died."""
    closing = closing_in_force(patient)
    return closing is not None and closing.what == DIED


def why_not_written(patient: Patient) -> str:
    """Return why nothing may be entered in a record now, or nothing where it may."""
    return _why_not_written(Findable.objects.filter(patient=patient).first())


def _why_not_written(record: Findable | None) -> str:
    return WHY_NOT_WRITTEN.get(OPEN if record is None else record.state, "")


def why_nothing_new(patient: Patient) -> str:
    """Return why nothing may be signed or handed out anew, or nothing where it may."""
    return why_nothing_new_in(Findable.objects.filter(patient=patient).first())


def why_nothing_new_in(record: Findable | None) -> str:
    """Return the same of a record's row that was read already; None is a record without one."""
    if why := _why_not_written(record):
        return why
    if record is not None and record.to_look_through:
        return (
            "Another record was joined to this one, and nobody has looked through it: "
            "fractures, falls, conditions or clearances may be recorded there. Do that first."
        )
    return ""


def erasures(using: str = DEFAULT_DB_ALIAS) -> QuerySet[PersonErasure]:
    """Return the erasures by law that there were, the oldest first."""
    return PersonErasure.objects.using(using).select_related("by")


def erasure_of(number: int) -> PersonErasure | None:
    """Return the erasure of the record of this number, or None."""
    return erasures().filter(patient_id=number).first()


def erasure_words(erasure: PersonErasure) -> str:
    """Return in a sentence that a record was erased, when, by whom and why."""
    on, by = day_text(timezone.localdate(erasure.at)), printed_name(erasure.by)
    return f"Record {erasure.patient_id} was erased on {on} by {by}: {erasure.why.rstrip('.')}."
