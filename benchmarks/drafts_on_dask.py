"""Drafts of many people over Dask: one worker beside two, and the sum on paper for a hundred nodes.

    .venv/bin/python -m benchmarks.drafts_on_dask [people, 4000 unless told]

A draft needs nothing but its document (`programs.draft.document.answer`), so people are handed out
in blocks of lines and come back as lines, in their order. Here the workers are processes of this
machine; the same bag runs on a cluster where a client of one is open and this folder can be
imported on each node. The answers of one worker, of two, and of no Dask at all are held to be the
same bytes. Times are by the clock, beside a fixed loop of plain Python of the same run.
"""

from __future__ import annotations

import hashlib
import json
import sys
import time
from collections.abc import Iterator, Sequence
from itertools import islice

import dask
import dask.bag

from benchmarks.drafting import people
from benchmarks.searching import LOOP, loop
from programs.draft.document import answer

PEOPLE, BLOCK = 4000, 100
A_NIGHT, NODES, CORES = 1_000_000, 100, 2


def drafted(block: Sequence[str]) -> list[str]:
    """Return the draft of each document of a block, a line each."""
    return [json.dumps(answer(json.loads(line))) for line in block]


def over_dask(blocks: Sequence[Sequence[str]], workers: int) -> tuple[str, float]:
    """Return the digest of all answers in their order, and the seconds by the clock."""
    bag = dask.bag.from_sequence(blocks, npartitions=len(blocks)).map(drafted)
    with dask.config.set(scheduler="processes", num_workers=workers):
        begun = time.perf_counter()
        made = bag.compute()
        return digest(made), time.perf_counter() - begun


def digest(made: Sequence[Sequence[str]]) -> str:
    """Return the digest of answers in their order."""
    whole = hashlib.sha256()
    for block in made:
        for line in block:
            whole.update(line.encode())
    return whole.hexdigest()


def blocks_of(lines: Iterator[str]) -> list[list[str]]:
    """Return lines in blocks, the last one shorter."""
    found = []
    while block := list(islice(lines, BLOCK)):
        found.append(block)
    return found


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE
    blocks = blocks_of(people(count))
    begun = time.perf_counter()
    loop()
    fixed = time.perf_counter() - begun
    begun = time.perf_counter()
    plain = digest([drafted(block) for block in blocks])
    alone = time.perf_counter() - begun
    found = {workers: over_dask(blocks, workers) for workers in (1, 2)}
    if {told for told, _ in found.values()} != {plain}:
        raise SystemExit("The answers are not the same.")
    one, two = found[1][1], found[2][1]
    say = sys.stdout.write
    say(f"{count} drafts, the same bytes by each way; fixed loop of {LOOP:,}: {fixed:.3f} s\n")
    for name, took in (("without Dask", alone), ("one worker", one), ("two workers", two)):
        say(f"{name:13} {took:7.2f} s, {took / count * 1000:.2f} ms a draft, ")
        say(f"{took / count / fixed:.4f} loops a draft\n")
    say(f"one worker to two: x {one / two:.2f}\n")
    hours = one / count * A_NIGHT / 3600
    size = sum(len(line) for line in drafted(blocks[0])) / BLOCK
    say(f"On paper: {A_NIGHT:,} documents take {hours:.1f} hours of one core; ")
    say(f"on {NODES} nodes of {CORES} cores {hours * 60 / NODES / CORES:.1f} minutes at best. ")
    say(f"{size:.0f} bytes of answer each, {size * A_NIGHT / 1e9:.0f} GB in all.\n")


if __name__ == "__main__":
    main()
