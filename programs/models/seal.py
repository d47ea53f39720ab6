"""The keyed seals of signed programs, one each, in a chain; and that a content was erased."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from programs.models.program import SignedPlan


class SignedSeal(Kept):
    """The seal of one signed program (programs.signed.seal), made with a key outside the database.

    number       its place in the chain, from 1
    salt         hexadecimal; with it the commitment tells nothing of the content
    commitment   to the content, which may be erased one day without breaking the chain
    sealed_at    when it was signed, or when an older signature was sealed by the command
    """

    signed = models.OneToOneField(SignedPlan, on_delete=models.PROTECT, related_name="seal")
    number = models.PositiveBigIntegerField(unique=True)
    salt = models.CharField(max_length=64)
    commitment = models.CharField(max_length=64)
    # Unique, so that the chain cannot fork.
    previous_seal = models.CharField(max_length=64, unique=True)
    seal = models.CharField(max_length=64, unique=True)
    sealed_at = models.DateTimeField()

    class Meta:
        ordering = ["number"]


class SignedErasure(Kept):
    """That the content of a signed program was erased by law: its text and its seal's salt.

    why   in words, with the law or the request that it rests on
    """

    signed = models.OneToOneField(SignedPlan, on_delete=models.PROTECT, related_name="erasure")
    why = models.TextField()
    by = person()
    at = models.DateTimeField()

    class Meta:
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="an_erasure_says_why")]
