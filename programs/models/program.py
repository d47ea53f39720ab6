"""What is kept of a program: drafts and edits, what was signed and handed out, what came of it."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import F, Q

from patients.kept_rows import Kept, Withdrawable, person
from patients.models.patient import Patient
from safety.findings import Modality


def modalities() -> dict[str, str]:
    """Return the modalities of a log entry; the migrations name this function, not them."""
    return {str(modality): str(modality) for modality in Modality}


def _patient(related_name: str) -> Any:
    return models.ForeignKey(Patient, on_delete=models.PROTECT, related_name=related_name)


class Plan(models.Model):
    """A drafted program that may be edited until it is signed; then it only names its state.

    version      of the patient's programs; one that was dropped gives its number back
    starts_on    the first day of week 1
    facts        the facts/1 document that it was drafted from
    resume       the fields of programs.draft.resume.Resume
    proposed     the draft/1 document as drafted; never changed
    weeks        the weeks as they are now, the edits applied
    left_out_by_clinician   modality to the written reason
    lock         rises with every change, so that two editors notice each other
    """

    DRAFT, SIGNED, DROPPED = "draft", "signed", "dropped"
    STATES = [(DRAFT, "draft"), (SIGNED, "signed"), (DROPPED, "dropped")]

    patient = _patient("plans")
    version = models.PositiveIntegerField()
    state = models.CharField(max_length=10, choices=STATES, default=DRAFT)
    as_of = models.DateField()
    starts_on = models.DateField()
    facts = models.JSONField()
    resume = models.JSONField(default=dict)
    proposed = models.JSONField()
    weeks = models.JSONField()
    left_out_by_clinician = models.JSONField(default=dict)
    lock = models.PositiveIntegerField(default=1)
    made_by = person()
    made_at = models.DateTimeField()
    review = models.ForeignKey(
        "Review", on_delete=models.PROTECT, related_name="+", null=True, blank=True
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["patient", "version"],
                condition=~Q(state="dropped"),
                name="one_plan_of_a_version",
            ),
            models.UniqueConstraint(
                fields=["patient"], condition=Q(state="draft"), name="one_open_draft"
            ),
        ]
        indexes = [
            models.Index(fields=["state", "patient"], name="plan_by_state"),
            models.Index(fields=["state", "made_at", "id"], name="plan_to_sign"),
            models.Index(fields=["state", "starts_on"], name="plan_by_start"),
        ]


class PlanEdit(Kept):
    """One number of a plan changed over some weeks, or an earlier change taken back.

    seq            from 1 in each plan
    first_seq      seq of the first of the changes that one form made together
    path           "plate.frequency_hz"; "plate" where the whole modality is left out
    old, new       values; old is a list, one a week, where the weeks differed
    limit_passed   the limit that the written reason lets this pass, or nothing
    undoes         the change, the first of its form, that this row takes back
    """

    plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="edits")
    seq = models.PositiveIntegerField()
    first_seq = models.PositiveIntegerField()
    week_from = models.PositiveSmallIntegerField()
    week_to = models.PositiveSmallIntegerField()
    path = models.CharField(max_length=60)
    old = models.JSONField(null=True)
    new = models.JSONField(null=True)
    reason = models.TextField(blank=True)
    limit_passed = models.TextField(blank=True)
    by = person()
    at = models.DateTimeField()
    undoes = models.OneToOneField(
        "self", on_delete=models.PROTECT, related_name="undone_by", null=True
    )

    class Meta:
        ordering = ["seq"]
        constraints = [
            models.UniqueConstraint(fields=["plan", "seq"], name="one_edit_of_a_number"),
            models.CheckConstraint(
                condition=Q(week_to__gte=F("week_from")), name="edit_weeks_in_order"
            ),
        ]


class SignedPlan(Kept):
    """A program as signed: the snapshot's text, bound to the one before it by its digest.

    body              canonical JSON of the snapshot (programs.signed.snapshot)
    digest            SHA-256 of the body, hexadecimal
    previous_digest   of the program signed before this one, of whichever patient
    signed_name, meaning   as they were printed when it was signed
    """

    plan = models.OneToOneField(Plan, on_delete=models.PROTECT, related_name="signed")
    patient = _patient("signed_plans")
    version = models.PositiveIntegerField()
    body = models.TextField()
    digest = models.CharField(max_length=64, unique=True)
    # Unique, so that the chain of digests cannot fork.
    previous_digest = models.CharField(max_length=64, unique=True)
    signed_by = person()
    signed_name = models.CharField(max_length=200)
    meaning = models.TextField()
    signed_at = models.DateTimeField()
    rulebook = models.CharField(max_length=40)
    format = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["patient", "version"], name="one_signed_version")
        ]


class Handout(Kept):
    """A paper as it was issued, byte by byte. type_pt is the size of its letters."""

    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="handouts")
    kind = models.CharField(max_length=20)
    language = models.CharField(max_length=10)
    paper = models.CharField(max_length=6)
    type_pt = models.PositiveSmallIntegerField()
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    made_at = models.DateTimeField()


class SessionLog(Withdrawable):
    """What was done of one modality on one day. A wrong entry is withdrawn, never deleted.

    whole_day      it tells of the day, such as pain or a fall; its modality says nothing then
    effort, pain   0 to 10
    pain_settled   the pain had settled by the next morning
    pain_with      modalities with which it hurt; none: not said
    watched        somebody who has been shown how was beside her
    sets           lift, kg, repetitions left of the last set; each where it was written down
    """

    KIND = "session"
    DONE = [("all", "all"), ("part", "part"), ("none", "none")]

    patient = _patient("sessions")
    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="sessions")
    on = models.DateField()
    modality = models.CharField(max_length=10, choices=modalities)
    done = models.CharField(max_length=4, choices=DONE)
    minutes = models.PositiveSmallIntegerField(null=True)
    effort = models.PositiveSmallIntegerField(null=True)
    pain = models.PositiveSmallIntegerField(null=True)
    pain_settled = models.BooleanField(null=True)
    fell = models.BooleanField(null=True)
    watched = models.BooleanField(null=True)
    red_flag = models.TextField(blank=True)
    note = models.TextField(blank=True)
    whole_day = models.BooleanField(default=False)
    plate = models.TextField(blank=True)
    broken_off = models.BooleanField(null=True)
    sets = models.JSONField(default=list)
    pain_where = models.TextField(blank=True)
    pain_with = models.JSONField(default=list)
    near_fall = models.BooleanField(null=True)
    ill = models.BooleanField(null=True)
    broke = models.TextField(blank=True)
    entered_by = person()
    entered_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["patient", "on"], name="session_by_day")]
        constraints = [
            models.CheckConstraint(
                condition=Q(effort__lte=10) | Q(effort=None), name="effort_0_to_10"
            ),
            models.CheckConstraint(condition=Q(pain__lte=10) | Q(pain=None), name="pain_0_to_10"),
        ]


class Review(models.Model):
    """A review of a signed program: what was proposed, what was decided, what came next.

    week       of the program, on the day of the review
    proposal   what programs.review.proposal proposed; decision is what the clinician made of it
    """

    patient = _patient("reviews")
    signed = models.ForeignKey(SignedPlan, on_delete=models.PROTECT, related_name="reviews")
    held_on = models.DateField()
    by = person()
    at = models.DateTimeField()
    week = models.PositiveSmallIntegerField()
    proposal = models.JSONField()
    decision = models.JSONField(default=dict)
    next_plan = models.ForeignKey(Plan, on_delete=models.PROTECT, related_name="+", null=True)
    note = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["patient", "held_on"], name="review_by_day")]
