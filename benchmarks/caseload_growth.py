"""How the lists of the caseload grow from a small clinic to a large one, on either database.

Run it from the top folder: `.venv/bin/python -m benchmarks.caseload_growth [people ...]`, on
PostgreSQL with `--postgres` (a server made for the run). The clinics are those of
`benchmarks.searching`; every other person has an open draft, the others a signed program, three
days of its log, and a clearance; of the log one entry in thirty does not wait. Texts of plans are
left short: lists do not read them. Each list is timed beside a fixed loop of plain Python, whose
ratios travel between machines; the last column is the growth against the first clinic.
"""

from __future__ import annotations

import argparse
import datetime as dt
import multiprocessing
import os
import shutil
import sys
import tempfile
import time
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from benchmarks import searching

SIZES = (100, 10_000, 100_000)
ROUNDS, GOAL, ALARMING_EVERY, LONGEST_S = 9, 1.2, 30, 20.0


def clinic(pipe: Connection, folder: Path, address: str, count: int) -> None:
    """Be a clinic of so many people, and send what each list takes: loops, ms, rows shown."""
    state = Path(tempfile.mkdtemp(prefix=f"cases-{count}-", dir=folder))
    os.environ |= {"CALCAR_STATE": str(state), "DJANGO_SETTINGS_MODULE": "config.settings"}
    if address:
        os.environ["DATABASE_URL"] = searching._database_of(address, f"cases{count}")
    searching._migrated()
    searching.fill(list(searching.invented(count)))
    _programs()
    from django.utils import timezone

    from programs.views.caseload_lists import LISTS

    day = timezone.localdate()
    for one in LISTS.values():
        pipe.send({one.title: _timed(lambda one=one: len(one.page(day)[0]))})
    pipe.send({})


def _timed(work: Any) -> tuple[float, float, int]:
    """Return the quiet time of some work in fixed loops and in ms, and the rows it gave."""
    times, loops, rows = [], [], 0
    begun = time.perf_counter()
    for _ in range(ROUNDS):
        start = time.perf_counter()
        rows = work()
        times.append(time.perf_counter() - start)
        loops.append(searching._seconds(searching.loop, time.perf_counter))
        if time.perf_counter() - begun > LONGEST_S:
            break
    return min(times) / min(loops), min(times) * 1e3, rows


def _programs() -> None:
    """Give everybody a draft, or a signed program with its log and a clearance."""
    from django.contrib.auth.models import User
    from django.db import connection
    from django.utils import timezone

    from patients.models.patient import Patient
    from programs.models.program import Plan, SessionLog, SignedPlan
    from programs.models.program_state import ProgramState
    from safety.models import Clearance

    by, at, day = User.objects.get(), timezone.now(), timezone.localdate()
    people = list(Patient.objects.order_by("pk").values_list("pk", flat=True))
    many = {"batch_size": searching.AT_ONCE}

    def plan(number: int, pk: int) -> Plan:
        begun = day - dt.timedelta(days=number % 170)
        return Plan(
            patient_id=pk,
            version=1,
            state=Plan.SIGNED if number % 2 else Plan.DRAFT,
            as_of=begun,
            starts_on=begun,
            facts={},
            proposed={"issuable": True},
            weeks=[],
            made_by=by,
            made_at=at - dt.timedelta(minutes=number),
        )

    plans = Plan.objects.bulk_create([plan(n, pk) for n, pk in enumerate(people)], **many)
    signed = SignedPlan.objects.bulk_create(
        [
            SignedPlan(
                plan=one,
                patient_id=one.patient_id,
                version=1,
                body="{}",
                digest=f"{one.pk:064x}",
                previous_digest=f"{one.pk - 1:064x}",
                signed_by=by,
                signed_name="B. Searching",
                meaning="-",
                signed_at=at,
                rulebook="-",
                format=1,
            )
            for one in plans
            if one.state == Plan.SIGNED
        ],
        **many,
    )
    state = {"state": ProgramState.IN_FORCE, "why": "Signed.", "by": by, "at": at}
    ProgramState.objects.bulk_create([ProgramState(signed=one, **state) for one in signed], **many)
    SessionLog.objects.bulk_create(
        [
            SessionLog(
                patient_id=one.patient_id,
                signed=one,
                on=one.plan.starts_on + dt.timedelta(days=2 * nth),
                modality="balance",
                done="all",
                fell=(3 * number + nth) % ALARMING_EVERY == 0,
                entered_by=by,
                entered_at=at,
            )
            for number, one in enumerate(signed)
            for nth in range(3)
        ],
        **many,
    )
    Clearance.objects.bulk_create(
        [
            Clearance(
                patient_id=one.patient_id,
                subject="epilepsy",
                modalities=["plate"],
                given_by="Dr Example",
                on=day - dt.timedelta(days=300),
                until=day + dt.timedelta(days=number % 365),
                recorded_by=by,
                recorded_at=at,
            )
            for number, one in enumerate(signed)
        ],
        **many,
    )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def run(sizes: list[int], postgres: bool) -> str:
    """Make the clinics one after the other, and return the table."""
    folder = Path(tempfile.mkdtemp(prefix="calcar-caseload-"))
    context = multiprocessing.get_context("spawn")
    found: dict[str, list[tuple[float, float, int]]] = {}
    try:
        with searching.server(postgres, folder) as address:
            for count in sizes:
                mine, theirs = context.Pipe()
                context.Process(
                    target=clinic, args=(theirs, folder, address, count), daemon=True
                ).start()
                while told := mine.recv():
                    for name, times in told.items():
                        found.setdefault(name, []).append(times)
    finally:
        shutil.rmtree(folder)
    return _table(sizes, found, "PostgreSQL" if postgres else "SQLite")


def _table(sizes: list[int], found: dict[str, list[tuple[float, float, int]]], used: str) -> str:
    lines = [f"{used}; fixed loops, ms and rows at {', '.join(f'{size:,}' for size in sizes)}."]
    for name, times in found.items():
        cells = "".join(f"{loops:9.2f}{ms:9.1f}{rows:5}" for loops, ms, rows in times)
        growth = times[-1][0] / times[0][0]
        lines.append(f"  {name:44}{cells}{growth:8.1f}{'' if growth <= GOAL else '  grows'}")
    return "\n".join(lines)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("people", nargs="*", type=int, default=list(SIZES))
    asked.add_argument("--postgres", action="store_true")
    options = asked.parse_args()
    sys.stdout.write(run(options.people, options.postgres) + "\n")
