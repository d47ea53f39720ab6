"""What the log knows of a signed program, once it verifies."""

from __future__ import annotations

from programs.actions import as_signed
from programs.models.program import SignedPlan
from programs.review.adherence import Planned
from programs.review.log_grid import Program


def program_of(signed: SignedPlan) -> Program:
    """Return what the log's grid knows of a signed program."""
    program = as_signed.program_of(signed)
    signed_for = (week.plate.plate for week in program.weeks if week.plate)
    plates = tuple(dict.fromkeys([*signed_for, *program.motions]))
    return Program(planned=Planned.of(program), plates=plates)
