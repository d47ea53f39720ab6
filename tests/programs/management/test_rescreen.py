"""The command that screens everybody anew: what it says, how it ends, and a run that is killed."""

import datetime as dt
import io
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.utils import timezone

from patients.models.patient import FractureRow
from programs.models.rescreen import Rescreen, RescreenBatch
from safety.rules.all_rules import RULEBOOK
from tests.people import steady_document
from tests.programs import older, rows

ROOT = Path(__file__).parents[3]
CLOT = steady_document(conditions={"acute_thrombosis": "yes"})


def told(**options: Any) -> str:
    out = io.StringIO()
    call_command("rescreen", stdout=out, **options)
    return out.getvalue()


pytestmark = pytest.mark.django_db


@pytest.mark.database
def test_who_changed_is_told_and_all_are_counted(clinician: User) -> None:
    of = rows.recorded(clinician, CLOT)
    older.signed(clinician, timezone.localdate(), patient=of)
    rows.recorded(clinician)
    nobody = rows.patient(clinician, record_number="O'Hara 7")
    said = told(at_once=0)
    assert f"{of.record_number}: Now left out, vibration plate: " in said
    assert "; the paper in her hand, version 1, tells " in said
    assert (
        f"Rulebook {RULEBOOK}. People: 3. Rescreened: 2. To look at: 1. "
        "Changed in the meantime, left to the next run: 0. Without facts: 1. Contradicting: 0."
        in said
    )
    assert f"Without facts: {nobody.record_number}." in said


@pytest.mark.database
def test_a_second_time_nothing_is_done_and_it_says_so(clinician: User) -> None:
    rows.recorded(clinician)
    told()
    kept = RescreenBatch.objects.count()
    said = told()
    assert said.startswith("Nothing is newer than the last screens: nothing was done.\n")
    assert "Rescreened: 0." in said
    assert (RescreenBatch.objects.count(), Rescreen.objects.count()) == (kept, 1)


@pytest.mark.database
def test_contradicting_facts_end_it_with_one(clinician: User) -> None:
    of = rows.recorded(clinician, record_number="")
    wrist = {"site": "wrist", "date": dt.date(1950, 1, 1), "entered_at": rows.AT}
    FractureRow.objects.create(patient=of, entered_by=clinician, **wrist)
    for _ in range(2):
        with pytest.raises(CommandError, match=f"no record number, id {of.pk}") as ended:
            told()
        assert ended.value.returncode == 1


PEOPLE = """
from django.contrib.auth.models import User
from tests.programs import rows
by = User.objects.create_superuser("m.ferro", password="plain grey tramline")
print(*(rows.recorded(by).pk for _ in range(6)))
"""
#: Killed by the system, for which nothing prepares a program, with the second batch half kept.
KILLED = """
import os, signal
from django.core.management import call_command
from programs.actions import rescreening
from programs.models.rescreen import Rescreen
keep = rescreening.keep_to_look_at
def then_killed(rows):
    keep(rows)
    if Rescreen.objects.count() > 2:
        os.kill(os.getpid(), signal.SIGKILL)
rescreening.keep_to_look_at = then_killed
call_command("rescreen", at_once=2)
"""
KEPT = """
from programs.models.rescreen import Rescreen
print(*Rescreen.objects.order_by("pk").values_list("patient", flat=True))
"""


@pytest.mark.slow
def test_a_run_that_the_system_kills_goes_on_where_it_stopped(tmp_path: Path) -> None:
    def run(*arguments: str) -> subprocess.CompletedProcess[str]:
        kept = {key: held for key, held in os.environ.items() if key != "DATABASE_URL"}
        served = {"DJANGO_SETTINGS_MODULE": "config.settings", "CALCAR_STATE": str(tmp_path)}
        return subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env=kept | served,
            capture_output=True,
            text=True,
        )

    def shell(code: str) -> subprocess.CompletedProcess[str]:
        return run("shell", "--no-imports", "--command", code)

    assert run("migrate", "--verbosity=0").returncode == 0
    people = shell(PEOPLE).stdout.split()
    assert len(people) == 6
    assert shell(KILLED).returncode == -signal.SIGKILL
    assert shell(KEPT).stdout.split() == people[:2]
    done = run("rescreen", "--at-once=2")
    assert done.returncode == 0, done.stderr
    first, *_, last = done.stdout.splitlines()
    assert first == f"Goes on after patient {people[1]}, where the last run was stopped."
    assert "Rescreened: 4." in last
    assert shell(KEPT).stdout.split() == people
    assert run("rescreen").stdout.startswith("Nothing is newer")
