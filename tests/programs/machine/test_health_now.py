"""What is seen of the machine the tests run on; the command and the page that tell it."""

from __future__ import annotations

import datetime as dt
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.db import OperationalError
from django.test import Client
from django.utils import timezone

from programs.actions.database_copies import keep_copy
from programs.actions.record_check import check_record
from programs.machine import health_now
from programs.machine.health import Check
from programs.machine.health_now import health
from programs.models.database_copies import MADE, PROVEN
from tests.programs.actions.test_database_copies import HELD
from tests.programs.actions.test_record_check import on_record

pytestmark = [pytest.mark.database, pytest.mark.django_db]


@pytest.fixture(autouse=True)
def state(settings: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    settings.STATE_DIR = tmp_path
    monkeypatch.setattr(health_now.folder, "free_bytes", lambda: 10**12)
    return tmp_path


@pytest.fixture
def sound(clinician: User) -> None:
    """A person on record, a look at the record, a copy made and tried out."""
    on_record(clinician, "Orla")
    check_record(by=clinician, at=timezone.now())
    for what in (MADE, PROVEN):
        keep_copy(held=HELD, what=what, by=None, at=timezone.now())


def to_do(*, quick: bool = False, later: int = 0) -> list[str]:
    now = timezone.now() + dt.timedelta(days=later)
    return [check.name for check in health(now=now, quick=quick) if not check.fine]


def test_a_new_installation_has_work_to_do() -> None:
    assert to_do() == to_do(quick=True) == ["Record", "Last copy", "Proven restore"]


def test_a_sound_one_has_none_until_its_copies_are_old(sound: None) -> None:
    assert to_do() == []
    assert to_do(later=3) == ["Last copy"]
    assert to_do(later=100) == ["Record", "Last copy", "Proven restore"]
    assert to_do(later=-1) == ["Clock"]


def test_another_key(sound: None, settings: Any) -> None:
    settings.SECRET_KEY = "another key, of another installation, just as long as the first one"
    assert to_do() == ["Secret key"]


@pytest.mark.parametrize("which", ["unknown", "missing"])
def test_another_release(sound: None, monkeypatch: pytest.MonkeyPatch, which: str) -> None:
    monkeypatch.setattr(health_now, which, lambda: ["programs.0999_of_next_year"])
    assert "Release" in to_do()
    (release,) = (check for check in _all() if check.name == "Release")
    assert "programs.0999_of_next_year" in release.stands


def test_a_damaged_database(sound: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(health_now.kind(), "not_whole", lambda alias: "page 7")
    assert to_do() == ["Database"]
    assert to_do(quick=True) == []


def test_a_database_that_is_away(sound: None, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails() -> list[str]:
        raise OperationalError("connection failed: Connection refused")

    monkeypatch.setattr(health_now, "unknown", fails)
    assert to_do() == ["Database"]
    assert "The database server does not answer" in _all()[1].stands


def _all() -> tuple[Check, ...]:
    return health(now=timezone.now(), quick=False)


def told() -> str:
    said = StringIO()
    call_command("health", stdout=said)
    return said.getvalue()


def test_the_command_ends_with_0_only_where_all_is_fine(sound: None) -> None:
    said = told()
    assert len(said.splitlines()) == 8
    assert all(line.startswith("fine  ") for line in said.splitlines())


def test_the_command_names_what_is_to_be_done() -> None:
    with pytest.raises(CommandError, match=r"To look at: Record, Last copy, Proven restore\."):
        told()


def test_the_page_tells_the_same_and_nothing_of_anybody(signed_in: Client, sound: None) -> None:
    page = signed_in.get("/clinic/health/")
    html = page.content.decode()
    assert page.status_code == 200
    assert "All is fine." in html
    assert "Orla" not in html
    assert "/clinic/health/" in signed_in.get("/clinic/").content.decode()


def test_the_page_names_what_is_to_be_done(signed_in: Client) -> None:
    html = signed_in.get("/clinic/health/").content.decode()
    assert "To look at: Record, Last copy, Proven restore." in html
    assert "manage.py restore FILE --rehearse" in html


def test_nobody_sees_it_without_signing_in(client: Client) -> None:
    assert client.get("/clinic/health/").status_code == 302
