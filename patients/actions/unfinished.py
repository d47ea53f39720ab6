"""Keep what was typed and not saved, for whoever typed it; let it go.

No line of the record tells of it: it is not on record, and is kept anew at each pause of the hands.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import QuerySet

from patients.actions.refusals import Refused
from patients.models.patient import Patient
from patients.models.unfinished import Typed, UnfinishedForm

#: Days after which what nobody came back to is gone; and how much of it there may be.
KEPT_DAYS, MOST_FIELDS, MOST_LETTERS = 30, 4000, 200_000
#: Parts of the names of fields that are never kept.
_SECRET = ("password", "passphrase", "csrfmiddlewaretoken")


def keep_unfinished(
    *,
    patient: Patient,
    page: str,
    title: str,
    made_from: str,
    typed: Any,
    by: User,
    at: dt.datetime,
    anew: bool = False,
) -> UnfinishedForm:
    """Keep what was typed on a page, in place of what was kept of it before.

    anew   it was put back into the page and is made from that: what each field held when it was
           first begun counts no more
    What was kept too long is thrown away on the way. Raises Refused for what is no form.
    """
    fields = read_typed(typed)
    if len(page) > 200:
        raise Refused("The address is too long.")
    with transaction.atomic():
        UnfinishedForm.objects.filter(kept_at__lt=at - dt.timedelta(days=KEPT_DAYS)).delete()
        mine = UnfinishedForm.objects.filter(by=by, patient=patient, page=page)
        before = None if anew else mine.select_for_update().first()
        told = {
            "title": title[:80],
            "made_from": (before.made_from if before else made_from)[:120],
            "fields": json.dumps(_begun_as_before(fields, before)),
            "kept_at": at,
        }
        found, _ = UnfinishedForm.objects.update_or_create(
            by=by,
            patient=patient,
            page=page,
            defaults=told,
            create_defaults=told | {"begun_at": at},
        )
    return found


def _begun_as_before(fields: Typed, before: UnfinishedForm | None) -> Typed:
    """Return the fields with what each held when this form was first begun."""
    began = before.typed if before else {}
    return {name: one | {"was": began.get(name, one)["was"]} for name, one in fields.items()}


def read_typed(typed: Any) -> Typed:
    """Return what a page sent as typed; raises Refused where it is anything else."""
    if not isinstance(typed, Mapping) or len(typed) > MOST_FIELDS:
        raise Refused("This is not what a form holds.")
    found = {
        str(name): {"was": _texts(one, "was"), "now": _texts(one, "now")}
        for name, one in typed.items()
        if not any(word in str(name).lower() for word in _SECRET)
    }
    if len(json.dumps(found)) > MOST_LETTERS:
        raise Refused("This is too much to keep unsaved.")
    return found


def _texts(one: Any, key: str) -> list[str]:
    held = one.get(key) if isinstance(one, Mapping) else None
    if not isinstance(held, list) or not all(isinstance(text, str) for text in held):
        raise Refused("This is not what a form holds.")
    return held


def unfinished_of(by: User, at: dt.datetime) -> QuerySet[UnfinishedForm]:
    """Return what somebody typed and did not save, the newest first; nobody else's."""
    since = at - dt.timedelta(days=KEPT_DAYS)
    return UnfinishedForm.objects.filter(by=by, kept_at__gte=since).order_by("-kept_at")


def drop_unfinished(*, patient_id: int, page: str, by: User) -> None:
    """Let go what somebody typed on a page: it is saved, or she throws it away."""
    UnfinishedForm.objects.filter(by=by, patient_id=patient_id, page=page).delete()
