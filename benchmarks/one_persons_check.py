"""How the check before a paper grows from a small clinic to a large one: it is of one person.

Run it from the top folder: `.venv/bin/python -m benchmarks.one_persons_check [people]`. The others
are invented and made in bulk, each with rows and with sealed lines of the record; the person asked
for has a signed program with its log. Each clinic has a process, and they are asked in turn.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from benchmarks import searching

SMALL, LARGE = 100, 100_000
#: The goal: at most so many times its own time at SMALL.
GOAL = 1.2
ROUNDS = 41
AT_ONCE = 5_000


def clinic(pipe: Connection, folder: Path, count: int) -> None:
    """Be a clinic of so many people on a database of its own, and time the check of one."""
    state = Path(tempfile.mkdtemp(prefix=f"people-{count}-", dir=folder))
    os.environ |= {"CALCAR_STATE": str(state), "DJANGO_SETTINGS_MODULE": "config.settings"}
    searching._migrated()
    searching.fill(list(searching.invented(count)))
    rows_of_all()
    person = with_a_program()
    from programs.actions.person_check import broken_of

    pipe.send(list(broken_of(person)))
    while pipe.recv():
        start = time.process_time()
        found = list(broken_of(person))
        pipe.send((time.process_time() - start, found))


def rows_of_all() -> None:
    """Give everybody a size and a scan, and each row its sealed line, all in one chain."""
    from django.contrib.auth.models import User
    from django.db import connection
    from django.utils import timezone

    from patients.models.patient import Patient, ScanRow, SizeRow

    by, at = User.objects.get(username="b.searching"), timezone.now()
    entered = {"entered_by": by, "entered_at": at}
    for some in _parts(list(Patient.objects.order_by("pk"))):
        of = [{"patient": row, "date": at.date(), **entered} for row in some]
        sizes = SizeRow.objects.bulk_create(SizeRow(height_cm=160, weight_kg=60, **o) for o in of)
        scans = ScanRow.objects.bulk_create(ScanRow(site="total_hip", t="-2.6", **o) for o in of)
        _lines([*some, *sizes, *scans], at)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _lines(rows: list[Any], at: Any) -> None:
    from django.conf import settings

    from patients import audit
    from patients.models.patient import Audit

    seq, seal = audit.head()
    lines = []
    for row in rows:
        seq += 1
        told = audit.canonical(audit.state_of(row))
        line = Audit(
            seq=seq,
            at=at,
            actor_name="the system",
            action="add",
            object_type=row._meta.label_lower,
            object_id=str(row.pk),
            old="null",
            new=told,
            patient_id=audit.person_of(row),
            prev_hash=seal,
        )
        line.hash = seal = audit._seal(line, settings.SECRET_KEY)
        lines.append(line)
    Audit.objects.bulk_create(lines)


def _parts(rows: list[Any]) -> Iterator[list[Any]]:
    for start in range(0, len(rows), AT_ONCE):
        yield rows[start : start + AT_ONCE]


def with_a_program() -> int:
    """Return the number of a person with a signed program, its log and a paper."""
    from django.contrib.auth.models import User

    from patients import audit
    from programs.actions.papers import keep_paper
    from tests.programs import reviews

    by = User.objects.create_user("signer", first_name="Marta", last_name="Ferro")
    signed = reviews.signed(by)
    reviews.log_weeks(signed, by, 1, 2, 3)
    options = {"kind": "handout", "language": "en", "paper": "A4", "type_pt": 16}
    with audit.writing():
        keep_paper(signed, b"%PDF" * 50_000, options, by, reviews.AT, {})
    return int(signed.patient_id)


def main() -> int:
    """Time both, and tell the ratio; 1 where it is over the goal."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("people", nargs="?", type=int, default=LARGE)
    sizes = (SMALL, parser.parse_args().people)
    times: dict[int, list[float]] = {size: [] for size in sizes}
    with tempfile.TemporaryDirectory(prefix="calcar-check-") as folder:
        pipes = {}
        for size in sizes:
            mine, theirs = multiprocessing.Pipe()
            multiprocessing.Process(
                target=clinic, args=(theirs, Path(folder), size), daemon=True
            ).start()
            pipes[size] = mine
        for size, pipe in pipes.items():
            found = pipe.recv()
            assert found == [], (size, found)
        for _ in range(ROUNDS):
            for size, pipe in pipes.items():
                pipe.send(True)
                times[size].append(pipe.recv()[0])
    small, large = (statistics.median(times[size]) for size in sizes)
    found = zip(sizes, (small, large), strict=True)
    told = ", ".join(f"{size} people: {took * 1000:.1f} ms" for size, took in found)
    sys.stdout.write(f"{told}. Ratio {large / small:.2f}; the goal is at most {GOAL}.\n")
    return int(large / small > GOAL)


if __name__ == "__main__":
    multiprocessing.set_start_method("spawn")
    sys.exit(main())
