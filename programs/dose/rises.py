"""How fast a clinician's own dose may rise from week to week, beside the plate's own steps."""

from __future__ import annotations

from programs.dose.impact import NEW_RUNG_IMPACTS
from programs.dose.limit import DELOAD_EVERY_WEEKS, Limit
from safety.sources import cite

#: All of these a clinician may pass with a written reason; `judgement` is how far.
DELOAD = Limit(
    name="deload",
    value=DELOAD_EVERY_WEEKS,
    unit="weeks",
    text="In every fourth week nothing rises",
    source=cite("common"),
    judgement=DELOAD_EVERY_WEEKS,
)
STEP_PERCENT = Limit(
    name="step_percent",
    value=10,
    unit="% of 1RM",
    text="The load rises by at most 10 % of the one-repetition maximum from week to week",
    source=cite("project"),
    judgement=20,
)
STEP_IMPACTS = Limit(
    name="step_impacts",
    value=10,
    unit="impacts",
    text="Impacts rise by at most 10 a session from week to week",
    source=cite("project"),
    judgement=50,
)
NEW_RUNG = Limit(
    name="new_rung_impacts",
    value=NEW_RUNG_IMPACTS,
    unit="impacts",
    text=f"A stronger impact starts with at most {NEW_RUNG_IMPACTS} a session",
    source=cite("project"),
    judgement=50,
)
REPETITIONS = Limit(
    name="repetitions_possible",
    value=100,
    unit="% of 1RM",
    text="The repetitions asked for, with those in reserve, are more than the load allows",
    source=("Kemmler and others, J Strength Cond Res 2006;20:838",),
    judgement=120,
)
LIMITS = {one.name: one for one in (DELOAD, STEP_PERCENT, STEP_IMPACTS, NEW_RUNG, REPETITIONS)}
