"""Time and claims of a week, to be changed for a test of how they are shared out."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from programs.draft.order_of_value import ranks
from programs.draft.share import BalanceShare, Claims, Time

NO_BALANCE = BalanceShare(goal=0, first=0, least=0)
THREE_DAYS = ("mon", "wed", "fri")


def time(minutes: float, *aims: str, days: tuple[str, ...] = THREE_DAYS) -> Time:
    """Return so many minutes on each of her days."""
    return Time(days=days, minutes_a_day=minutes, rank=ranks(aims, balance_first=False))


def lifting_min(exercises: int, cut_sets: int | None) -> float:
    """Return 2 minutes and 2 for each set, three sets where they are not cut."""
    return 2.0 + exercises * min(3, cut_sets or 3) * 2


#: Lifting on two days, nothing else.
LIFTING_ALONE = Claims(
    lifting_min=lifting_min,
    lift_days=("mon", "fri"),
    plate_min=None,
    plate_days=(),
    impact_min=None,
    impact_days=(),
    balance=NO_BALANCE,
    posture=False,
)


def claims(**changes: Any) -> Claims:
    """Return the claims of lifting with changes."""
    return replace(LIFTING_ALONE, **changes)


def balance(goal: int = 75, first: int = 0, least: int = 10) -> BalanceShare:
    """Return what balance asks."""
    return BalanceShare(goal=goal, first=first, least=least)
