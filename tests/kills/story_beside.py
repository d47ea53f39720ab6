"""What she said of a kind and what came of the prompts, for the story of a clinic."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from patients.models.patient import Patient
from programs.actions import beside
from safety.findings import Modality
from tests.kills.harness import Step
from tests.programs.reviews import after


def beside_the_exercise(patient: Patient, later: dict[str, Any]) -> Iterator[tuple[str, Step]]:
    """Yield each of them once; later says who does it and when."""
    day = after(4).date()
    refusal = {"modality": Modality.PLATE, "said": "refuses", "words": "No.", "asked_by": "Dr Vale"}
    yield (
        "say_of_kind",
        lambda: beside.say_of_kind(patient=patient, on=day, **refusal, **later),
    )
    told = [
        beside.Told(prompt="protein", answer="done"),
        beside.Told(prompt="vision", answer="referred", to="Dr Vale"),
    ]
    yield (
        "answer_prompts",
        lambda: beside.answer_prompts(patient=patient, told=told, on=day, **later),
    )
