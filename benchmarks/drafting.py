"""How long a screen and a draft take, as ratios to a fixed loop of plain Python of the same run.

Run it from the top folder: `.venv/bin/python -m benchmarks.drafting [people]`. The people are
invented: the steady person of the tests with a few answers changed, the same ones each run. Times
are of the processor, each step in turn with the loop; only those of whole runs are by the clock.
Ratios travel between machines; what stands beside them does not.
"""

from __future__ import annotations

import cProfile
import hashlib
import io
import json
import pstats
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from benchmarks.searching import loop
from patients.facts import codes
from patients.facts.declared import Facts
from patients.facts.document import read
from programs.draft.document import answer, write
from programs.draft.draft import draft
from safety.screen import screen
from safety.situation import situation
from tests.people import steady_document
from tests.safety.campaigns import by_all_rules

PEOPLE = 10_000
SAMPLE, ROUNDS = 500, 5
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


def _us(work: Callable[[Any], object], given: list[Any]) -> tuple[float, float]:
    """Return the microseconds of the work for one of what is given, and those of the fixed loop.

    Of several rounds the quickest: whatever else the machine does makes a time longer.
    """
    times, loops = [], []
    for _ in range(ROUNDS):
        loops.append(_seconds(loop))
        start = time.process_time()
        for one in given:
            work(one)
        times.append((time.process_time() - start) / len(given))
    return min(times) * 1e6, min(loops) * 1e6


def _seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def _steps(lines: list[str]) -> list[tuple[str, float, float]]:
    documents = [json.loads(line) for line in lines]
    facts = [_facts(document) for document in documents]
    drafts = [draft(one) for one in facts]
    return [
        ("read the JSON alone", *_us(json.loads, lines)),
        ("check the facts", *_us(read, documents)),
        ("work out the situation", *_us(situation, facts)),
        ("screen", *_us(screen, facts)),
        ("the same, all rules look", *_us(by_all_rules, facts)),
        ("screen and draft", *_us(draft, facts)),
        ("write the answer", *_us(lambda made: json.dumps(write(made)), drafts)),
        ("a whole line", *_us(_a_line, lines)),
    ]


def _a_line(line: str) -> str:
    return json.dumps(answer(json.loads(line)))


def _whole(lines: list[str]) -> tuple[dict[int, float], bool]:
    """Return the seconds of the command by its processes, and whether both wrote the same."""
    took, said = {}, set()
    with tempfile.TemporaryDirectory(prefix="calcar-draft-") as folder:
        people_ = Path(folder, "people.jsonl")
        people_.write_text("".join(f"{line}\n" for line in lines))
        for number in (1, 2):
            command = [sys.executable, "manage.py", "draft_program", str(people_)]
            start = time.perf_counter()
            done = subprocess.run(
                [*command, "--processes", str(number)], check=True, capture_output=True
            )
            took[number] = time.perf_counter() - start
            said.add(hashlib.sha256(done.stdout).hexdigest())
    return took, len(said) == 1


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
    sample = lines[: min(count, SAMPLE)]
    told = [f"{len(sample)} people, each step for one of them:", f"  {'':26}{'loops':>9}{'us':>9}"]
    told += [f"  {name:26}{us / fixed:9.4f}{us:9.0f}" for name, us, fixed in _steps(sample)]
    took, same = _whole(lines)
    told.append(
        f"{count} people by the command: {took[1]:.1f} s in one process, {took[2]:.1f} s in two, "
        f"{took[1] / took[2]:.2f} times as fast; the same bytes: {same}"
    )
    told.append(f"Where the time of {len(sample)} goes:")
    return "\n".join((*told, _where(sample)))


if __name__ == "__main__":
    sys.stdout.write(main(int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE) + "\n")
