"""Where people are signed in: noted at signing in, listed, ended; what is over is removed."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session

from patients import audit
from patients.actions.told_passwords import not_yet_told
from patients.models.staff import OpenSession
from patients.staff.browsers import browser_words


@dataclass(frozen=True, kw_only=True)
class SignedIn:
    """One place where somebody is signed in.

    last_seen_at   written once a minute, so it may be a minute more
    """

    row: OpenSession
    last_seen_at: dt.datetime


def note_sign_in(
    *, by: User, session_key: str, user_agent: str, at: dt.datetime, beside: str = ""
) -> None:
    """Write down that somebody signed in, and remove the sessions that are over.

    beside   what was given beside the password
    """
    with audit.writing():
        _remove_expired(at)
        OpenSession.objects.create(
            who=by,
            session_key=session_key,
            browser=browser_words(user_agent),
            source_address=audit.source_address.get(),
            began_at=at,
        )
        told = (not_yet_told(by) or {}) | ({"with": beside} if beside else {})
        audit.record(by=by, at=at, action="sign in", on=by, new=told or None)


def moved(*, before: str, now: str) -> None:
    """Follow a session whose key was made anew."""
    OpenSession.objects.filter(session_key=before).update(session_key=now)


def sessions_of(who: User, at: dt.datetime) -> list[SignedIn]:
    """Return where somebody is signed in now, the one begun last first."""
    rows = OpenSession.objects.filter(who=who).order_by("-began_at", "-pk")
    alive = Session.objects.filter(
        expire_date__gt=at, session_key__in=[row.session_key for row in rows]
    )
    until = dict(alive.values_list("session_key", "expire_date"))
    idle = dt.timedelta(seconds=settings.SESSION_COOKIE_AGE)
    return [
        SignedIn(row=row, last_seen_at=until[row.session_key] - idle)
        for row in rows
        if row.session_key in until
    ]


def end_sessions(*, by: User, at: dt.datetime, keep: str, number: int | None = None) -> int:
    """End one's own sessions but the one of this key, or just one of them; returns how many."""
    with audit.writing():
        rows = OpenSession.objects.filter(who=by).exclude(session_key=keep)
        if number is not None:
            rows = rows.filter(pk=number)
        keys = [row.session_key for row in rows]
        if not keys:
            return 0
        Session.objects.filter(session_key__in=keys).delete()
        rows.delete()
        audit.record(by=by, at=at, action="end sessions", on=by, new={"ended": len(keys)})
    return len(keys)


def note_sign_out(*, by: User, session_key: str, at: dt.datetime) -> None:
    """Write down that somebody signed out."""
    with audit.writing():
        OpenSession.objects.filter(session_key=session_key).delete()
        audit.record(by=by, at=at, action="sign out", on=by)


def _remove_expired(at: dt.datetime) -> None:
    Session.objects.filter(expire_date__lte=at).delete()
    alive = Session.objects.values("session_key")
    OpenSession.objects.exclude(session_key__in=alive).delete()
