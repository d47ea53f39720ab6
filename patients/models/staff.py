"""What is kept of the people who work here: their roles, sessions, and tries at passwords."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person
from patients.staff.rights import ROLE_WORDS


def roles() -> dict[str, str]:
    """Return the roles there are; the migrations name this function."""
    return {str(role): str(role) for role in ROLE_WORDS}


class RoleChange(Kept):
    """A role given to somebody, or taken from her; the newest of a person and role holds.

    by   None is the system: the first account, the move from an older release, a command
    """

    who = person()
    role = models.CharField(max_length=20, choices=roles)
    given = models.BooleanField()
    by = person(null=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class PasswordTry(models.Model):
    """A try at a password or a code, counted before it is looked at; a right one is taken away.

    source   the browser or the address it came from (patients.known_browser)
    asked    of whom, where it was asked of somebody signed in
    refused  it was one too many: nothing was looked at, and it counts for nothing
    """

    source = models.CharField(max_length=80)
    question = models.CharField(max_length=30)
    asked = person(null=True)
    refused = models.BooleanField(default=False)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["source", "at"], name="tries_of_source")]


class PasswordCode(models.Model):
    """A code with which somebody sets a password of her own, once; only its digest is kept."""

    who = person()
    digest = models.CharField(max_length=64, unique=True)
    made_by = person(null=True)
    made_at = models.DateTimeField()
    #: When it was used, or another took its place.
    ended_at = models.DateTimeField(null=True)


class OpenSession(models.Model):
    """Where somebody is signed in: what Django's own session does not keep."""

    who = person()
    session_key = models.CharField(max_length=40, unique=True)
    browser = models.CharField(max_length=80)
    source_address = models.CharField(max_length=45, blank=True)
    began_at = models.DateTimeField()
