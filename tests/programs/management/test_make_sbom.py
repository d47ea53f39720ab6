"""The command that writes the list of what the product is made of."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from programs.actions import made_of


def test_it_writes_what_the_lock_makes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "sbom.json"
    monkeypatch.setattr(made_of, "KEPT", file)
    call_command("make_sbom", stdout=StringIO())
    assert file.read_text() == made_of.made_from_the_lock()
