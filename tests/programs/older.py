"""Programs signed under an older rulebook, in format 1, whose paper told too heavy a weight."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User

from patients.models.patient import Patient
from programs.models.program import SignedPlan
from programs.models.program_state import ProgramState
from tests.people import steady_document
from tests.programs import rows

SAMPLE = Path(__file__).parents[1] / "snapshots" / "format-1.json"
RULEBOOK = "2026.2"


def signed(
    by: User,
    starts_on: dt.date = rows.DAY,
    patient: Patient | None = None,
    version: int = 1,
    **changes: Any,
) -> SignedPlan:
    """Return one of a steady person; `changes` replaces parts of its text."""
    of = patient or rows.recorded(by, steady_document())
    text = json.loads(SAMPLE.read_text(encoding="utf-8"))
    text |= {"starts_on": starts_on.isoformat(), "version": version, "rulebook": RULEBOOK}
    text["patient"] |= {"id": of.pk}
    plan = rows.plan(of, by, starts_on=starts_on, version=version)
    return rows.signed(plan, by, text=text | changes)


def stopped(of: SignedPlan, by: User, *, all_of_it: bool = True, **more: Any) -> None:
    """Hold a review that stops all of a program, or all but balance."""
    chosen = {"plate": "stop", "balance": "stop" if all_of_it else "hold"}
    decided = {modality: {"chosen": what} for modality, what in chosen.items()}
    held = rows.review(of, by, decision={"modalities": decided}, **more)
    modality = "" if all_of_it else "plate"
    rows.state(of, ProgramState.STOPPED, modality=modality, review=held, at=held.at)
