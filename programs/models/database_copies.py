"""Copies of the database that were made, tried out and put back."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person

MADE, PROVEN, RESTORED = "made", "proven", "restored"


def what_was_done() -> dict[str, str]:
    """Return what a row may say of a copy; the migrations name this function."""
    return {
        MADE: "copy made",
        PROVEN: "restore tried out: good",
        RESTORED: "restored from it",
    }


class DatabaseCopy(Kept):
    """What was done with one copy of the database.

    file        its name, without its folder
    key         fingerprint of the secret key that seals its record
    lines, seal number and seal of its record's last line
    encrypted   whether a pass phrase is needed to read it
    """

    what = models.CharField(max_length=10, choices=what_was_done)
    file = models.CharField(max_length=255)
    key = models.CharField(max_length=64)
    lines = models.PositiveBigIntegerField()
    seal = models.CharField(max_length=64, blank=True)
    people = models.PositiveIntegerField()
    programs = models.PositiveIntegerField()
    papers = models.PositiveIntegerField()
    encrypted = models.BooleanField()
    by = person(null=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
