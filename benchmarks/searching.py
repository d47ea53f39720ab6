"""How finding people and their list grow from a small clinic to a large one, on either database.

Run it from the top folder: `.venv/bin/python -m benchmarks.searching [people]`, on PostgreSQL with
`--postgres` (a server made for the run). The people are invented and made in bulk, the same ones
each run. A request is timed whole, through Django's test client; beside it stands a fixed loop of
plain Python, run in turn with it, so that the ratios of one run travel between machines.
"""

from __future__ import annotations

import argparse
import contextlib
import datetime as dt
import multiprocessing
import os
import random
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import _setup

SMALL, LARGE = 100, 100_000
#: The goal: at most so many times its own time at SMALL.
GOAL = 1.2
ROUNDS = 41
LOOP = 60_000
SEED = 20261128
AT_ONCE = 5_000
_ONSETS = ("b", "br", "d", "f", "g", "h", "k", "kl", "l", "m", "n", "p", "r", "s", "st", "t", "v")
_VOWELS = ("a", "e", "i", "o", "u", "au", "ei")
_ENDS = ("n", "r", "s", "l", "nd", "rt", "sson", "berg", "mann", "")
#: Of so many of the first people one is called by the common name, so that a page of 50 is full
#: at SMALL too; beyond them one of so many.
COMMON_EVERY, COMMON_BEYOND = 2, 20
#: Nobody else is called like this one, of the usual syllables.
ALONE = 1


def _names(chance: random.Random, count: int, syllables: int) -> list[str]:
    def one() -> str:
        parts = (chance.choice(_ONSETS) + chance.choice(_VOWELS) for _ in range(syllables))
        return ("".join(parts) + chance.choice(_ENDS)).capitalize()

    return sorted({one() for _ in range(count)})


def invented(count: int) -> Iterator[dict[str, Any]]:
    """Yield who that many people are; the first ones are the same whatever the count."""
    chance = random.Random(SEED)
    given, family = _names(chance, 1_500, 2), _names(chance, 30_000, 3)
    first_day = dt.date(1930, 1, 1).toordinal()
    born = ((0, 20_000), (-1_500, 0))
    for number in range(count):
        common = number % (COMMON_EVERY if number < SMALL else COMMON_BEYOND) == 0
        called = "Commonwick" if common else chance.choice(family)
        called += chance.choice(family).lower() if number == ALONE else ""
        yield {
            "given_name": chance.choice(given),
            "family_name": called,
            # Those of the small clinic are older than all others, so that a birth finds as many.
            "born": dt.date.fromordinal(first_day + chance.randrange(*born[number < SMALL])),
            "born_is": "day",
            "sex": "female",
            "record_number": f"B{number:06}",
        }


@contextlib.contextmanager
def server(postgres: bool, folder: Path) -> Iterator[str]:
    """Yield the address of a PostgreSQL made for the run, or nothing for SQLite."""
    if not postgres:
        yield ""
        return
    if os.geteuid() == 0:
        shutil.chown(folder, "nobody")
    with _setup.throw_away_postgres(folder) as address:
        yield address.rpartition("/")[0]


def _database_of(address: str, name: str) -> str:
    """Return the address of an empty database on the server."""
    import psycopg

    with psycopg.connect(f"{address}/postgres", autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return f"{address}/{name}"


def clinic(pipe: Connection, folder: Path, address: str, count: int) -> None:
    """Be a clinic of so many people on a database of its own, and time what is asked for.

    Each of the two has a process, so that they are asked in turn: whatever slows the machine
    slows both.
    """
    state = Path(tempfile.mkdtemp(prefix=f"people-{count}-", dir=folder))
    os.environ |= {"CALCAR_STATE": str(state), "DJANGO_SETTINGS_MODULE": "config.settings"}
    if address:
        os.environ["DATABASE_URL"] = _database_of(address, f"people{count}")
    _migrated()
    people = list(invented(count))
    fill(people)
    client, asked = _signed_in(), questions(people)
    pipe.send(list(asked))
    while name := pipe.recv():
        # SQLite works within the process, so that what others do beside it need not count.
        clock = time.perf_counter if address else time.process_time
        start = clock()
        answer = asked[name](client)
        seconds = clock() - start
        rows = answer.content.decode().count("/facts/")
        pipe.send((seconds, _seconds(loop, clock), answer.status_code, rows))


def _migrated() -> None:
    import django
    from django.conf import settings
    from django.core.management import call_command

    django.setup()
    settings.ALLOWED_HOSTS.append("testserver")
    call_command("migrate", verbosity=0)


def _signed_in() -> Any:
    from django.contrib.auth.models import User
    from django.test import Client

    client = Client()
    client.force_login(User.objects.get(username="b.searching"))
    return client


def fill(people: list[dict[str, Any]]) -> None:
    """Put people on record in bulk, with all by which they are found."""
    from django.contrib.auth.models import User
    from django.db import connection
    from django.utils import timezone

    from patients.models.finding import Findable, WordKey
    from patients.models.patient import Patient
    from patients.names import fold, keys_of, spelt

    by, _ = User.objects.get_or_create(username="b.searching")
    for some in _batched(people):
        rows = [Patient(**who, created_by=by, created_at=timezone.now()) for who in some]
        for row in rows:
            row.search_key = fold(f"{row.family_name} {row.given_name} {row.record_number}")
            row.given_key, row.record_key = fold(row.name), fold(row.record_number)
        made = Patient.objects.bulk_create(rows)
        Findable.objects.bulk_create(
            Findable(
                patient=row,
                words=spelt(row.given_name, row.family_name, row.record_number),
                sort_key=row.search_key,
                born=row.born,
                born_is=row.born_is,
            )
            for row in made
        )
        words = {word for row in made for word in spelt(row.given_name, row.family_name).split()}
        keys = [WordKey(key=key, word=word) for word in sorted(words) for key in keys_of(word)]
        WordKey.objects.bulk_create(keys, ignore_conflicts=True, batch_size=AT_ONCE)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
        if connection.vendor == "postgresql":
            cursor.execute("VACUUM ANALYZE patients_findable")


def _batched(people: list[dict[str, Any]]) -> Iterator[list[dict[str, Any]]]:
    for start in range(0, len(people), AT_ONCE):
        yield people[start : start + AT_ONCE]


def questions(people: list[dict[str, Any]]) -> dict[str, Callable[[Any], Any]]:
    """Return what is asked, each as work for a signed-in client; the same at both sizes."""
    one = people[ALONE]
    slipped = one["family_name"][:3] + one["family_name"][4:]
    full = f"{one['family_name']} {one['given_name']}"

    def typed(query: str) -> Callable[[Any], Any]:
        return lambda client: client.post("/patients/", {"q": query}, follow=True)

    by_name = sorted(range(SMALL), key=lambda at: people[at]["family_name"])
    # Ids begin at 1; fifty more stand after it.
    early = {"after": by_name[SMALL // 4] + 1}
    return {
        "everyone, first page": lambda client: client.get("/patients/"),
        "everyone, a later page": lambda client: client.get("/patients/", early),
        "a common name": typed("commonwick"),
        "part of a common name": typed("monwi"),
        "the start of a common name": typed("common"),
        "one person's two names": typed(full),
        "part of a rare name": typed(one["family_name"][1:]),
        "a rare name with a slip": typed(slipped),
        "a rare name and a year": typed(f"{one['family_name']} {one['born'].year}"),
        "a date of birth": typed(f"{one['born']:%d.%m.%Y}"),
        "a common name and a birth": typed(f"commonwick {people[0]['born']:%d %b %Y}"),
        "a record number": typed(one["record_number"]),
        "nobody": typed("xqzxqz"),
    }


def loop() -> int:
    """Do the fixed work that times are compared with."""
    total = 0
    for number in range(LOOP):
        total += number * number % 7
    return total


def _seconds(work: Callable[[], Any], clock: Callable[[], float]) -> float:
    start = clock()
    work()
    return clock() - start


def _asked(pipe: Connection, name: str) -> tuple[float, float, int]:
    """Ask a clinic once; return its time and that of the fixed loop, and the rows shown."""
    pipe.send(name)
    seconds, fixed, status, rows = pipe.recv()
    if status != 200:
        raise RuntimeError(f"{name}: status {status}")
    return seconds, fixed, rows


def timed(small: Connection, large: Connection) -> dict[str, list[tuple[float, float, int]]]:
    """Return for each question what the small and what the large clinic took."""
    names = small.recv()
    large.recv()
    found: dict[str, list[tuple[float, float, int]]] = {}
    for name in names:
        rounds = [(_asked(small, name), _asked(large, name)) for _ in range(ROUNDS)]
        loops = _quiet([one[side][1] for one in rounds for side in (0, 1)])
        found[name] = [
            (took / loops, took * 1e3, rounds[0][side][2])
            for side in (0, 1)
            for took in [_quiet([one[side][0] for one in rounds])]
        ]
    for pipe in (small, large):
        pipe.send("")
    return found


def _quiet(times: list[float]) -> float:
    """Return the lower quartile: whatever else the machine does makes a time longer."""
    return statistics.quantiles(times, n=4)[0]


def run(count: int, postgres: bool) -> dict[str, list[tuple[float, float, int]]]:
    """Make both clinics, and time them in turn."""
    folder = Path(tempfile.mkdtemp(prefix="calcar-searching-"))
    context = multiprocessing.get_context("spawn")
    try:
        with server(postgres, folder) as address:
            pipes = []
            for people in (SMALL, count):
                mine, theirs = context.Pipe()
                of = (theirs, folder, address, people)
                context.Process(target=clinic, args=of, daemon=True).start()
                pipes.append(mine)
            return timed(*pipes)
    finally:
        shutil.rmtree(folder)


def main(count: int, postgres: bool) -> str:
    """Return the report."""
    used = "PostgreSQL" if postgres else "SQLite"
    told = [
        f"{used}: {count:,} people against {SMALL}; goal: at most {GOAL} times its own time.",
        f"  {'':30}{'loops':>8}{'ms':>7}{'rows':>6}  {'loops':>8}{'ms':>7}{'rows':>6}{'ratio':>7}",
    ]
    missed = []
    for name, ((loops, ms, rows), (more, more_ms, more_rows)) in run(count, postgres).items():
        ratio = more / loops
        missed += [f"{name} ({ratio:.2f})"] if ratio > GOAL else []
        told.append(
            f"  {name:30}{loops:8.2f}{ms:7.1f}{rows:6}  {more:8.2f}{more_ms:7.1f}{more_rows:6}"
            f"{ratio:7.2f}{'  missed' if ratio > GOAL else ''}"
        )
    told.append(f"Goal not met by: {', '.join(missed)}." if missed else "Goal met by all.")
    return "\n".join(told)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("people", nargs="?", type=int, default=LARGE)
    asked.add_argument("--postgres", action="store_true")
    options = asked.parse_args()
    sys.stdout.write(main(options.people, options.postgres) + "\n")
