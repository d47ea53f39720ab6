"""Setting the limits of the clinic, and how it is called and reached."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import Subquery, Value
from django.db.models.functions import Coalesce
from django.utils import timezone

from patients import audit
from patients.may import may_set_limits
from patients.staff.rights import Right, why_not
from programs.actions.refusals import NotDone
from programs.dose.clinic_limits import CLINIC_LIMITS, clinic
from programs.dose.in_force import Clinic, Setting
from programs.models.clinic import ClinicDetails, LimitChange


@dataclass(frozen=True, kw_only=True)
class Details:
    """How the clinic is called and reached, its paper, whom to call in an emergency.

    currency   of the prices of plates; empty where it was never set
    """

    name: str = ""
    phone: str = ""
    address: str = ""
    paper: str = "A4"
    emergency: str = ""
    currency: str = ""


def limits_in_force() -> Clinic:
    """Return the limits that hold at this clinic: the rulebook's, but for those it has set."""
    return clinic(_setting(row) for row in LimitChange.objects.select_related("by"))


def _setting(row: LimitChange) -> Setting:
    return Setting(
        name=row.name,
        value=CLINIC_LIMITS[row.name].nearest(float(row.value)),
        by=audit.printed_name(row.by),
        on=timezone.localdate(row.at),
        reason=row.reason,
    )


def set_limit(
    *,
    name: str,
    value: float,
    reason: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> None:
    """Set one limit of the clinic. Nothing happens where it has this value already.

    Tightening is taken; loosening needs a reason. Raises NotDone without one, for a value
    that the limit cannot have, or where `by` may not.
    """
    limit, why = CLINIC_LIMITS[name], reason.strip()
    if problem := limit.problem(value):
        raise NotDone(problem)
    if not may_set_limits(by):
        raise NotDone(why_not(Right.LIMITS))
    if limit.is_looser(value) and not why:
        raise NotDone("This allows more than the rulebook does. Write down the reason.")
    with audit.writing():
        before = limits_in_force().value(limit.limit)
        if audit.done_before(token) is not None or before == value:
            return
        row = LimitChange.objects.create(
            name=name,
            value=Decimal(repr(value)),
            change=_change(name, value),
            reason=why,
            by=by,
            at=at,
        )
        audit.record(
            by=by,
            at=at,
            action="set limit of the clinic",
            on=row,
            old={"name": name, "value": before},
            new={"name": name, "value": value, "change": row.change},
            reason=why,
            token=token,
        )


def _change(name: str, value: float) -> str:
    limit = CLINIC_LIMITS[name]
    if value == limit.value:
        return LimitChange.BACK
    return LimitChange.LOOSENED if limit.is_looser(value) else LimitChange.TIGHTENED


def details_in_force(rows: Sequence[ClinicDetails] | None = None) -> Details:
    """Return how the clinic is called and reached; all of it empty where it was never set.

    rows   all that were set, oldest first, where they have been read already
    """
    row = ClinicDetails.objects.last() if rows is None else next(reversed(rows), None)
    return Details() if row is None else Details(**{key: getattr(row, key) for key in _KEYS})


_KEYS = tuple(Details.__annotations__)
#: The currency in force, for a page that reads something else with the same query.
CURRENCY = Coalesce(
    Subquery(ClinicDetails.objects.order_by("-pk").values("currency")[:1]), Value("")
)


def set_details(*, details: Details, by: User, at: dt.datetime, token: UUID | None = None) -> None:
    """Set how the clinic is called and reached; what was signed before keeps what it had."""
    with audit.writing():
        before = details_in_force()
        if audit.done_before(token) is not None or before == details:
            return
        new: dict[str, Any] = vars(details)
        row = ClinicDetails.objects.create(**new, by=by, at=at)
        audit.record(
            by=by,
            at=at,
            action="set clinic details",
            on=row,
            old=vars(before),
            new=new,
            token=token,
        )
