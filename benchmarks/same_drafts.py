"""A digest of the drafts and revisions of people at random, to hold before a speed-up and after it.

Run it from the top folder. `.venv/bin/python -m benchmarks.same_drafts FILE --draw PEOPLE` draws
people of the tests at random into a file, once. Without `--draw` it prints the digest of what they
are drafted: on the commit before and on the one after it must be the same line. They are kept in a
file, for the library that draws takes account of the code it stands in.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from programs.draft.document import answer, write
from programs.draft.draft import draft
from programs.draft.resume import Resume
from safety.findings import Modality
from tests.campaign import Campaign, run
from tests.documents import Document, documents
from tests.people import facts
from tests.programs.draft.campaigns import of_any_time, revisions


def drawn(count: int) -> Iterator[str]:
    """Yield so many lines, each of one person, of another one, and of how far she has got."""
    found: list[str] = []

    def taken(case: tuple[Document, tuple[Document, Any]]) -> Iterator[str]:
        found.append(json.dumps(case))
        yield from ()

    cases = st.tuples(st.one_of(documents, of_any_time), revisions)
    run(Campaign(name="same drafts", cases=cases, breaches=taken), count)
    yield from found


def drafts(line: str) -> Iterator[str]:
    """Yield the draft of one person as JSON, and the revision of the other."""
    first, (revised, done) = json.loads(line)
    yield json.dumps(answer(first))
    resume = Resume(done_weeks={Modality(code): weeks for code, weeks in done.items()})
    yield json.dumps(write(draft(facts(revised), resume)))


def digest(lines: Iterator[str]) -> str:
    """Return how many drafts there were, and the digest of them all."""
    whole, count = hashlib.sha256(), 0
    for line in lines:
        for made in drafts(line):
            whole.update(made.encode())
            count += 1
    return f"{count} drafts, sha256 {whole.hexdigest()}"


def main() -> None:
    """Draw people into the file, or print the digest of what they are drafted."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--draw", type=int)
    asked = parser.parse_args()
    if asked.draw:
        asked.file.write_text("".join(f"{line}\n" for line in drawn(asked.draw)))
        return
    with asked.file.open() as lines:
        sys.stdout.write(f"{digest(iter(lines))}\n")


if __name__ == "__main__":
    main()
