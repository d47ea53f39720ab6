"""Who answers for a command: every one that changes something takes a name or names the machine."""

from __future__ import annotations

import importlib
import os
import pkgutil
import pwd
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from patients import audit
from patients.models.patient import Audit
from patients.models.staff import RoleChange
from programs.management import answering, commands
from programs.management.answering import AnsweredCommand, system_user
from programs.models.database_copies import DatabaseCopy
from tests.programs import rows

#: Commands that write nothing of a clinic's, or have nobody to name, and why.
NAMES_NOBODY = {
    "demo": "the invented clinic is loaded by its own invented clinician",
    "draft_program": "saves nothing",
    "first_account": "there is nobody yet",
    "follow_up": "saves nothing",
    "health": "looks, and saves nothing",
    "make_sbom": "writes a file of the source",
    "migrate": "changes no row but those of the release; the machine's user is named",
    "rub_out": "changes no row",
    "serve": "serves; whoever signs in is named",
}

pytestmark = pytest.mark.django_db


def test_every_command_takes_a_name_or_says_why_not() -> None:
    found = {one.name for one in pkgutil.iter_modules(commands.__path__)}
    modules = {name: importlib.import_module(f"{commands.__name__}.{name}") for name in found}
    takes = {name for name, one in modules.items() if issubclass(one.Command, AnsweredCommand)}
    assert found - takes == set(NAMES_NOBODY)


def run(*arguments: Any, **more: Any) -> Audit:
    call_command(*arguments, stdout=StringIO(), **more)
    return Audit.objects.latest("seq")


@pytest.mark.database
@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("named", [True, False])
def test_each_line_of_a_command_names_somebody(
    clinician: User, tmp_path: Path, named: bool, settings: Any
) -> None:
    settings.STATE_DIR = tmp_path
    rows.recorded(clinician)
    last = audit.head()[0]
    by = ["--by", clinician.username] if named else []
    for told in (["rescreen"], ["back_up", tmp_path / "copy"], ["seal_signed"]):
        call_command(*told, *by, stdout=StringIO())
    lines = Audit.objects.filter(seq__gt=last)
    assert {line.action for line in lines} == {"rescreen", "database copy made"}
    name = "Marta Ferro" if named else f"on this machine, by the system user {system_user()}"
    assert {line.actor_name for line in lines} == {name}
    assert DatabaseCopy.objects.get().by == (clinician if named else None)
    assert audit.verify_chain() is None


def test_with_and_without_a_name(clinician: User) -> None:
    line = run("check_record")
    user = pwd.getpwuid(os.getuid()).pw_name
    assert (line.actor, line.actor_name) == (None, f"on this machine, by the system user {user}")
    assert line.source_address == f"this machine, {user}"
    line = run("check_record", "--by", clinician.username)
    assert (line.actor, line.actor_name) == (clinician, "Marta Ferro")
    assert line.source_address == f"this machine, {user}"
    assert audit.nobody.get() == "the system"


@pytest.mark.parametrize("name", ["nobody.here", "m.ferro"])
def test_an_unknown_name_and_one_switched_off_are_refused(clinician: User, name: str) -> None:
    User.objects.filter(pk=clinician.pk).update(is_active=False)
    with pytest.raises(CommandError, match=f"Nobody who works here has the user name {name}"):
        call_command("check_record", "--by", name)
    assert not Audit.objects.exists()


def test_a_user_without_a_name_is_told_by_number(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(answering.os, "getuid", lambda: 4_000_000_000)
    assert system_user() == "number 4000000000"


def test_a_keeper_made_by_the_shell_has_somebody_who_answers(clinician: User) -> None:
    made = User.objects.create(username="a.berg", first_name="A Berg")
    RoleChange.objects.create(
        who=clinician, role="keeper", given=False, at=clinician.date_joined, by=None
    )
    line = run("make_keeper", "a.berg", "--by", clinician.username)
    assert (line.action, line.actor) == ("give role", clinician)
    assert RoleChange.objects.latest("pk").who == made
