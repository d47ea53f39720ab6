"""The actions by which a doctor is asked and an answer is kept, for the story of a clinic."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patients.models.patient import Patient
from programs.actions import asked_doctors
from programs.models.asked_doctors import DoctorAsked
from tests.kills.harness import Step
from tests.programs.reviews import after


def doctors(patient: Patient, later: dict[str, Any]) -> Iterator[tuple[str, Step]]:
    """Yield each of them once; later says who does it and when."""
    question = {"doctor": "Dr Vale", "what": "Leave for plate", "on": after(4).date()}
    yield "ask_doctor", lambda: asked_doctors.ask_doctor(patient=patient, **question, **later)
    asked = DoctorAsked.objects.get()
    yield (
        "keep_answer",
        lambda: asked_doctors.keep_answer(asked=asked, answer="leave", on=after(4).date(), **later),
    )
