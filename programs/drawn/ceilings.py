"""How high the ramp of each kind may be drafted for her, and the limits that hold her group."""

from __future__ import annotations

from programs.dose import posture
from programs.dose.could_lift import percent_of
from programs.dose.limit_tables import TABLES, LimitRow, rows_of
from programs.dose.plate_limits import TOP_G
from programs.draft import person
from programs.edit.base_draft import Basis
from safety.findings import WALKING_BW, Modality
from safety.modalities import MODALITIES


def ceiling(modality: Modality, basis: Basis) -> float | None:
    """Return the ceiling of a kind; None where none is told in that unit."""
    made = basis.made
    match modality:
        case Modality.PLATE:
            cap = basis.cap_g
            top = made.clinic.value(TOP_G)
            return top if cap is None else min(cap, top)
        case Modality.RESISTANCE:
            return percent_of(person.least_could_lift(made.screen, made.group, made.clinic))
        case Modality.IMPACT:
            cap_bw = person.impact_cap_bw(made.screen, made.group, made.clinic)
            beside_lifting = Modality.RESISTANCE in basis.included
            return cap_bw if beside_lifting else min(cap_bw, WALKING_BW)
        case Modality.BALANCE:
            return None if made.screen.situation.seated else person.most_rung(made.screen)
        case _:
            a_day = made.clinic.value(posture.LIMITS["minutes_a_day"])
            return a_day * len(basis.course.days)


def limits_for(modality: Modality, basis: Basis) -> tuple[LimitRow, ...]:
    """Return the limits of a kind that are for everyone or for her group, as in force here."""
    made = basis.made
    overseen = person.is_overseen(made.screen)
    return rows_of(
        made.clinic.in_force(limit)
        for limit in TABLES[MODALITIES[modality].name]
        if limit.touches(made.group, supervised=overseen)
    )
