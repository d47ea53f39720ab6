"""A file of the evidence watch is put in by a keeper, on record, and no older one in silence."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from io import StringIO
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from patients.models.patient import Audit
from patients.staff.rights import Role
from programs.actions.evidence_watch import (
    CHANGED,
    KEPT,
    NOT_AS_PUT_IN,
    REASON_LONG,
    OlderFile,
    in_force,
    newest_row,
    of_the_product,
    put_in,
)
from programs.actions.record_check import check_record
from programs.actions.refusals import NotDone
from programs.models.clinic import EvidenceFile
from programs.watch.file import FORMAT, BadFile, Status, write
from programs.watch.resting import papers
from tests.staff import person_of

pytestmark = pytest.mark.django_db
AT = dt.datetime(2026, 12, 20, 9, tzinfo=dt.UTC)
GUSI = "doi:10.1186/1471-2474-7-92"


def newer(**more: Any) -> bytes:
    """Return the product's file with one more look, of a later day."""
    told = json.loads(KEPT.read_text(encoding="utf-8")) | {"as_of": "2026-12-10"} | more
    look = {"paper": GUSI, "status": "standing", "looked_on": "2026-12-09"}
    return json.dumps(told | {"papers": [*told["papers"], look]}).encode()


def emptied(as_of: str) -> bytes:
    told = {"format": FORMAT, "as_of": as_of, "drawn_up_by": "Ada Example", "papers": []}
    return json.dumps(told).encode()


@pytest.fixture
def keeper(db: None) -> User:
    return person_of(Role.KEEPER, username="k.lark")


def test_the_products_own_is_in_force_until_another_is_put_in(keeper: User) -> None:
    assert in_force().file is of_the_product()
    assert in_force().row is None
    put_in(content=newer(), reason="", by=keeper, at=AT)
    held = in_force()
    assert held.file.of(GUSI).status is Status.STANDING
    assert held.row is not None
    assert held.row.by == keeper
    assert (held.problem, held.says_more) == ("", ())
    assert check_record(by=None, at=AT).broken == ""


def test_it_is_on_record_with_who_put_it_in_and_what_it_replaced(keeper: User) -> None:
    token = uuid4()
    content = newer()
    put_in(content=content, reason="not asked for", by=keeper, at=AT, token=token)
    # Sent again, it is not put in again.
    assert put_in(content=content, reason="", by=keeper, at=AT, token=token) is None
    line = Audit.objects.get(action="put in evidence file")
    assert (line.actor, json.loads(line.old)) == (keeper, {"the product's own": True})
    told = json.loads(line.new)
    assert told["digest"] == hashlib.sha256(content).hexdigest()
    assert told["as_of"] == "2026-12-10"
    # No reason is kept where none was asked for.
    assert told["reason"] == ""
    put_in(content=newer(as_of="2026-12-11"), reason="", by=keeper, at=AT)
    second = Audit.objects.filter(action="put in evidence file").last()
    assert second is not None
    assert json.loads(second.old)["as_of"] == "2026-12-10"


@pytest.mark.parametrize("as_of", ["2026-11-01", "2026-12-15"])
def test_an_older_one_or_one_that_says_less_asks_for_a_reason(keeper: User, as_of: str) -> None:
    """A later day alone does not make a file newer that leaves a retraction out."""
    with pytest.raises(OlderFile) as refusal:
        put_in(content=emptied(as_of), reason=" ", by=keeper, at=AT)
    assert "doi:10.1007/bf03324589 is retracted in the one in force" in " ".join(
        refusal.value.lines
    )
    assert newest_row() == 0
    put_in(content=emptied(as_of), reason="A trial of the page", by=keeper, at=AT)
    held = in_force()
    assert held.row is not None
    assert held.row.reason == "A trial of the page"
    # What the product's own file says more is not lost from sight.
    assert any("bf03324589" in line for line in held.says_more)


def test_what_is_not_taken_changes_nothing(keeper: User) -> None:
    with pytest.raises(BadFile):
        put_in(content=b"{", reason="", by=keeper, at=AT)
    with pytest.raises(BadFile, match="still to come"):
        put_in(content=newer(as_of="2026-12-21"), reason="", by=keeper, at=AT)
    with pytest.raises(NotDone, match=REASON_LONG):
        put_in(content=newer(), reason="x" * 201, by=keeper, at=AT)
    put_in(content=newer(), reason="", by=keeper, at=AT, seen=0)
    with pytest.raises(NotDone, match=CHANGED):
        put_in(content=newer(), reason="", by=keeper, at=AT, seen=0)
    assert EvidenceFile.objects.count() == 1


@pytest.mark.parametrize("text", ["{", "changed"])
def test_a_file_that_is_not_as_it_was_put_in_does_not_count(keeper: User, text: str) -> None:
    text = newer().decode() + " " if text == "changed" else text
    digest = hashlib.sha256(newer() if text != "{" else b"{").hexdigest()
    day = dt.date(2026, 12, 10)
    EvidenceFile.objects.create(text=text, digest=digest, as_of=day, by=keeper, at=AT)
    assert in_force().problem == NOT_AS_PUT_IN
    assert in_force().file is of_the_product()


def said(*arguments: Any, **options: Any) -> str:
    out = StringIO()
    call_command("evidence_watch", *arguments, stdout=out, **options)
    return out.getvalue()


def test_the_command_tells_shows_and_takes(keeper: User, tmp_path: Path) -> None:
    assert "retracted: Iwamoto 2005" in said()
    file = tmp_path / "watch.json"
    everything = write(of_the_product(), [paper.name for paper in papers()])
    file.write_text(everything.replace("2026-12-01", "2026-11-30"), encoding="utf-8")
    shown = said(file)
    assert "older or less: It is of 2026-11-30" in shown
    assert newest_row() == 0
    with pytest.raises(CommandError, match="Say with --by"):
        said(file, take=True)
    with pytest.raises(CommandError, match="Write why"):
        said(file, take=True, by=keeper.username)
    clinician = person_of(Role.CLINICIAN, username="c.lark")
    with pytest.raises(CommandError, match="may not put in"):
        said(file, take=True, reason="Back", by=clinician.username)
    assert "in force" in said(file, take=True, reason="Back", by=keeper.username)
    assert in_force().row is not None
    file.write_text("{")
    with pytest.raises(CommandError, match="not JSON"):
        said(file)
    with pytest.raises(CommandError, match="cannot be read"):
        said(tmp_path / "none.json")
