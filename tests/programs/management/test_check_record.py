"""The command that looks the record over: what it says, how it ends, what it leaves."""

from __future__ import annotations

from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.db import connection

from patients.append_only import drop_triggers
from patients.models.patient import Audit
from programs.management.commands.check_record import Command
from programs.models.record_check import RecordCheck
from tests.programs.actions.test_record_check import on_record

#: A seal that no line has.
OTHER = "f" * 64


def check_record(*arguments: str) -> str:
    said = StringIO()
    call_command("check_record", *arguments, stdout=said)
    return said.getvalue()


def test_it_counts_and_says_what_it_does_not_see(clinician: User) -> None:
    on_record(clinician, "Orla")
    said = check_record()
    assert "Lines of the record: 1. Signed programs: 0. Kept papers: 0." in said
    assert "Each is as it was written." in said
    assert f"kept elsewhere: {Audit.objects.get(seq=1).hash}" in said
    assert "Not seen by this: lines cut off" in said
    assert RecordCheck.objects.get().by is None


def test_it_names_the_line_and_keeps_that(clinician: User) -> None:
    on_record(clinician, "Orla")
    drop_triggers(connection.schema_editor(), ("patients_audit",))
    Audit.objects.update(reason="another")
    with pytest.raises(CommandError, match="Line 1 of the record: is not as it was written"):
        check_record()
    assert RecordCheck.objects.get().broken.startswith("Line 1")


def test_it_holds_the_record_against_a_noted_seal(clinician: User) -> None:
    on_record(clinician, "Orla")
    assert "Each is" in check_record("--seal", Audit.objects.get().hash)
    with pytest.raises(CommandError, match=f"has the seal that was noted: {OTHER}"):
        check_record("--seal", OTHER)


def test_a_mistyped_seal_is_refused_and_nothing_kept(clinician: User) -> None:
    on_record(clinician, "Orla")
    with pytest.raises(CommandError, match="abc is not a seal"):
        check_record("--seal", "abc")
    assert not RecordCheck.objects.exists()


def test_it_ends_with_1_where_the_record_does_not_hold(
    clinician: User, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As a nightly job sees it."""
    # The tests' own connection stays open.
    monkeypatch.setattr("django.core.management.base.connections.close_all", lambda: None)
    on_record(clinician, "Orla")
    Command().run_from_argv(["manage.py", "check_record"])
    assert capsys.readouterr().err == ""
    with pytest.raises(SystemExit) as end:
        Command().run_from_argv(["manage.py", "check_record", "--seal", OTHER])
    assert end.value.code == 1
    assert "No line of the record has the seal" in capsys.readouterr().err
