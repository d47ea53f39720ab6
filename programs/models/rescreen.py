"""That everybody was rescreened: what changed for each, and how far a run has come."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept, person
from patients.models.patient import Patient
from programs.models.program import SignedPlan


class RescreenBatch(Kept):
    """Some people rescreened, all in one transaction; the newest tells how far a run came.

    last_patient   the last person whom the run had come to, by id
    ended          nobody was left after it
    by             nobody where a command did it
    """

    rulebook = models.CharField(max_length=40)
    last_patient = models.PositiveBigIntegerField()
    screened = models.PositiveIntegerField()
    ended = models.BooleanField()
    at = models.DateTimeField()
    by = person(null=True)

    class Meta:
        ordering = ["pk"]


class Rescreen(Kept):
    """One person screened by one rulebook with the facts of one version; once each.

    facts_version   names all rows that the facts were read from (programs.actions.facts_versions)
    since           when the screen that it is compared with was made; None: there was none
    findings        what was said, as safety.compared_screens keeps it
    changes         what is said otherwise than by that screen
    decided         what somebody had decided, with the reason, in words; it stays beside them
    signed, paper   the program in her hand, and what it tells of this; None where there is none
    contradiction   why nothing could be screened; empty where it could
    rank            how soon somebody looks at it (programs.review.paper_in_hand); None: nobody
                    need
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="rescreens")
    batch = models.ForeignKey(RescreenBatch, on_delete=models.PROTECT, related_name="people")
    rulebook = models.CharField(max_length=40)
    facts_version = models.CharField(max_length=64)
    as_of = models.DateField()
    since = models.DateTimeField(null=True)
    findings = models.JSONField()
    changes = models.JSONField()
    decided = models.JSONField()
    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="+", null=True)
    paper = models.JSONField(null=True)
    contradiction = models.TextField(blank=True)
    rank = models.PositiveSmallIntegerField(null=True)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["patient", "rulebook", "facts_version"], name="screened_once_anew"
            )
        ]


class RescreenToLookAt(models.Model):
    """The result of a person that nobody may have looked at yet; one each, and no more than that.

    Only so that the Caseload need not go through all results there ever were: a newer result takes
    its place, and the next run takes away those that somebody has looked at.
    """

    patient = models.OneToOneField(Patient, on_delete=models.PROTECT, related_name="+")
    result = models.OneToOneField(Rescreen, on_delete=models.PROTECT, related_name="+")
    rank = models.PositiveSmallIntegerField()
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["rank", "-at", "-id"], name="rescreen_look")]
