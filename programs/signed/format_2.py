"""The reader of format 2: could-lift, forces of leg and body, near support, holds, until.

Rulebook 2027.1 signs in it. Beside format 1 it says how often a weight could be lifted, the force
on one leg, whether balance is near support, the holds of posture, the last day of a clearance, and
which finding the plan was dosed by.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from programs.signed import format_1
from programs.signed.program import SignedProgram

KEYS = format_1.KEYS


def program(document: Mapping[str, Any]) -> SignedProgram:
    """Return the program in a document of format 2; raises as that of format 1."""
    return format_1.program_with(document, weeks=document["weeks"])
