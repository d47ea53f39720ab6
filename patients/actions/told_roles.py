"""Whether each role that somebody has is one that the record tells of.

Roles that the move to roles gave have lines only once `tell_of_the_move` was done, which the
first `migrate` of a release that knows it does, once: whoever writes a row later, however it is
dated, waits for nothing. Until any line tells of a role, nothing can be said of any.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS
from django.db.migrations.recorder import MigrationRecorder

from patients import audit
from patients.models.patient import Audit
from patients.models.staff import RoleChange
from patients.staff.rights import Role

#: What the record calls the telling of a role that the move to roles gave.
TELL_ROLE = "tell role of the move"
#: The migration that gave them, and what it could give.
_MOVE = ("patients", "0011_people_of_the_clinic")
_GIVEN = (Role.CLINICIAN, Role.KEEPER)


def roles_not_as_told(using: str = DEFAULT_DB_ALIAS) -> Iterator[str]:
    """Yield each role that no line tells of as it stands, and each that a line tells of in vain."""
    told = _told(using)
    rows = RoleChange.objects.using(using).select_related("who")
    for row in rows if told else ():
        line = told.pop(str(row.pk), None)
        words = f"“{row.role}” of {row.who.get_username()}, row {row.pk} of the roles"
        if line is None:
            yield f"{words}: no line of the record tells of it. It was put in outside the program."
        elif not audit.is_sealed(line) or line.new != audit.canonical(audit.state_of(row)):
            yield f"{words}: line {line.seq} of the record tells otherwise."
    for line in told.values():
        words = f"row {line.object_id} of the roles"
        yield f"Line {line.seq} of the record tells of {words}, which is gone."


def tell_of_the_move(*, at: dt.datetime) -> list[RoleChange]:
    """Write a line for each role that the move gave, once ever; return these roles.

    Only those that the migration can have given: to accounts from before it, by nobody, before
    all roles that lines tell of.
    """
    with audit.writing():
        if Audit.objects.filter(action=TELL_ROLE).exists():
            return []
        rows = _of_the_move()
        for row in rows:
            audit.record(by=None, at=at, action=TELL_ROLE, on=row, new=audit.state_of(row))
    return rows


def _of_the_move() -> list[RoleChange]:
    app, name = _MOVE
    moved = MigrationRecorder.Migration.objects.filter(app=app, name=name)
    applied = moved.values_list("applied", flat=True).first()
    numbers = [int(number) for number in _told(DEFAULT_DB_ALIAS) if number.isdecimal()]
    first = min(numbers, default=None)
    rows = RoleChange.objects.filter(pk__gte=1, by=None, given=True, role__in=_GIVEN)
    rows = rows if first is None else rows.filter(pk__lt=first)
    added = Audit.objects.filter(action="add person", object_type=User._meta.label_lower)
    since = set(added.values_list("object_id", flat=True))
    return [
        row
        for row in rows.select_related("who")
        if applied is not None
        and row.who.date_joined <= row.at <= applied
        and str(row.who_id) not in since
    ]


def _told(using: str) -> dict[str, Audit]:
    lines = Audit.objects.using(using).filter(object_type=RoleChange._meta.label_lower)
    return {line.object_id: line for line in lines.order_by("seq")}
