"""The order of value of the modalities for the aims of a person (rulebook row 23)."""

from __future__ import annotations

from fractions import Fraction

from safety.findings import Modality

_P, _R, _I, _B, _S = Modality  # plate, resistance, impact, balance, posture (spine)

ORDER = {
    "hip": (_R, _I, _P, _B, _S),
    "spine": (_R, _S, _I, _B, _P),
    "wrist": (_R, _I, _B, _S, _P),
    "falls": (_B, _R, _P, _S, _I),
    "strength": (_R, _P, _I, _B, _S),
}
DEFAULT_AIM = "falls"


def ranks(aims: tuple[str, ...], *, balance_first: bool) -> dict[Modality, int]:
    """Return the rank of each modality, 1 the most valuable.

    Several aims: the sum of place/1 in the first, place/2 in the second and so on; ties by
    the first aim. High fall risk or group C puts balance first.
    """
    wanted = aims or (DEFAULT_AIM,)
    first = ORDER[wanted[0]]

    def score(modality: Modality) -> tuple[bool, Fraction, int]:
        total = sum(
            (
                Fraction(ORDER[aim].index(modality) + 1, nth)
                for nth, aim in enumerate(wanted, start=1)
            ),
            Fraction(0),
        )
        leads = balance_first and modality is Modality.BALANCE
        return (not leads, total, first.index(modality))

    ordered = sorted(Modality, key=score)
    return {modality: place for place, modality in enumerate(ordered, start=1)}
