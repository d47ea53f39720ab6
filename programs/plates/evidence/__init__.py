"""The evidence on vibration plates as declared data, and what it comes to for each aim.

Sources as read; what was not read says so. A printed acceleration is never taken on trust:
it is compared with the one that follows from the printed frequency and displacement.
"""

from programs.plates.evidence.alternatives import ALTERNATIVES, Alternative, alternatives
from programs.plates.evidence.balance import (
    AWAITED,
    TRIALS,
    Balance,
    balance,
    direction,
    for_plate,
    usable,
)
from programs.plates.evidence.pooled import POOLED
from programs.plates.evidence.trial import (
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
    "AWAITED",
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
