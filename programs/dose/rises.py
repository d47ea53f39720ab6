"""How fast a clinician's own dose may rise from week to week, beside the plate's own steps."""

from __future__ import annotations

from programs.dose.impact import NEW_RUNG_IMPACTS
from programs.dose.limit import DELOAD_EVERY_WEEKS, STEADY_WEEKS, Limit
from safety.findings import Modality

#: All of these a clinician may pass with a written reason; `judgement` is how far.
DELOAD = Limit(
    name="deload",
    modality=None,
    value=DELOAD_EVERY_WEEKS,
    unit="weeks",
    text="In every fourth week nothing rises",
    sources=("common",),
    judgement=DELOAD_EVERY_WEEKS,
)
STEADY = Limit(
    name="steady",
    modality=None,
    value=STEADY_WEEKS,
    unit="weeks",
    text="In a later half year nothing rises in 4 weeks after each 8",
    sources=("project",),
    judgement=STEADY_WEEKS,
)
HELD = Limit(
    name="held",
    modality=None,
    value=0,
    unit="rises",
    text="A maintenance program holds one dose: nothing rises",
    sources=("project",),
)
STEP_PERCENT = Limit(
    name="step_percent",
    modality=Modality.RESISTANCE,
    beside="could_lift",
    value=10,
    unit="% of the load before",
    text="The load rises by at most 10 % of the load before from week to week",
    sources=("project",),
    judgement=20,
)
STEP_IMPACTS = Limit(
    name="step_impacts",
    modality=Modality.IMPACT,
    beside="impacts",
    value=10,
    unit="impacts",
    text="Impacts rise by at most 10 a session from week to week",
    sources=("project",),
    judgement=50,
)
NEW_RUNG = Limit(
    name="new_rung_impacts",
    modality=Modality.IMPACT,
    beside="impacts",
    value=NEW_RUNG_IMPACTS,
    unit="impacts",
    text=f"A stronger impact starts with at most {NEW_RUNG_IMPACTS} a session",
    sources=("project",),
    judgement=50,
)
LIMITS = {one.name: one for one in (DELOAD, STEADY, HELD, STEP_PERCENT, STEP_IMPACTS, NEW_RUNG)}
