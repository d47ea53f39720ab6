"""Why a plan is as it is: the ten parts of each of its lines, and what would change them."""

from programs.why.changes import what_would_change
from programs.why.of_modality import why_modality
from programs.why.of_rule import why_findings, why_rule
from programs.why.panel import Choice, Open, Why

__all__ = [
    "Choice",
    "Open",
    "Why",
    "what_would_change",
    "why_findings",
    "why_modality",
    "why_rule",
]
