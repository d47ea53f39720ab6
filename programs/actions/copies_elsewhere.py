"""What was written outside of the database and may hold a person: told before she is erased."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from django.utils import timezone

from patients.facts.in_words import day_text
from patients.models.patient import Audit, Patient
from programs.actions.person_export import EXPORT
from programs.models.database_copies import MADE, RESTORED, DatabaseCopy
from programs.models.program import Handout


def copies_elsewhere(records: Sequence[int], at: dt.datetime) -> Iterator[str]:
    """Yield in words each copy of the database, export and paper that may hold some records."""
    taken_on = Patient._base_manager.filter(pk__in=records).order_by("created_at")
    since = taken_on.values_list("created_at", flat=True)[0]
    for copy in DatabaseCopy.objects.filter(what=MADE, at__gte=since):
        locked = ", encrypted" if copy.encrypted else ""
        yield f"Copy of the database {copy.file}{locked}: {_age(copy.at, at)}."
    for copy in DatabaseCopy.objects.filter(what=RESTORED, at__gte=since):
        yield (
            f"The database that was put aside when {copy.file} was restored; its name says "
            f"“before restore”: {_age(copy.at, at)}."
        )
    of = {"object_type": Patient._meta.label_lower, "object_id__in": list(map(str, records))}
    for line in Audit.objects.filter(action=EXPORT, **of).order_by("seq"):
        yield f"Export of everything kept, taken by {line.actor_name}: {_age(line.at, at)}."
    papers = Handout.objects.filter(signed__patient__in=records).count()
    if papers:
        yield f"Papers that were made, in her hand or a colleague's: {papers}."


def _age(then: dt.datetime, now: dt.datetime) -> str:
    days = (timezone.localdate(now) - timezone.localdate(then)).days
    return f"{day_text(timezone.localdate(then))}, {days} day{'' if days == 1 else 's'} old"
