"""A week of rulebook row 24 solved exactly by an integer program: an outside check of the fit.

Unknowns: which of eight lifting sessions (row 24's order), what is kept, and on each day whole
minutes of balance, whether there is a bout of it, and whether there is posture. What gives way
costs more than all that gives way before it, so that the cheapest week is the rulebook's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from programs.draft.share import Claims, Time
from safety.findings import Modality

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
#: Exercises, most sets and sessions, in the order in which lifting gives way; the last is none.
SESSIONS = (
    *((4, 3, 2), (3, 3, 2), (2, 3, 2), (2, 2, 2), (2, 1, 2), (1, 1, 2), (1, 1, 1)),
    (0, 0, 0),
)
POSTURE_MIN, BOUT_MIN, POSTURE_DAYS = 5, 5, 2
ROOM = 1e-9


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The exact week: sessions of lifting, what is in it, and the minutes of balance."""

    lifting: tuple[int, int, int]
    held: frozenset[Modality]
    balance_min: int


class _Program:
    """The integer program: unknowns by name, rows of constraints, costs."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.upper: list[float] = []
        self.rows: list[tuple[dict[str, float], float, float]] = []

    def unknown(self, name: str, upper: float = 1) -> str:
        self.names.append(name)
        self.upper.append(upper)
        return name

    def row(self, weights: dict[str, float], low: float, high: float) -> None:
        self.rows.append((weights, low, high))

    def cheapest(self, costs: dict[str, float]) -> dict[str, int] | None:
        at = {name: n for n, name in enumerate(self.names)}
        matrix = np.zeros((len(self.rows), len(at)))
        for n, (weights, _, _) in enumerate(self.rows):
            for name, weight in weights.items():
                matrix[n, at[name]] += weight
        found = milp(
            c=np.array([costs.get(name, 0.0) for name in self.names]),
            constraints=LinearConstraint(
                matrix, [row[1] for row in self.rows], [row[2] for row in self.rows]
            ),
            integrality=np.ones(len(at)),
            bounds=Bounds(0, self.upper),
            options={"mip_rel_gap": 0},
        )
        return None if found.x is None else {name: round(found.x[n]) for name, n in at.items()}


def solve(time: Time, claims: Claims) -> Solved:
    """Return the week in which the least gives way, and its minutes of balance."""
    program, costs = _week(time, claims), _costs(time, claims)
    first = program.cheapest(costs)
    assert first is not None, "a week of nothing is always possible"
    for name, cost in costs.items():
        if cost:
            program.row({name: 1}, first[name], first[name])
    gone = {m for m in Modality if first.get(f"no {m}", 1)}
    whole = not gone & claims.asked and not any(first[f"lifting {one}"] for one in SESSIONS[1:])
    # Balance that comes first has its half, and more only where the whole program has room.
    wanted = 1 if claims.balance.first and not whole else -1
    last = program.cheapest({f"balance {day}": wanted for day in time.days})
    assert last is not None
    return Solved(
        lifting=next(one for one in SESSIONS if last[f"lifting {one}"]),
        held=frozenset(claims.asked - gone),
        balance_min=sum(last[f"balance {day}"] for day in time.days),
    )


def _week(time: Time, claims: Claims) -> _Program:
    program, asked = _Program(), claims.asked
    for one in SESSIONS:
        program.unknown(f"lifting {one}", 1 if LIFTING in asked or one == SESSIONS[-1] else 0)
    program.row({f"lifting {one}": 1 for one in SESSIONS}, 1, 1)
    for modality in Modality:
        program.unknown(f"no {modality}")
    if LIFTING in asked:
        program.row({f"no {LIFTING}": 1, f"lifting {SESSIONS[-1]}": -1}, 0, 0)
    for modality in asked:
        # More than two exercises only where nothing drops out.
        four_or_three = {f"lifting {one}": 1.0 for one in SESSIONS[:2]}
        program.row({**four_or_three, f"no {modality}": 1}, 0, 1)
    for day in time.days:
        _day(program, day, time, claims)
    _balance(program, time, claims)
    on = {f"posture {day}": 1.0 for day in time.days}
    short = min(POSTURE_DAYS, len(time.days)) if POSTURE in asked else 0
    program.row({**on, f"no {POSTURE}": short}, short, np.inf)
    return program


def _day(program: _Program, day: str, time: Time, claims: Claims) -> None:
    most = int(time.minutes_a_day)
    program.unknown(f"balance {day}", most)
    program.unknown(f"bout {day}")
    program.unknown(f"posture {day}", 1 if POSTURE in claims.asked else 0)
    used = {f"balance {day}": 1.0, f"posture {day}": float(POSTURE_MIN)}
    for one in SESSIONS[:-1]:
        if claims.lifting_min and day in claims.lift_days[: one[2]]:
            used[f"lifting {one}"] = claims.lifting_min(one[0], one[1])
    spent = 0.0
    for modality, minutes, on in (
        (PLATE, claims.plate_min, claims.plate_days),
        (IMPACT, claims.impact_min, claims.impact_days),
    ):
        if minutes is not None and day in on:
            used[f"no {modality}"] = -minutes
            spent += minutes
    program.row(used, -np.inf, time.minutes_a_day - spent + ROOM)
    program.row({f"balance {day}": 1, f"bout {day}": -most}, -np.inf, 0)


def _balance(program: _Program, time: Time, claims: Claims) -> None:
    asked = claims.balance
    program.unknown("balance on some days")
    all_of_it = {f"balance {day}": 1.0 for day in time.days}
    program.row(all_of_it, 0, asked.goal)
    if asked.first:
        program.row({**all_of_it, f"no {BALANCE}": asked.first}, asked.first, np.inf)
    some = program.names[-1]
    # It is on some days alone where it would else drop out: then two exercises are the most.
    program.row({**{f"lifting {one}": 1.0 for one in SESSIONS[:2]}, some: 1}, 0, 1)
    for day in time.days:
        least = BOUT_MIN if asked.first else asked.least
        program.row({f"balance {day}": 1, f"bout {day}": -least}, 0, np.inf)
        program.row({f"bout {day}": 1, f"no {BALANCE}": 1}, 0, 1)
        if asked.goal and not asked.first:
            program.row({f"bout {day}": 1, some: 1, f"no {BALANCE}": 1}, 1, np.inf)
    if asked.goal:
        bouts = {f"bout {day}": 1.0 for day in time.days}
        program.row({**bouts, f"no {BALANCE}": 1}, 1, np.inf)


def _costs(time: Time, claims: Claims) -> dict[str, float]:
    """Return what giving way costs: each more than all that gives way before it together."""
    asked = claims.asked
    lowest_first = sorted(asked - {LIFTING}, key=lambda m: -time.rank[m])
    if claims.balance.first:
        lowest_first = [m for m in lowest_first if m is not BALANCE]
    costs = {f"lifting {SESSIONS[1]}": 1.0, f"lifting {SESSIONS[2]}": 2.0}
    cost = 4.0
    for modality in lowest_first:
        costs[f"no {modality}"] = cost * 2
        if modality is BALANCE:
            costs["balance on some days"] = cost
        cost *= 4
    for one in SESSIONS[3:]:
        costs[f"lifting {one}"] = cost
        cost *= 2
    if claims.balance.first:
        costs[f"no {BALANCE}"] = cost
    return costs
