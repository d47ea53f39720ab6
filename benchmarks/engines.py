"""The screen beside compiled rule engines: an equal set of rules, people at random, and agreement.

Run it from the top folder, with `datalogic-py` and `zen-engine` in an environment of their own:
`PYTHONPATH=ENVIRONMENT/lib/python3.11/site-packages .venv/bin/python -m benchmarks.engines FILE`,
FILE being people that `benchmarks.same_drafts` drew. The rules of conditions, pressure and
fractures are written a second time, as expressions over flat facts. The engines get those worked
out outside the clock and answer with codes; the screen works out its situation and risks, and
writes texts.
"""

from __future__ import annotations

import importlib
import json
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from benchmarks.searching import loop
from patients.facts.ages import add_months
from patients.facts.codes import CONDITIONS
from safety import fracture_history
from safety.findings import Finding, Level
from safety.fracture_history import ARM_SITES, MINOR_SITES, TOE_SITES
from safety.rules.conditions import LINES, TABLE_RULES, Line, may_bear
from safety.rules.fractures import FRACTURE_RULES, WHOLE_BODY_SITES
from safety.rules.index import Index
from safety.rules.pressure import PRESSURE_RULES
from safety.rules.rule import Rule
from safety.screen import most_serious_first
from safety.situation import Situation, situation
from tests.people import facts

PEOPLE, ROUNDS = 2_000, 5
EQUAL: tuple[Rule, ...] = (*FRACTURE_RULES, *PRESSURE_RULES, *TABLE_RULES)

#: An expression: its sign, then a name and a value, or further expressions.
Expression = tuple[Any, ...]
#: What a rule looks for, the code it is known by, and whether it only asks.
Written = tuple[Expression, str, bool]

# --- Flat facts, worked out outside the clock -------------------------------------------------


def flat(s: Situation) -> dict[str, Any]:
    """Return what the expressions read: numbers, words, yes and no; nothing is None."""
    return {**_conditions(s), **_pressure(s), **_fractures(s)}


def _conditions(s: Situation) -> dict[str, Any]:
    found: dict[str, Any] = {"may_bear": may_bear(s)}
    for code in CONDITIONS:
        held = s.facts.condition(code)
        found[f"{code}_answer"] = {True: "yes", False: "no", None: "unknown"}[held.answer]
        found[f"{code}_dated"] = held.on is not None
        found[f"{code}_mild"] = held.degree == "mild"
        found[f"{code}_days"] = 0 if held.on is None else (s.day - held.on).days
        for months in (6, 24):
            over = held.on is not None and s.day > add_months(held.on, months)
            found[f"{code}_over_{months}"] = over
    return found


def _pressure(s: Situation) -> dict[str, Any]:
    resting, standing = s.tests.read.resting_bp, s.tests.read.standing_bp
    systolic, diastolic = resting or (120, 80)
    return {
        "bp_taken": resting is not None,
        "bp_stale": "resting_bp" in s.tests.stale,
        "bp_systolic": systolic,
        "bp_diastolic": diastolic,
        "bp_standing": standing[0] if standing else 120,
        "bp_pair": s.tests.pair is not None,
        "bp_drops": bool(s.tests.drops),
    }


def _fractures(s: Situation) -> dict[str, Any]:
    held, day, h = s.fractures or (), s.day, fracture_history
    mending = [f.site for f in held if h.is_mending(f, day)]
    late = [f for f in held if f.date is not None and day > add_months(f.date, 12)]
    return {
        "fx_asked": s.fractures is not None,
        "fx_fresh": sum(
            h.is_fresh(f, day) for f in held if f.site in (*WHOLE_BODY_SITES, *ARM_SITES)
        ),
        "fx_mending": sum(site in WHOLE_BODY_SITES for site in mending),
        "fx_arm": sum(site in ARM_SITES for site in mending),
        "fx_minor": sum(site in MINOR_SITES for site in mending),
        "fx_toe": sum(site in TOE_SITES for site in mending),
        "fx_unsure": sum(h.is_unsure(f, day) and not h.is_mending(f, day) for f in held),
        "fx_undated": sum(f.date is None for f in held),
        "fx_twice": len(h.twice(s.facts.fractures)),
        "fx_not_united": sum(f.healed is False and f.site in ARM_SITES for f in late),
        "fx_thigh": sum(f.site == "femur_shaft" and f.atypical is not False for f in held),
    }


# --- The rules as expressions -------------------------------------------------------------------

_DAYS = {"recent_surgery": 84, "recent_eye_surgery": 84, "recent_birth": 84}
_MONTHS = {"joint_replacement": 6, "spinal_implant": 6, "stones": 24}


def written() -> list[Written]:
    """Return all rules as expressions."""
    lines = {(line.condition, line.part): line for line in LINES}
    found: list[Written] = []
    for rule in TABLE_RULES:
        condition, *part = rule.code.split(".")[:-1]
        found += _of_line(lines[condition, "".join(part)], rule.code)
    for rule in PRESSURE_RULES:
        found += _of_pressure(rule.code)
    for rule in FRACTURE_RULES:
        found += _of_fracture(rule.code)
    return found


def _of_line(line: Line, code: str) -> Iterator[Written]:
    name = line.condition
    fires: list[Expression] = [("==", f"{name}_answer", "yes")]
    if name in _DAYS:
        recent = ("or", ("==", f"{name}_dated", False), ("<=", f"{name}_days", _DAYS[name]))
        fires.append(recent)
    if name in _MONTHS:
        fires.append(("==", f"{name}_over_{_MONTHS[name]}", line.part == "older"))
    if name == "osteoarthritis":
        fires.append(("==", f"{name}_mild", False))
    yield ("and", *fires), code, False
    if line.part != "older":
        asked: list[Expression] = [("==", f"{name}_answer", "unknown")]
        asked += [("==", "may_bear", True)] if line.asked is may_bear else []
        yield ("and", *asked), code, True


def _over(systolic: int, diastolic: int) -> Expression:
    return ("or", (">", "bp_systolic", systolic), (">", "bp_diastolic", diastolic))


_TAKEN: Expression = ("==", "bp_taken", True)
_LOW: Expression = ("and", _TAKEN, ("<=", "bp_systolic", 90))


def _of_pressure(code: str) -> Iterator[Written]:
    if code.startswith("pressure.over_180_110") or code == "pressure.refer":
        yield ("and", _TAKEN, _over(180, 110)), code, False
    elif code.startswith("pressure.over_160_100"):
        yield ("and", _TAKEN, _over(160, 100), ("not", _over(180, 110))), code, False
    elif code.startswith("pressure.not_measured"):
        yield ("or", ("not", _TAKEN), ("==", "bp_stale", True)), code, True
    elif code == "pressure.low.refer":
        worse = ("or", ("==", "bp_drops", True), ("<=", "bp_standing", 80))
        yield ("and", _LOW, worse), code, False
    elif code.startswith("pressure.low."):
        yield _LOW, code, False
    else:
        yield ("==", "bp_drops", True), code, False
        yield ("==", "bp_pair", False), code, True


_FRACTURES = {
    "fracture.under_4_weeks": ("fx_fresh", False),
    "fracture.mending": ("fx_mending", False),
    "fracture.arm.not_united": ("fx_not_united", False),
    "fracture.arm": ("fx_arm", False),
    "fracture.minor": ("fx_minor", False),
    "fracture.toe": ("fx_toe", False),
    "fracture.healing_unknown": ("fx_unsure", True),
    "fracture.undated": ("fx_undated", True),
    "fracture.entered_twice": ("fx_twice", True),
    "thigh_bone": ("fx_thigh", False),
}


def _of_fracture(code: str) -> Iterator[Written]:
    if code.startswith("fracture.not_asked"):
        yield ("==", "fx_asked", False), code, True
        return
    name, asks = next(held for head, held in _FRACTURES.items() if code.startswith(head))
    yield (">", name, 0), code, asks


# --- The engines ------------------------------------------------------------------------------

Look = Callable[[Any], Iterable[str]]


def _logic(one: Expression) -> Any:
    sign, *of = one
    if sign in ("and", "or", "not"):
        return {"!" if sign == "not" else sign: [_logic(each) for each in of]}
    return {sign: [{"var": of[0]}, of[1]]}


def _text(one: Expression) -> str:
    sign, *of = one
    if sign == "not":
        return f"not ({_text(of[0])})"
    if sign in ("and", "or"):
        return f"({f' {sign} '.join(_text(each) for each in of)})"
    return f"{of[0]} {sign} {json.dumps(of[1])}"


def _called(code: str, asks: bool) -> str:
    return f"{code} ?" if asks else code


def datalogic(rules: list[Written]) -> tuple[Look, Callable[[dict[str, Any]], Any]]:
    """Return the engine's look, and what it is best given: its own form of the facts."""
    module = importlib.import_module("datalogic_py")
    engine = module.Engine()
    each = [{"if": [_logic(one), _called(code, asks), ""]} for one, code, asks in rules]
    compiled, session = engine.compile(each), engine.session()
    return (
        lambda held: session.evaluate_data(compiled, held),
        lambda held: module.DataHandle(json.dumps(held)),
    )


def zen(rules: list[Written]) -> tuple[Look, Callable[[dict[str, Any]], Any]]:
    """Return the other engine's look, and the facts as they are."""
    module = importlib.import_module("zen")
    each = (f'{_text(one)} ? "{_called(code, asks)}" : ""' for one, code, asks in rules)
    compiled = module.compile_expression(f"[{', '.join(each)}]")
    return compiled.evaluate, lambda held: held


# --- Agreement and times ----------------------------------------------------------------------


def named(found: Iterable[Finding]) -> set[str]:
    """Return the findings as the engines name them: their level is left aside."""
    return {
        _called(f.rule, f.level is Level.MISSING and f.text.startswith("Not recorded"))
        for f in found
    }


def _us(work: Callable[[Any], object], given: list[Any]) -> tuple[float, float]:
    """Return the processor's microseconds for one of what is given, and for the fixed loop."""
    times, loops = [], []
    for _ in range(ROUNDS):
        start = time.process_time()
        loop()
        middle = time.process_time()
        for one in given:
            work(one)
        loops.append(middle - start)
        times.append((time.process_time() - middle) / len(given))
    return min(times) * 1e6, min(loops) * 1e6


def main(file: Path) -> str:
    """Return the report."""
    with file.open() as lines:
        known = [facts(json.loads(line)[0]) for line in islice(lines, PEOPLE)]
    book, rules = Index.of(EQUAL), written()

    def screen(one: Any) -> tuple[Finding, ...]:
        return most_serious_first(book.look(situation(one)))

    said = [named(screen(one)) for one in known]
    flat_facts = [flat(situation(one)) for one in known]
    told = [f"{len(EQUAL)} rules, {len(rules)} expressions, {len(known)} people"]
    took = {"the screen, texts and all": _us(screen, known)}
    for engine in (datalogic, zen):
        look, given = engine(rules)
        held = [given(one) for one in flat_facts]
        took[f"{engine.__name__}, compiled"] = _us(look, held)
        alike = sum(
            {name for name in look(one) if name} == each
            for one, each in zip(held, said, strict=True)
        )
        told.append(f"{engine.__name__} agrees about {alike} of {len(known)}")
    told.append(f"  {'':28}{'loops':>9}{'us':>7}")
    told += [f"  {name:28}{us / fixed:9.4f}{us:7.0f}" for name, (us, fixed) in took.items()]
    return "\n".join(told)


if __name__ == "__main__":
    sys.stdout.write(main(Path(sys.argv[1])) + "\n")
