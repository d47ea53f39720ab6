"""What is seen of this machine now, for its health to be told."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.db import DatabaseError
from django.utils import timezone

from patients import audit
from patients.models.patient import Audit
from programs.machine import folder, key
from programs.machine.copies import kind
from programs.machine.health import Check, Seen, checks
from programs.machine.migrations_known import missing, said_of_missing, said_of_unknown, unknown
from programs.machine.what_failed import cause_of_error
from programs.models.database_copies import MADE, PROVEN, RESTORED, DatabaseCopy
from programs.models.record_check import RecordCheck


def health(*, now: dt.datetime, quick: bool) -> tuple[Check, ...]:
    """Return how everything stands; not quick also reads every page of the database."""
    seen: dict[str, Any] = {
        "at": timezone.localtime(now),
        "free_mb": folder.free_bytes() // 1024**2,
        "key": key.fingerprint(),
        "read_whole": not quick,
    }
    try:
        seen |= _of_database(quick)
    except DatabaseError as error:
        seen["database"] = str(cause_of_error(error) or error).strip()
    return checks(Seen(**seen))


def _of_database(quick: bool) -> dict[str, Any]:
    if not quick and (damage := kind().not_whole("default")):
        return {"database": f"it is damaged ({damage})."}
    newer, older = unknown(), missing()
    if newer or older:
        # Its tables may be others than those that are asked below.
        return {"migrations": said_of_unknown(newer) if newer else said_of_missing(older)}
    looks, copies = RecordCheck.objects.order_by("-at"), DatabaseCopy.objects.order_by("-at")
    newest = looks.values_list("broken", flat=True).first()
    return {
        "key_fits": audit.key_fits(),
        "last_line": _when(Audit.objects.order_by("-seq")),
        "held": _when(looks.filter(broken="")),
        "broken": bool(newest),
        "copied": _when(copies.filter(what=MADE)),
        "proven": _when(copies.filter(what__in=[PROVEN, RESTORED])),
    }


def _when(rows: Any) -> dt.datetime | None:
    at: dt.datetime | None = rows.values_list("at", flat=True).first()
    return None if at is None else timezone.localtime(at)
