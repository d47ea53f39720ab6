"""The states of a signed program, a row for each change; and that she was told of a stop."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from programs.models.program import Review, SignedPlan


class ProgramState(Kept):
    """One change of a signed program's state (rulebook row 26f); each of them once.

    modality   the one kind that was stopped; nothing where it is the whole program
    why        in words; for a stop it is what the clinician wrote, or what the review decided
    review     that led to it
    """

    IN_FORCE, STOPPED, REPLACED, ENDED = "in force", "stopped", "replaced", "ended"
    STATES = [(state, state) for state in (IN_FORCE, STOPPED, REPLACED, ENDED)]

    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="states")
    state = models.CharField(max_length=10, choices=STATES)
    modality = models.CharField(max_length=10, blank=True)
    why = models.TextField()
    review = models.ForeignKey(Review, on_delete=models.PROTECT, related_name="+", null=True)
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["signed", "state", "modality"], name="a_state_of_a_program_once"
            ),
            models.CheckConstraint(
                condition=Q(modality="") | Q(state="stopped"), name="one_kind_is_only_stopped"
            ),
            models.CheckConstraint(condition=~Q(why=""), name="a_state_says_why"),
        ]
        indexes = [models.Index(fields=["state", "at"], name="program_by_state")]


class StopTold(Kept):
    """That the patient knows of a stop: who told them, how and when.

    told_by   as it is told: "Marta Ferro", "her daughter"
    """

    HOW = [
        ("in person", "in person"),
        ("by telephone", "by telephone"),
        ("by letter", "by letter or message, and answered"),
        ("through somebody", "through a carer"),
    ]

    stop = models.OneToOneField(ProgramState, on_delete=models.PROTECT, related_name="told")
    told_by = models.CharField(max_length=120)
    how = models.CharField(max_length=20, choices=HOW)
    on = models.DateField()
    by = person()
    at = models.DateTimeField()
