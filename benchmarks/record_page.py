"""How the first page of the record grows from a thousand lines to a million, on SQLite.

Run it from the top folder: `.venv/bin/python -m benchmarks.record_page [lines]`. The lines are
invented and put in past the app, the newest alike in both. Each page is timed in turn in two
databases of one run, so that the ratios travel between machines. Ends with 1 where a page with
many lines takes more than GOAL times its own time with few.

It also times what a look costs, beside the page without it, and while somebody else saves.
"""

from __future__ import annotations

import datetime as dt
import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

FEW, MANY = 1_000, 1_000_000
GOAL = 1.2
ROUNDS = 31
#: Lines a day; those of the few and the newest of the many fall on the same days.
A_DAY = 200


def set_up(folder: Path) -> None:
    """Make the two databases, named by the number of their lines."""
    os.environ |= {"CALCAR_STATE": str(folder), "DJANGO_SETTINGS_MODULE": "config.settings"}
    import django
    from django.conf import settings

    settings.DATABASES["default"]["NAME"] = str(folder / "few.sqlite3")
    many = {**settings.DATABASES["default"], "NAME": str(folder / "many.sqlite3")}
    settings.DATABASES["many"] = many
    settings.ALLOWED_HOSTS.append("testserver")
    django.setup()


def fill(using: str, count: int) -> None:
    """Put so many lines of the record and as many looks into a database."""
    from django.core.management import call_command
    from django.db import connections

    call_command("migrate", database=using, verbosity=0)
    newest = dt.datetime(2026, 11, 20, 12, tzinfo=dt.UTC)
    with connections[using].cursor() as cursor:
        cursor.execute(
            "INSERT INTO auth_user (id, password, is_superuser, username, first_name, last_name,"
            " email, is_staff, is_active, date_joined)"
            " VALUES (1, '', 1, 'b.record', 'Berta', 'Record', '', 1, 1, %s)",
            [newest],
        )
        numbers = (
            "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < %s)"
            f" SELECT i, datetime(%s, '-' || ((%s - i) / {A_DAY}) || ' days'), 1, 'Berta Record',"
        )
        values = [count, newest.isoformat(" ")[:19], count]
        cursor.execute(
            "INSERT INTO patients_audit (seq, at, actor_id, actor_name, action, object_type,"
            " object_id, object_version, old, new, reason, source_address, prev_hash, hash) "
            + numbers
            + " CASE i % 5 WHEN 0 THEN 'add size' WHEN 1 THEN 'log days' ELSE 'save falls' END,"
            " 'patients.patient', CAST((%s - i) / 10 AS TEXT), 1, 'null',"
            " '{\"falls\":{\"last_12_months\":' || (i %% 7) || '}}', '', '192.0.2.7',"
            " hex(randomblob(32)), hex(randomblob(32)) FROM n".replace("%% ", "% "),
            [*values, count],
        )
        cursor.execute(
            "INSERT INTO patients_look (seq, at, actor_id, actor_name, patient_number, kind, page,"
            " what, status, source_address, prev_hash, hash) "
            + numbers
            + " (%s - i) / 10, 'page', 'patients:facts', '{}', 200, '192.0.2.7',"
            " hex(randomblob(32)), hex(randomblob(32)) FROM n",
            [*values, count],
        )


def pages() -> dict[str, dict[str, Any]]:
    """Return what is asked of the page, by what it is called here."""
    return {
        "first page": {},
        "second page": {"before": "950"},
        "one action": {"action": "log days"},
        "one person": {"person": "1"},
        "one day": {"day": "2026-11-20"},
        "one patient": {"patient": "7"},
        "looks": {"of": "looks"},
        "looks at one patient": {"of": "looks", "patient": "7"},
        "looks of one day": {"of": "looks", "day": "2026-11-20"},
    }


def shown(asked: dict[str, Any], using: str) -> None:
    """Make a page of the record from a database, as the view does, the template included."""
    from django.db import connections
    from django.http import QueryDict
    from django.template.loader import render_to_string

    from programs.forms.record import RecordForm
    from programs.views import record

    connections["default"], kept = connections[using], connections["default"]
    try:
        query = QueryDict(mutable=True)
        query.update(asked)
        of_looks = asked.get("of") == "looks"
        form = RecordForm(query, of_looks=of_looks, as_of=dt.date(2026, 11, 20))
        if not form.is_valid():
            raise ValueError(form.errors)
        before = record.whole_number(asked.get("before", ""))
        found = record.page_of(form.asked(before), of_looks=of_looks)
        told = {"form": form, "of_looks": of_looks, "query": "", **found}
        if "<tbody>" not in render_to_string("programs/record.html", told):
            raise ValueError(f"nothing is shown of {asked}")
    finally:
        connections["default"] = kept


def seconds(work: Callable[[], object]) -> float:
    """Return how long something takes; SQLite works within the process."""
    start = time.process_time()
    work()
    return time.process_time() - start


def growth(lines: int) -> int:
    """Print each page's time with many lines as a multiple of that with few."""
    over = 0
    for name, asked in pages().items():
        taken: dict[str, list[float]] = {"default": [], "many": []}
        for _ in range(ROUNDS):
            for using in taken:
                taken[using].append(seconds(partial(shown, asked, using)))
        few, many = (statistics.median(taken[using]) for using in ("default", "many"))
        over += many / few > GOAL
        told = f"{many / few:.2f} times at {lines} of {FEW} ({1000 * few:.1f} ms)\n"
        sys.stdout.write(f"{name}: {told}")
    return over


def look_costs() -> None:
    """Print what one look costs, alone and while somebody else saves without a pause."""
    from django.contrib.auth.models import User
    from django.db import connection, transaction
    from django.utils import timezone

    from patients.looks import Seen, keep_look

    by, ended = User.objects.get(), threading.Event()
    seen = Seen(patient_number=7, kind="page", page="patients:facts", what={}, status=200)

    def look() -> float:
        start = time.perf_counter()
        keep_look(seen, by=by, at=timezone.now())
        return 1000 * (time.perf_counter() - start)

    def save_on() -> None:
        while not ended.is_set():
            with transaction.atomic():
                User.objects.filter(pk=1).update(last_name="Record")
                time.sleep(0.02)
            time.sleep(0.02)
        connection.close()

    alone = sorted(look() for _ in range(200))
    saving = threading.Thread(target=save_on)
    saving.start()
    beside = sorted(look() for _ in range(200))
    ended.set()
    saving.join()
    for name, taken in (("alone", alone), ("while another saves half of the time", beside)):
        told = f"median {taken[100]:.1f} ms, 95 of 100 within {taken[190]:.1f} ms\n"
        sys.stdout.write(f"one look, {name}: {told}")


def main() -> int:
    """Fill, measure and print; return 1 where a page grows."""
    lines = int(sys.argv[1]) if len(sys.argv) > 1 else MANY
    with tempfile.TemporaryDirectory(prefix="record-") as folder:
        set_up(Path(folder))
        fill("default", FEW)
        fill("many", lines)
        over = growth(lines)
        look_costs()
    return int(over > 0)


if __name__ == "__main__":
    sys.exit(main())
