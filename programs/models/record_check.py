"""When the record of who did what was looked over, and whether it held."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person


class RecordCheck(Kept):
    """One look over the record, the signed programs and the kept papers.

    lines, seal         number and seal of the record's last line before the look; 0 and
                        nothing where it had none
    programs, papers    how many were signed and kept
    broken              what did not hold, a line each; empty where all held
    by                  nobody where a command looked
    """

    lines = models.PositiveBigIntegerField()
    seal = models.CharField(max_length=64, blank=True)
    programs = models.PositiveIntegerField()
    papers = models.PositiveIntegerField()
    broken = models.TextField(blank=True)
    by = person(null=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
