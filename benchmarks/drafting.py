"""How long drafting takes, as ratios against reading the same lines as JSON alone.

Run it from the top folder: `.venv/bin/python -m benchmarks.drafting [people]`. The people are
invented: the steady person of the tests with a few answers changed, the same ones each run.
Ratios travel between machines; seconds do not, and stand beside them only for orientation.
"""

from __future__ import annotations

import cProfile
import io
import json
import pstats
import random
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from typing import Any

from patients import codes
from patients.exchange import read
from patients.facts import Facts
from programs.answer import answer, write
from programs.plan import draft
from safety.screen import screen
from tests.people import steady_document

PEOPLE = 10_000
TOP = 12
SEED = 20260302
DAYS = tuple(codes.DAYS)


def people(count: int) -> Iterator[str]:
    """Yield that many facts documents, one a line."""
    chance = random.Random(SEED)
    for _ in range(count):
        yield json.dumps(_person(chance))


def _person(chance: random.Random) -> dict[str, Any]:
    t = round(chance.uniform(-4.0, 0.0), 1)
    asked = chance.sample(sorted(codes.CONDITIONS), chance.choice((0, 0, 1, 2)))
    return steady_document(
        person={"born": f"{chance.randint(1936, 1975)}-05-14"},
        scans=[{"date": "2026-01-20", "site": "femoral_neck", "t": t, "z": -0.5}],
        falls={"last_12_months": chance.choice((0, 0, 0, 1, 2))},
        conditions=dict.fromkeys(asked, chance.choice(("yes", "unknown"))),
        aims=chance.sample(sorted(codes.AIMS), chance.randint(1, 3)),
        resources={
            "days": sorted(chance.sample(DAYS, chance.randint(1, 7)), key=DAYS.index),
            "minutes_per_day": chance.choice((15, 20, 30, 45, 60)),
            "supervised": chance.choice(("yes", "no")),
            "watcher": "yes",
        },
    )


def _facts(document: object) -> Facts:
    facts = read(document)
    if not isinstance(facts, Facts):
        raise TypeError(f"not a facts document: {facts}")
    return facts


def _median_us(work: Callable[[Any], object], given: list[Any]) -> float:
    """Return the median time of the work over what is given, in microseconds."""
    times = []
    for one in given:
        start = time.perf_counter()
        work(one)
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e6


def _steps(lines: list[str]) -> list[tuple[str, float]]:
    documents = [json.loads(line) for line in lines]
    facts = [_facts(document) for document in documents]
    drafts = [draft(one) for one in facts]
    return [
        ("read the JSON alone", _median_us(json.loads, lines)),
        ("check the facts", _median_us(read, documents)),
        ("screen", _median_us(screen, facts)),
        ("screen and draft", _median_us(draft, facts)),
        ("write the answer", _median_us(lambda made: json.dumps(write(made)), drafts)),
        ("a whole line", _median_us(_a_line, lines)),
    ]


def _a_line(line: str) -> str:
    return json.dumps(answer(json.loads(line)))


def _whole(lines: list[str]) -> tuple[float, float]:
    """Return the seconds of reading all lines as JSON, and of answering them all."""
    start = time.perf_counter()
    for line in lines:
        json.loads(line)
    middle = time.perf_counter()
    for line in lines:
        _a_line(line)
    return middle - start, time.perf_counter() - middle


def _where(lines: list[str]) -> str:
    """Return the profile's top lines, by the time spent in the function itself."""
    profile = cProfile.Profile()
    profile.enable()
    for line in lines:
        _a_line(line)
    profile.disable()
    text = io.StringIO()
    pstats.Stats(profile, stream=text).strip_dirs().sort_stats("tottime").print_stats(TOP)
    return text.getvalue()


def main(count: int) -> str:
    """Return the report."""
    lines = list(people(count))
    sample = lines[: min(count, 500)]
    steps = _steps(sample)
    alone = steps[0][1]
    told = [f"Median of {len(sample)} people, and how many times reading the JSON alone:"]
    told += [f"  {name:22}{us:10.0f} us {us / alone:8.1f} x" for name, us in steps]
    json_s, whole_s = _whole(lines)
    told.append(
        f"{count} people in one run: {whole_s:.1f} s, {whole_s / json_s:.1f} x reading the JSON "
        f"alone, {whole_s / count * 1e3:.2f} ms each"
    )
    told.append(f"Where the time of {len(sample)} goes:")
    return "\n".join((*told, _where(sample)))


if __name__ == "__main__":
    sys.stdout.write(main(int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE) + "\n")
