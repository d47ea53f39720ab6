"""What she said of a kind of loading, and what came of the prompts beside the exercise."""

from __future__ import annotations

from collections.abc import Mapping

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from patients.models.patient import Patient
from programs.beside.prompts import ANSWERS, PROMPTS, REFERRED
from programs.beside.said import REFUSES, SAID
from safety.modalities import MODALITIES


def kinds() -> Mapping[str, str]:
    """Return the kinds of loading; the migrations name this function."""
    return {str(kind): row.name for kind, row in MODALITIES.items()}


def prompts() -> Mapping[str, str]:
    """Return the prompts by code; the migrations name this function."""
    return {code: prompt.title for code, prompt in PROMPTS.items()}


def said_of_it() -> Mapping[str, str]:
    """Return what may be said of a kind; the migrations name this function."""
    return SAID


def answers() -> Mapping[str, str]:
    """Return what may come of a prompt; the migrations name this function."""
    return ANSWERS


class KindSaid(Kept):
    """Consent to a kind of loading, its refusal, or that neither holds; the newest of a kind holds.

    words      hers, as they were said
    asked_by   as it is told: "Marta Ferro", "the ward physiotherapist"
    on         the day on which she said it
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="kinds_said")
    modality = models.CharField(max_length=10, choices=kinds)
    said = models.CharField(max_length=10, choices=said_of_it)
    words = models.TextField(blank=True)
    asked_by = models.CharField(max_length=120)
    on = models.DateField()
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(said=REFUSES) | ~Q(words=""), name="a_refusal_has_her_words"
            ),
            models.CheckConstraint(condition=~Q(asked_by=""), name="somebody_asked_of_a_kind"),
        ]


class PromptAnswer(Kept):
    """What came of a prompt; the newest of a prompt holds, and no rule reads it.

    to   to whom she was referred; empty for any other answer
    on   the day of the answer
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="prompt_answers")
    prompt = models.CharField(max_length=20, choices=prompts)
    answer = models.CharField(max_length=10, choices=answers)
    to = models.CharField(max_length=120, blank=True)
    note = models.CharField(max_length=200, blank=True)
    on = models.DateField()
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(answer=REFERRED) & ~Q(to="")) | (~Q(answer=REFERRED) & Q(to="")),
                name="referred_to_somebody",
            )
        ]
