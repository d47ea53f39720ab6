"""What is kept of one-time codes at sign-in: the secret, recovery codes, who must use them."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from patients.kept_rows import Kept, person
from patients.staff.one_time_codes import WHO_MUST


def who_must() -> dict[str, str]:
    """Return of whom codes can be asked; the migrations name this function."""
    return {str(whom): str(whom) for whom in WHO_MUST}


class OneTimeCodes(models.Model):
    """Somebody signs in with codes; no row, no codes.

    secret      sealed with the key outside the database (patients.actions.sealed_secret)
    last_step   of the last code that was used: none up to it is taken again
    """

    who = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    secret = models.CharField(max_length=200)
    last_step = models.BigIntegerField()
    since = models.DateTimeField()


class RecoveryCode(models.Model):
    """A code to be used once where the telephone is not at hand; gone once it is used."""

    who = person()
    digest = models.CharField(max_length=64, unique=True)


class CodesAsked(Kept):
    """Of whom the clinic asks codes; the newest row is in force."""

    whom = models.CharField(max_length=20, choices=who_must)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
