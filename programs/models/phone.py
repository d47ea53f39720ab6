"""Her own phone: codes, what was opened by them and ended, and what she wrote herself."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from programs.models.program import SignedPlan


class PhoneCode(Kept):
    """A code with which she opens this week of a signed program on her phone, once."""

    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="phone_codes")
    digest = models.CharField(max_length=64, unique=True)
    language = models.CharField(max_length=10)
    made_by = person()
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]


class PhoneOpening(Kept):
    """That a code was spent: from then on one phone shows one week. One for each code.

    digest   of what that phone is known by
    week     of the program
    until    it shows the week no longer from this moment on
    """

    code = models.OneToOneField(PhoneCode, on_delete=models.PROTECT, related_name="opening")
    digest = models.CharField(max_length=64, unique=True)
    week = models.PositiveSmallIntegerField()
    until = models.DateTimeField()
    at = models.DateTimeField()


class PhoneEnd(Kept):
    """That a code, or the phone that was opened by it, was ended before its time.

    by   None: she did it herself
    """

    ANOTHER, CLINIC, HERSELF = "another code was made", "ended by the clinic", "ended on the phone"

    code = models.OneToOneField(PhoneCode, on_delete=models.PROTECT, related_name="end")
    why = models.CharField(max_length=40)
    by = person(null=True)
    at = models.DateTimeField()


class PhoneEntry(Kept):
    """A day as she wrote it herself; the newest row of a day is what she tells of it.

    No rule, ledger or review reads it: what a colleague takes is written into the log.

    told             by the names of the log's columns, as it was typed or chosen
    does_not_wait    a fall, a warning sign, a broken bone, or pain that stops the program
    """

    code = models.ForeignKey(PhoneCode, on_delete=models.PROTECT, related_name="entries")
    on = models.DateField()
    told = models.JSONField()
    does_not_wait = models.BooleanField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]


class PhoneDecision(Kept):
    """That a colleague took what she wrote into the log, or did not, and why."""

    entry = models.OneToOneField(PhoneEntry, on_delete=models.PROTECT, related_name="decision")
    taken = models.BooleanField()
    reason = models.CharField(max_length=200, blank=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(taken=True) | ~Q(reason=""), name="not_taken_says_why"
            )
        ]
