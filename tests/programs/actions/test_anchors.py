"""Anchors of the record in a file beside the database: written once, read back, held against it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients import audit
from programs.actions.anchors import (
    FILE,
    against_anchors,
    anchor_head,
    anchor_once_committed,
    anchors,
    head_words,
)
from tests.programs import rows
from tests.programs.rows import AT

pytestmark = pytest.mark.database


@pytest.fixture
def file(settings: Any, tmp_path: Path) -> Path:
    settings.STATE_DIR = tmp_path / "state"
    return tmp_path / "state" / FILE


@pytest.mark.django_db
def test_an_empty_record_has_no_anchor(file: Path) -> None:
    anchor_head(AT)
    assert (file.exists(), head_words(), list(against_anchors())) == (False, "", [])


def test_the_head_is_added_once(clinician: User, file: Path) -> None:
    rows.patient(clinician)
    for _ in range(2):
        anchor_head(AT)
    number, seal = audit.head()
    assert file.read_text() == f"{number} {seal[:12]} 2026-03-02T09:30:00+00:00\n"
    assert file.stat().st_mode & 0o777 == 0o600
    assert head_words() == f"{number}-{seal[:12]}"
    rows.patient(clinician)
    anchor_head(AT)
    assert [one.number for one in anchors()] == [number, number + 1]
    assert list(against_anchors()) == []


def test_a_line_that_is_none_is_left_out(clinician: User, file: Path) -> None:
    rows.patient(clinician)
    anchor_head(AT)
    with file.open("a") as more:
        more.write("half a li")
    assert len(anchors()) == 1
    assert list(against_anchors()) == []


def test_only_the_last_are_asked_for(clinician: User, file: Path) -> None:
    rows.patient(clinician)
    file.parent.mkdir()
    file.write_text("1 ffffffffffff 2020-01-01\n")
    anchor_head(AT)
    assert list(against_anchors(last=1)) == []
    assert "Line 1 of the record is not the one" in next(against_anchors())


def test_an_older_file_of_the_database_is_told(clinician: User, file: Path) -> None:
    rows.patient(clinician)
    file.parent.mkdir()
    file.write_text("9 ffffffffffff 2026-03-01\n")
    (told,) = against_anchors()
    assert told.startswith("The record ends at line 1, but on 2026-03-01 it had line 9")


@pytest.mark.django_db(transaction=True)
def test_what_is_committed_is_anchored_then(file: Path) -> None:
    by = User.objects.create_user("signer")
    with audit.writing():
        audit.record(by=by, at=AT, action="act", on=by)
        anchor_once_committed(AT)
        assert not file.exists()
    assert [one.number for one in anchors()] == [1]
