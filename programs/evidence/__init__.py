"""The evidence on vibration plates as declared data, and what it comes to for each aim.

Sources as read; what was not read says so. A printed acceleration is never taken on trust:
it is compared with the one that follows from the printed frequency and displacement.
"""

from programs.evidence.alternatives import ALTERNATIVES, Alternative, alternatives
from programs.evidence.balance import TRIALS, Balance, balance, direction, for_plate, usable
from programs.evidence.pooled import POOLED
from programs.evidence.trial import (
    Agreement,
    Checked,
    Direction,
    Measure,
    Outcome,
    Pooled,
    PooledOutcome,
    Printed,
    Trial,
)

__all__ = [
    "ALTERNATIVES",
    "POOLED",
    "TRIALS",
    "Agreement",
    "Alternative",
    "Balance",
    "Checked",
    "Direction",
    "Measure",
    "Outcome",
    "Pooled",
    "PooledOutcome",
    "Printed",
    "Trial",
    "alternatives",
    "balance",
    "direction",
    "for_plate",
    "usable",
]
