"""All rules, in one table."""

from __future__ import annotations

from safety.rules.beside_conditions import BESIDE_CONDITION_RULES
from safety.rules.conditions import TABLE_RULES
from safety.rules.fractures import FRACTURE_RULES
from safety.rules.medicines_and_age import MEDICINE_AND_AGE_RULES
from safety.rules.pressure import PRESSURE_RULES
from safety.rules.red_flags import RED_FLAG_RULES
from safety.rules.risk_and_density import RISK_RULES
from safety.rules.rule import Rule
from safety.rules.spine import SPINE_RULES
from safety.rules.standing import STANDING_RULES

RULEBOOK = "2027.1"
RULES: tuple[Rule, ...] = (
    *RED_FLAG_RULES,
    *FRACTURE_RULES,
    *SPINE_RULES,
    *STANDING_RULES,
    *PRESSURE_RULES,
    *RISK_RULES,
    *TABLE_RULES,
    *BESIDE_CONDITION_RULES,
    *MEDICINE_AND_AGE_RULES,
)
