"""Asking whoever is signed in for the password once more, under the brake of all such questions."""

from __future__ import annotations

from django.contrib.auth.hashers import check_password
from django.db import models
from django.http import HttpRequest
from django.utils import timezone

from patients.actions.guessing import Question, TooManyTries, take_a_try, was_right, was_wrong
from patients.known_browser import source_of
from patients.views.common import signed_in


def knows_password(
    request: HttpRequest, password: str, *, question: Question, on: models.Model | None = None
) -> bool:
    """Tell whether this is the password of who is signed in. Raises TooManyTries.

    on   what it is asked for, named in the record where it is wrong
    """
    by, at = signed_in(request), timezone.now()
    tried = take_a_try(question=question, source=source_of(request, by), by=by, at=at)
    # Not by.check_password: that may hash it anew, which would end this very session.
    if check_password(password, by.password):
        was_right(tried)
        return True
    was_wrong(tried, by=by, at=at, on=on)
    return False


def wait_words(refused: TooManyTries, what: str = "passwords") -> str:
    """Return what is said where nothing was looked at."""
    told = timezone.localtime(refused.until)
    return f"Too many wrong {what}. Try again at {told:%H:%M:%S}."
