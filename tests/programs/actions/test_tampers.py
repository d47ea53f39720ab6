"""Whoever can write the database changes the record or a signed program: each change is told.

The groups are those of an attack past the triggers. Where a page reads what was changed it says
so, on whatever database; the rest is told by the next start.
"""

from __future__ import annotations

import datetime as dt
import html
import json
from collections.abc import Callable
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client, override_settings
from django.urls import reverse

from patients import audit
from patients.models.patient import Audit, Patient
from programs.actions import papers
from programs.actions.anchors import FILE
from programs.actions.as_signed import NotAsSigned
from programs.actions.person_check import broken_of
from programs.actions.refusals import NotDone
from programs.models.program import Handout, Plan, SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.models.seal import SignedSeal
from programs.signed import snapshot
from tests.programs import rows
from tests.programs.rows import AT, DAY
from tests.programs.tampered import (
    LATER,
    OTHER,
    Kept,
    another,
    change,
    read_anew,
    tampered,
    told_by_the_check,
    told_by_the_start,
)

pytestmark = [
    pytest.mark.long,
    pytest.mark.counted,
    pytest.mark.usefixtures("on_the_first_day"),
]


@pytest.fixture(scope="module")
def kept(clinician_of_this_file: User, tmp_path_factory: pytest.TempPathFactory) -> Kept:
    return tampered(clinician_of_this_file, tmp_path_factory.mktemp("anchored"))


@pytest.fixture
def clinic(
    db: None, kept: Kept, monkeypatch: pytest.MonkeyPatch, settings: Any, tmp_path: Path
) -> dict[str, Any]:
    """Two people with signed programs, a paper, facts and a log; the record anchored."""
    return read_anew(kept, monkeypatch, settings, tmp_path)


@pytest.fixture
def clinician(clinic: dict[str, Any]) -> User:
    """Whoever made them, in place of somebody of this name for each test."""
    return clinic["by"]


# --- The record -----------------------------------------------------------------------------


@pytest.mark.database
def test_nothing_is_told_of_what_was_not_changed(clinic: dict[str, Any]) -> None:
    assert (told_by_the_start(), told_by_the_check()) == ("", "")
    assert list(broken_of(clinic["mine"].pk)) == []


@pytest.mark.database
def test_a_flip_in_each_field_of_a_line_is_found_at_its_line(clinic: dict[str, Any]) -> None:
    fields = [f for f in Audit._meta.concrete_fields if f.name not in ("seq", "actor")]
    lines = [Audit.objects.order_by("seq")[n] for n in (0, 7, Audit.objects.count() - 1)]

    def flipped(line: Audit, field: Any) -> None:
        change(line, **{field.attname: another(line, field)})
        found = told_by_the_start()
        change(line, **{field.attname: getattr(line, field.attname)})
        assert f"Line {line.seq} of the record" in found, field.name

    for line, field in product(lines, fields):
        flipped(line, field)
    change(lines[0], actor=None if lines[0].actor_id else clinic["by"].pk)
    assert "Line 1 of the record" in told_by_the_start()


@pytest.mark.database
def test_a_line_deleted_swapped_or_forged_is_found(clinic: dict[str, Any]) -> None:
    lines = list(Audit.objects.order_by("seq"))
    one, next_ = lines[5], lines[6]
    Audit.objects.filter(seq=one.seq).delete()
    assert f"line {one.seq} is missing" in told_by_the_start()
    one._state.adding = True
    one.save(force_insert=True)
    Audit.objects.filter(seq=one.seq).update(seq=99_999)
    Audit.objects.filter(seq=next_.seq).update(seq=one.seq)
    Audit.objects.filter(seq=99_999).update(seq=next_.seq)
    assert f"Line {one.seq} of the record" in told_by_the_start()
    Audit.objects.filter(seq=one.seq).update(seq=99_999)
    Audit.objects.filter(seq=next_.seq).update(seq=one.seq)
    Audit.objects.filter(seq=99_999).update(seq=next_.seq)
    assert told_by_the_start() == ""
    twice = lines[-1]
    twice.seq, twice.token = twice.seq + 1, None
    twice._state.adding = True
    twice.save(force_insert=True)
    assert f"Line {twice.seq} of the record" in told_by_the_start()


@pytest.mark.database
def test_a_chain_made_anew_without_the_key_is_found(clinic: dict[str, Any]) -> None:
    lines = list(Audit.objects.order_by("seq"))
    Audit.objects.all().delete()
    with override_settings(SECRET_KEY="another key, of somebody who has the file alone, long"):
        for line in lines:
            audit.record(by=None, at=line.at, action=line.action, on=clinic["mine"])
    assert "Line 1 of the record" in told_by_the_start()


@pytest.mark.database
@pytest.mark.parametrize("cut", [1, 2, 5, 10])
def test_a_cut_tail_is_told_by_the_anchors(clinic: dict[str, Any], cut: int) -> None:
    head = audit.head()[0]
    Audit.objects.filter(seq__gt=head - cut).delete()
    words = f"The record ends at line {head - cut}, but on 2026-03-02"
    assert words in told_by_the_start()
    assert words in told_by_the_check()


@pytest.mark.database
def test_an_emptied_record_is_told(clinic: dict[str, Any]) -> None:
    Audit.objects.all().delete()
    assert "The record is empty, but on" in told_by_the_start()
    assert "Was it emptied?" in told_by_the_start()


@pytest.mark.database
def test_a_record_begun_anew_is_told(clinic: dict[str, Any]) -> None:
    """With the key too: the anchors are elsewhere."""
    lines = list(Audit.objects.order_by("seq"))
    Audit.objects.all().delete()
    for line in lines:
        audit.record(by=None, at=line.at, action="forged", on=clinic["by"])
    assert "is not the one that was anchored" in told_by_the_start()


@pytest.mark.database
def test_without_the_file_of_anchors_nothing_is_told_of_the_tail(
    clinic: dict[str, Any], settings: Any
) -> None:
    """The limit of it: what is elsewhere has to be kept."""
    (settings.STATE_DIR / FILE).unlink()
    last = Audit.objects.latest("seq")
    SessionLog.objects.filter(pk=last.object_id).delete()
    last_deleted = Audit.objects.filter(seq=last.seq)
    last_deleted.delete()
    assert told_by_the_start() == ""


# --- Signed programs ------------------------------------------------------------------------

PAGES = ("plan", "sign", "handout", "log", "review", "timeline", "stop")


def said(client: Client, patient: Patient, version: int | None = None) -> dict[str, str]:
    """Return what each page that reads a signed program of hers says."""
    addresses = {page: reverse(f"programs:{page}", args=[patient.pk]) for page in PAGES}
    addresses["why"] = reverse("programs:why", args=[patient.pk, "plate"])
    if version is not None:
        addresses["version"] = reverse("programs:plan_version", args=[patient.pk, version])
    answers = {page: client.get(address, follow=True) for page, address in addresses.items()}
    assert all(answer.status_code in (200, 409) for answer in answers.values())
    return {page: html.unescape(answer.content.decode()) for page, answer in answers.items()}


def is_told(client: Client, row: SignedPlan, patient: Patient, by: User) -> None:
    """Every page of the newest program says that it does not hold, and nothing prints."""
    pages = said(client, patient)
    silent = [page for page, text in pages.items() if "is not as it was signed" not in text]
    assert silent == []
    newest = SignedPlan.objects.filter(pk=row.pk).first()
    if newest is None:
        return
    with pytest.raises(NotDone):
        papers.make_paper(signed=newest, kind="handout", by=by, at=AT)
    days = reverse("programs:session_calendar", args=[newest.patient_id, newest.pk])
    assert client.get(days).status_code in (302, 409)
    paper = Handout.objects.filter(signed=newest).first()
    if paper is not None:
        with pytest.raises(NotDone):
            papers.bytes_to_hand_out(paper, AT)


FLIPS: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
    "body": lambda c: {"body": c["second"].body.replace('"minutes":75', '"minutes":80')},
    "digest": lambda c: {"digest": OTHER},
    "previous_digest": lambda c: {"previous_digest": OTHER},
    "signed_name": lambda c: {"signed_name": "Somebody Else"},
    "meaning": lambda c: {"meaning": "Seen."},
    "signed_at": lambda c: {"signed_at": LATER},
    "version": lambda c: {"version": 9},
    "patient": lambda c: {"patient": c["other"], "version": 5},
    "rulebook": lambda c: {"rulebook": "2020.1"},
    "format": lambda c: {"format": 1},
    "signed_by": lambda c: {"signed_by": User.objects.create_user("another")},
    "plan": lambda c: {"plan": rows.plan(c["other"], c["by"], version=7)},
}


def test_every_column_of_a_signature_is_tried() -> None:
    tried = {*FLIPS, "id"}
    assert {field.name for field in SignedPlan._meta.concrete_fields} == tried


@pytest.mark.parametrize("flip", FLIPS)
def test_a_flip_in_a_signed_program_is_said_on_every_page(
    clinic: dict[str, Any], signed_in: Client, flip: str
) -> None:
    change(clinic["second"], **FLIPS[flip](clinic))
    assert told_by_the_start() != ""
    is_told(signed_in, clinic["second"], clinic["mine"], clinic["by"])


def test_a_dose_changed_with_all_digests_made_anew_is_said(
    clinic: dict[str, Any], signed_in: Client
) -> None:
    row = clinic["second"]
    document = json.loads(row.body)
    document["weeks"][0]["plate"] = document["weeks"][-1]["plate"]
    body = snapshot.canonical(document)
    change(row, body=body, digest=snapshot.digest_of(body))
    assert "Signed program" in told_by_the_start()
    is_told(signed_in, row, clinic["mine"], clinic["by"])


@pytest.mark.parametrize("column", ["number", "salt", "commitment", "previous_seal", "seal"])
def test_a_flip_in_a_keyed_seal_is_said(
    clinic: dict[str, Any], signed_in: Client, column: str
) -> None:
    seal = SignedSeal.objects.get(signed=clinic["second"])
    change(seal, **{column: 77 if column == "number" else OTHER})
    assert "Signed program" in told_by_the_start()
    is_told(signed_in, clinic["second"], clinic["mine"], clinic["by"])


def test_a_keyed_seal_that_is_gone_is_said(clinic: dict[str, Any], signed_in: Client) -> None:
    SignedSeal.objects.filter(signed=clinic["second"]).delete()
    assert "keyed seal, number 3, is gone" in told_by_the_start()
    is_told(signed_in, clinic["second"], clinic["mine"], clinic["by"])


def test_a_signature_moved_onto_an_older_version_is_said_on_its_page(
    clinic: dict[str, Any], signed_in: Client
) -> None:
    columns = ("body", "digest", "signed_name", "meaning", "signed_at")
    moved = {name: getattr(clinic["theirs"], name) for name in columns}
    SignedSeal.objects.filter(signed=clinic["theirs"]).delete()
    SignedPlan.objects.filter(pk=clinic["theirs"].pk).update(digest=OTHER)
    change(clinic["first"], **moved)
    assert "Signed program" in told_by_the_start()
    assert "is not as it was signed" in said(signed_in, clinic["mine"], 1)["version"]
    with pytest.raises(NotDone, match="not as it was recorded"):
        papers.make_paper(signed=clinic["second"], kind="handout", by=clinic["by"], at=AT)


@pytest.mark.parametrize("which", ["first", "second"])
def test_a_deleted_signature_is_said(clinic: dict[str, Any], signed_in: Client, which: str) -> None:
    row, version = clinic[which], clinic[which].version
    for kind in (Handout, SessionLog, ProgramState, SignedSeal):
        kind._base_manager.filter(signed=row)._raw_delete("default")
    SignedPlan.objects.filter(pk=row.pk)._raw_delete("default")
    assert f"tells of signed program {row.pk}, which is gone" in told_by_the_start()
    pages = said(signed_in, clinic["mine"], version)
    assert "Its signature is gone" in pages["version"]
    if which == "second":
        is_told(signed_in, row, clinic["mine"], clinic["by"])


@pytest.mark.parametrize(
    "columns",
    [
        {"starts_on": DAY + dt.timedelta(weeks=4)},
        {"weeks": []},
        {"proposed": {}},
        {"facts": {}},
        {"resume": {"lifted": ["plate.cap"]}},
        {"left_out_by_clinician": {"plate": "x"}},
        {"state": Plan.DRAFT},
        {"version": 8},
    ],
)
def test_a_plan_changed_beside_its_signature_is_never_shown(
    clinic: dict[str, Any], signed_in: Client, columns: dict[str, Any]
) -> None:
    change(clinic["second"].plan, **columns)
    told = told_by_the_check()
    assert "Its plan's row says otherwise" in told or "take up" in told
    with pytest.raises(NotAsSigned):
        papers.make_paper(
            signed=SignedPlan.objects.get(pk=clinic["second"].pk), kind="handout",
            by=clinic["by"], at=AT,
        )  # fmt: skip
    if "state" not in columns:
        is_told(signed_in, clinic["second"], clinic["mine"], clinic["by"])
