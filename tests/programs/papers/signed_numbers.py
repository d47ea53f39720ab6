"""The numbers, days and dates that a paper has to say, from the signed text alone.

None of the papers' own code is used: the days come from the timetable, the dates from the first
day, the counts from the minutes.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from typing import Any

from programs.exercises import EXERCISES

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LOADED = ("plate", "resistance", "impact")
KINDS = (*LOADED, "balance", "posture")
#: Seconds to get steady between two holds; shorter than a minute a time is told in such steps.
PAUSE_S, STEP_S = 10, 10
NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
Numbers = list[float]


def cut_weeks(held: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the weeks without what lies after the last day of a clearance (rulebook row 22b)."""
    found = []
    for week in held["weeks"]:
        mine = dict(week)
        for kind in KINDS:
            part, until = mine[kind], _until(held, kind)
            if not part or until is None:
                continue
            days = days_of(held, week, kind)
            sessions = min(part["sessions"], len(days))
            mine[kind] = part | {"sessions": sessions} if days else None
            if days and kind in ("balance", "posture"):
                mine[kind]["minutes"] = part["minutes"] * sessions // part["sessions"]
        found.append(mine)
    return found


def _until(held: Mapping[str, Any], kind: str) -> dt.date | None:
    told = held["draft"]["modalities"][kind].get("until")
    return dt.date.fromisoformat(told) if told else None


def days_of(held: Mapping[str, Any], week: Mapping[str, Any], kind: str) -> list[dt.date]:
    """Return the dates on which a week may hold a kind, in the order of the timetable."""
    part, until = week[kind], _until(held, kind)
    if not part:
        return []
    begins = dt.date.fromisoformat(held["starts_on"]) + dt.timedelta(weeks=week["week"] - 1)
    by_day = {
        WEEK[(begins + dt.timedelta(n)).weekday()]: begins + dt.timedelta(n) for n in range(7)
    }
    named = [by_day[day] for day in WEEK if kind in held["timetable"].get(day, ())]
    if until is None:
        return named[: part["sessions"]] if kind in LOADED else named
    left = [day for day in named if day <= until]
    return left[: part["sessions"]] if kind in LOADED else left


def shared(part: Mapping[str, Any], kind: str, code: str) -> Numbers:
    """Return the numbers of one balance or posture exercise in a session."""
    hold = EXERCISES[code].hold_s
    if kind == "posture" and part.get("reps") is not None and code != "lie_flat":
        return [part["reps"]] if hold is None else [part["reps"], part["hold_s"] or hold]
    seconds = part["minutes"] * 60 // (part["sessions"] * len(part["exercises"]))
    if hold is not None:
        return [max(1, seconds // (hold + PAUSE_S)), hold]
    if seconds >= 60:
        return [seconds // 60]
    return [max(STEP_S, seconds // STEP_S * STEP_S)]


def numbers(text: str) -> Numbers:
    """Return the numbers in a text, whichever decimal mark it has."""
    return [float(one.replace(",", ".")) for one in NUMBER.findall(text)]


def shown_hz(part: Mapping[str, Any]) -> float:
    """Return the frequency that the panel of a plate shows, measured or not."""
    told: float = part.get("panel_hz", part["frequency_hz"])
    return told


def panel(part: dict[str, Any]) -> Iterator[float]:
    yield shown_hz(part)
    if part["setting"] is not None:
        yield part["setting"]
    if part["bouts"] is None:
        yield from clock(part["vibration_min"])
    else:
        yield part["bouts"]
        yield part["bout_s"]
        if part["bouts"] != 1:
            yield part["rest_s"]


def clock(minutes: float) -> Numbers:
    whole, rest = divmod(round(minutes * 60), 60)
    return [*([whole] if whole else []), *([rest] if rest else [])]


#: Above so many nobody can feel how often a weight would go (rulebook row 19a).
FELT_TO = 20


def sets(part: dict[str, Any]) -> Iterator[float]:
    """Yield sets, repeats, how heavy, and the repeats of lifts that have their own."""
    yield part["sets"]
    could = part.get("could_lift")
    if "could_lift" not in part or could is not None:
        yield part["reps"]
    if could is not None:
        # Easy is told as effort 3 of 10.
        yield from (could, part["reps"]) if could <= FELT_TO else (3, 10)
    yield from [one["reps"] for one in part["exercises"] if one.get("reps") is not None]


def is_weighed(one: dict[str, Any]) -> bool:
    to_find = one.get("reps") is None and EXERCISES[one["exercise"]].loadable
    return one["load_kg"] is not None or to_find


def of_block(code: str, kind: str, part: dict[str, Any]) -> Numbers:
    if kind == "impact":
        return [part["minutes"] if part["impacts"] is None else part["impacts"]]
    if kind != "resistance":
        return shared(part, kind, code)
    (lift,) = (one for one in part["exercises"] if one["exercise"] == code)
    if lift.get("reps") is not None:
        return [lift["reps"]]
    kg, could = lift["load_kg"], part.get("could_lift")
    load = [] if kg is None else [kg]
    if could is None or not (kg is not None or EXERCISES[code].loadable):
        return load
    return [*load, could] if could <= FELT_TO else [*load, 3, 10]


def has_spare(part: dict[str, Any]) -> bool:
    """Tell whether a week of lifting says how many repeats are to spare: format 1."""
    return "could_lift" not in part


def of_table(part: dict[str, Any]) -> Numbers:
    return [part["sets"], part["reps"], part["reps_in_reserve"]]


def on_panel(part: dict[str, Any]) -> Numbers:
    """Return speed, number and time of a round, as the panel of a plate shows them."""
    told = [shown_hz(part), part["setting"]]
    lasts = part["vibration_min"] if part["bout_s"] is None else part["bout_s"] / 60
    return [*(one for one in told if one is not None), *clock(lasts)]


def columns(part: dict[str, Any]) -> Numbers:
    told = [shown_hz(part), part["setting"], part["bouts"], part["bout_s"], part["rest_s"]]
    return [*(one for one in told if one is not None), *clock(part["vibration_min"])]
