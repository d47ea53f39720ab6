"""The line before the presses: pages that wait to be printed, and what was printed of them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.models.patient import Patient


class PressOrder(models.Model):
    """A page that waits for a press, or that was printed by one.

    It is no part of the record and nothing that was handed out: a paper is kept, and written
    down, when somebody is given it. After a day it is gone.

    key      a keyed digest of all that the page says, but for the anchor of the record
    patient  whose paper it is; None: nobody's
    page     what is printed, sealed
    wanted   somebody waits for it; else it is printed ahead of need
    waiting  it is neither printed nor refused
    press    which press of which machine prints it; each prints one page at a time
    until    that press has it until then, unless it says that it is still at it
    tries    how many presses have begun it
    paper    the PDF, sealed
    refused  why there will be none
    """

    key = models.CharField(max_length=64, unique=True)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="+", null=True)
    wanted = models.BooleanField()
    waiting = models.BooleanField(default=True)
    press = models.CharField(max_length=120, blank=True)
    until = models.DateTimeField(null=True)
    tries = models.PositiveSmallIntegerField(default=0)
    asked_at = models.DateTimeField(db_index=True)
    refused = models.TextField(blank=True)
    page = models.BinaryField()
    paper = models.BinaryField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["press"], condition=~Q(press=""), name="one_page_a_press"
            )
        ]
        indexes = [
            models.Index(fields=["-wanted", "id"], name="press_line", condition=Q(waiting=True))
        ]
