"""Putting the tour of a page away, and bringing it back; the record's lines alone tell of it."""

from __future__ import annotations

import datetime as dt
import json

from django.contrib.auth.models import User

from patients import audit
from patients.models.patient import Audit
from programs.actions.refusals import NotDone
from programs.help.tour import ALL_PAGES, TOUR

#: What the record calls them.
PUT_AWAY, BRING_BACK = "put the tour away", "bring the tour back"


def pages_put_away(by: User) -> frozenset[str]:
    """Return the pages whose tour this person has put away since she last brought it back."""
    lines = Audit.objects.filter(actor=by, action__in=(PUT_AWAY, BRING_BACK)).order_by("seq")
    away: set[str] = set()
    for action, new in lines.values_list("action", "new"):
        away = set() if action == BRING_BACK else away | {json.loads(new)["page"]}
    return frozenset(away)


def put_away(*, page: str, by: User, at: dt.datetime) -> None:
    """Put the tour of a page away for this person, or that of all; said again it stays once.

    Raises NotDone for a page that has none.
    """
    if page != ALL_PAGES and page not in TOUR:
        raise NotDone("This page has no tour.")
    with audit.writing():
        if page not in pages_put_away(by):
            audit.record(by=by, at=at, action=PUT_AWAY, on=by, new={"page": page})


def bring_back(*, by: User, at: dt.datetime) -> None:
    """Show the tour of every page again to this person."""
    with audit.writing():
        if pages_put_away(by):
            audit.record(by=by, at=at, action=BRING_BACK, on=by, new={})
