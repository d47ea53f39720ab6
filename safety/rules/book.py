"""All rules, in one table."""

from __future__ import annotations

from safety.rules.conditions import CONDITION_RULES
from safety.rules.fractures import FRACTURE_RULES
from safety.rules.pressure import PRESSURE_RULES
from safety.rules.red_flags import RED_FLAG_RULES
from safety.rules.risk_and_density import RISK_RULES
from safety.rules.rule import Rule

RULEBOOK = "2026.2"
RULES: tuple[Rule, ...] = (
    *RED_FLAG_RULES,
    *FRACTURE_RULES,
    *PRESSURE_RULES,
    *RISK_RULES,
    *CONDITION_RULES,
)
