"""What was asked of doctors, and what they answered; both stay as they were written."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from patients.kept_rows import Kept, person
from patients.models.patient import Patient


class DoctorAsked(Kept):
    """That a doctor was asked something about her.

    doctor   as it is told: "Dr Vale, heart clinic"
    what     what was asked: leave for some kinds, an assessment
    on       the day that the letter went out, or it was asked by telephone
    """

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="doctors_asked")
    doctor = models.CharField(max_length=120)
    what = models.TextField()
    on = models.DateField()
    by = person()
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(doctor="") & ~Q(what=""), name="asked_of_somebody")
        ]
        indexes = [
            models.Index(fields=["patient", "on"], name="doctor_asked"),
            models.Index(fields=["on", "id"], name="doctor_asked_on"),
        ]


class DoctorAnswered(Kept):
    """What came of it. A leave that was given is recorded as a clearance of its own."""

    ANSWERS = [
        ("leave", "leave given"),
        ("no leave", "no leave given"),
        ("seen to", "seen to"),
        ("not needed", "not needed any more"),
    ]

    asked = models.OneToOneField(DoctorAsked, on_delete=models.PROTECT, related_name="answer")
    answer = models.CharField(max_length=10, choices=ANSWERS)
    note = models.TextField(blank=True)
    on = models.DateField()
    by = person()
    at = models.DateTimeField()
