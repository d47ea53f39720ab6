"""The command that writes everything kept of a person to a file."""

from __future__ import annotations

import stat
import zipfile
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from programs.actions import person_export
from programs.actions.person_export import exports_of
from programs.actions.printing import PaperUnavailable
from tests.programs import rows


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(person_export, "pdf", lambda *told, **how: b"%PDF")


def export(*arguments: Any) -> str:
    said = StringIO()
    call_command("export_person", *arguments, stdout=said)
    return said.getvalue()


def test_it_writes_a_file_for_its_owner_alone(clinician: User, tmp_path: Path) -> None:
    of, file = rows.patient(clinician), tmp_path / "out.zip"
    assert f"everything kept of id {of.pk}" in export(of.pk, file)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with zipfile.ZipFile(file) as held:
        assert "person.json" in held.namelist()
    assert exports_of(of).get().actor is None


def test_who_takes_it_is_in_the_record(clinician: User, tmp_path: Path) -> None:
    of = rows.patient(clinician)
    export(of.pk, tmp_path / "out.zip", "--by", clinician.username)
    assert exports_of(of).get().actor == clinician


def test_nothing_is_overwritten_and_nothing_half_written_is_left(
    clinician: User, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of, file = rows.patient(clinician), tmp_path / "out.zip"
    file.write_text("kept")
    with pytest.raises(CommandError, match="cannot be written: File exists"):
        export(of.pk, file)
    assert file.read_text() == "kept"

    def unavailable(*told: Any, **how: Any) -> bytes:
        raise PaperUnavailable("Nothing to print with.")

    monkeypatch.setattr(person_export, "pdf", unavailable)
    other = tmp_path / "other.zip"
    with pytest.raises(CommandError, match="Nothing was written: Nothing to print with"):
        export(of.pk, other)
    assert not other.exists()
    assert not exports_of(of).exists()


def test_nobody_of_that_id_or_name(clinician: User, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match="Nobody has the id 99"):
        export(99, tmp_path / "out.zip")
    of = rows.patient(clinician)
    with pytest.raises(CommandError, match=r"user name m\.fero"):
        export(of.pk, tmp_path / "out.zip", "--by", "m.fero")
    assert [*tmp_path.iterdir()] == []
