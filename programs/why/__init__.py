"""Why a plan is as it is: the ten parts of each of its lines, and what would change them."""

from programs.why.changes import what_would_change
from programs.why.panel import (
    Choice,
    Open,
    Why,
    why_draft,
    why_findings,
    why_modality,
    why_rule,
)

__all__ = [
    "Choice",
    "Open",
    "Why",
    "what_would_change",
    "why_draft",
    "why_findings",
    "why_modality",
    "why_rule",
]
