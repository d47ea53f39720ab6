"""One brake on every question for a password or a code, counted in the database.

A try is counted before it is looked at, while nobody else writes, so that a burst of tries at
several servers gets no more than tries one after the other. What counts is where a try comes
from: strangers slow themselves, and a browser in which she signed in before has a count of its
own, so that they do not keep the owner out. A right answer takes back its own try and no other:
else somebody could sign in as herself between guesses at a colleague's.
"""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from typing import Any

from django.contrib.auth.models import User
from django.db import models

from patients import audit
from patients.models.staff import PasswordTry

AT_MOST = 5
MINUTE = dt.timedelta(minutes=1)
#: Of whoever is signed in: a session left open must not be worth guessing in.
PAUSE = dt.timedelta(minutes=15)


class Question(StrEnum):
    """Where a password or a code is asked for."""

    SIGN_IN = "sign-in"
    SIGNING = "signing"
    CHANGE = "change of password"
    CODE = "code for a password"
    SECOND_STEP = "second step of sign-in"
    CODES_CHANGE = "change of one-time codes"
    PHONE = "code for a phone"

    @property
    def asks_for(self) -> str:
        """Return what is asked for."""
        return "one-time code" if self is Question.SECOND_STEP else "password"


class TooManyTries(Exception):
    """Nothing was looked at: too many wrong tries; says until when to wait."""

    def __init__(self, until: dt.datetime) -> None:
        super().__init__("Too many wrong tries.")
        self.until = until


def take_a_try(
    *,
    question: Question,
    source: str,
    at: dt.datetime,
    by: User | None = None,
    about: User | None = None,
    within: dt.timedelta = MINUTE,
) -> PasswordTry:
    """Count a try before it is looked at. Raises TooManyTries, then nothing may be looked at.

    by      who is signed in and is asked
    about   whose account a stranger names, where there is one
    within  for how long a try of this source counts, a quarter of an hour at most
    """
    with audit.writing():
        PasswordTry.objects.filter(at__lt=at - PAUSE).delete()
        until = _wait_until(source, by, at, within)
        if until is None:
            return PasswordTry.objects.create(source=source, question=question, asked=by, at=at)
        _note_refusal(question, source, by, about, at)
    raise TooManyTries(until)


def was_right(tried: PasswordTry) -> None:
    """Take a try back that was right."""
    PasswordTry.objects.filter(pk=tried.pk).delete()


def was_wrong(
    tried: PasswordTry,
    *,
    by: User | None,
    at: dt.datetime,
    about: User | None = None,
    on: models.Model | None = None,
) -> None:
    """Let a wrong try count, and write it down.

    on   what it was asked for, such as the plan to be signed
    """
    with audit.writing():
        question = Question(tried.question)
        action = f"wrong {question.asks_for} at {question}"
        audit.record(by=by, at=at, action=action, on=on or about or by or tried)


def _wait_until(
    source: str, by: User | None, at: dt.datetime, within: dt.timedelta
) -> dt.datetime | None:
    """Return until when has to be waited, or None where another try may be made."""
    waits = [_over(_tries(at, within).filter(source=source), within)]
    if by is not None:
        waits.append(_over(_tries(at, PAUSE).filter(asked=by), PAUSE))
    return max((one for one in waits if one is not None), default=None)


def _tries(at: dt.datetime, within: dt.timedelta) -> models.QuerySet[PasswordTry]:
    # Up to a little later than now: clocks of two servers differ. Not for ever: one may go back.
    rows = PasswordTry.objects.filter(refused=False, at__gt=at - within, at__lt=at + within)
    return rows.order_by("-at", "-pk")


def _over(tries: models.QuerySet[PasswordTry], within: dt.timedelta) -> dt.datetime | None:
    times = list(tries.values_list("at", flat=True)[:AT_MOST])
    return times[-1] + within if len(times) == AT_MOST else None


def _note_refusal(
    question: Question, source: str, by: User | None, about: User | None, at: dt.datetime
) -> None:
    """Write a refusal down once a minute: a stranger must not fill the record."""
    minute: dict[str, Any] = {"source": source, "at__gt": at - MINUTE}
    if PasswordTry.objects.filter(refused=True, **minute).exists():
        return
    row = PasswordTry.objects.create(
        source=source, question=question, asked=by, refused=True, at=at
    )
    action = f"too many tries at {question}"
    audit.record(by=by, at=at, action=action, on=about or by or row)
