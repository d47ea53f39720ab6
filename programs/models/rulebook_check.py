"""That a program signed under an older rulebook was held against a newer one, and what differed."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person
from programs.models.program import SignedPlan


class RulebookCheck(Kept):
    """One signed program held against one rulebook; once each.

    rulebook   the newer one
    differs    what it tells above what that allows, as programs.review.against_rulebook writes
               it; an empty list where nothing does
    by         nobody where a command, or the first opening of a page, did it
    """

    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="rulebook_checks")
    rulebook = models.CharField(max_length=40)
    differs = models.JSONField()
    at = models.DateTimeField()
    by = person(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["signed", "rulebook"], name="held_once_against_a_rulebook"
            )
        ]
