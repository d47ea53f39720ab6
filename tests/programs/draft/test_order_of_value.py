"""The order of value for the aims."""

from __future__ import annotations

from itertools import permutations

import pytest

from programs.draft.order_of_value import ORDER, ranks


@pytest.mark.parametrize("aim", ORDER)
def test_one_aim_gives_its_own_order(aim: str) -> None:
    found = ranks((aim,), balance_first=False)
    assert sorted(found, key=lambda m: found[m]) == list(ORDER[aim])


def test_no_aim_counts_as_falls() -> None:
    assert ranks((), balance_first=False) == ranks(("falls",), balance_first=False)


def test_several_aims_weigh_by_their_place() -> None:
    """Spine then falls: resistance 1+1, posture 2+2, balance 4+0.5, impact 3+2.5, plate 5+1.5."""
    found = ranks(("spine", "falls"), balance_first=False)
    assert [str(m) for m in sorted(found, key=lambda m: found[m])] == [
        "resistance",
        "posture",
        "balance",
        "impact",
        "plate",
    ]


def test_falls_then_hip_is_summed() -> None:
    found = ranks(("falls", "hip"), balance_first=False)
    # balance 1 + 4/2 = 3, resistance 2 + 1/2 = 2.5, plate 3 + 3/2 = 4.5, posture 4 + 5/2 = 6.5,
    # impact 5 + 2/2 = 6.
    assert [str(m) for m in sorted(found, key=lambda m: found[m])] == [
        "resistance",
        "balance",
        "plate",
        "impact",
        "posture",
    ]


@pytest.mark.parametrize("aims", list(permutations(ORDER, 2)))
def test_balance_first_moves_balance_alone(aims: tuple[str, ...]) -> None:
    usual, first = ranks(aims, balance_first=False), ranks(aims, balance_first=True)
    others = [m for m in sorted(usual, key=lambda m: usual[m]) if m != "balance"]
    assert first["balance"] == 1  # type: ignore[index]
    assert sorted(first, key=lambda m: first[m])[1:] == others
    assert sorted(first.values()) == [1, 2, 3, 4, 5]
