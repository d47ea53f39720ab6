"""Whoever can write the database changes a paper, or a row beside the record: it is told."""

from __future__ import annotations

import datetime as dt
import hashlib
import html
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import User
from django.db import models
from django.test import Client
from django.urls import reverse

from patients import audit
from patients.actions.staff import change_password
from patients.models.patient import Assessment, FractureRow, ScanRow
from programs.actions.person_check import broken_of
from programs.models.clinic import ClinicDetails, LimitChange
from programs.models.program_state import ProgramState
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.rows import AT
from tests.programs.tampered import (
    Kept,
    change,
    read_anew,
    tampered,
    told_by_the_check,
    told_by_the_start,
)

pytestmark = [
    pytest.mark.database,
    pytest.mark.long,
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


@pytest.mark.parametrize("with_digest", [False, True])
def test_a_changed_paper_is_not_handed_out(
    clinic: dict[str, Any], signed_in: Client, with_digest: bool
) -> None:
    made = b"%PDF another"
    digest = {"sha256": hashlib.sha256(made).hexdigest()} if with_digest else {}
    change(clinic["paper"], pdf=made, **digest)
    assert f"Kept paper {clinic['paper'].pk}" in told_by_the_start()
    where = [clinic["mine"].pk, clinic["paper"].pk]
    answer = signed_in.get(reverse("programs:handout_pdf", args=where), follow=True)
    assert "It is not shown." in answer.content.decode()


def scan(clinic: dict[str, Any]) -> ScanRow:
    return ScanRow.objects.filter(patient=clinic["mine"]).earliest("pk")


def answers(clinic: dict[str, Any]) -> Assessment:
    return Assessment.objects.filter(patient=clinic["mine"]).latest("pk")


BESIDE: dict[str, tuple[Callable[[dict[str, Any]], models.Model], dict[str, Any]]] = {
    "T-score": (scan, {"t": "-0.1"}),
    "answers": (answers, {"answers": {}}),
    "pain of the log": (lambda c: c["log"], {"pain": 0}),
    "fall of the log": (lambda c: c["fell"], {"fell": False}),
    "name": (lambda c: c["mine"], {"family_name": "Another"}),
    "date of birth": (lambda c: c["mine"], {"born": dt.date(1980, 1, 1)}),
    "whose a fact is": (lambda c: c["fracture"], {"patient": None}),
    "a fact struck out": (lambda c: c["fracture"], {"withdrawn_at": AT}),
    "state of the program": (
        lambda c: ProgramState.objects.filter(signed=c["second"]).get(), {"state": "ended"},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BESIDE)
def test_a_row_changed_beside_the_record_is_told_and_no_paper_is_made(
    clinic: dict[str, Any], name: str
) -> None:
    find, columns = BESIDE[name]
    row = find(clinic)
    whose = audit.person_of(row)
    change(row, **{k: clinic["other"] if v is None else v for k, v in columns.items()})
    assert "of the record has another" in told_by_the_start()
    assert "of the record has another" in told_by_the_check()
    assert whose is not None
    assert next(broken_of(whose), "") != ""


def test_a_deleted_fact_and_one_put_in_are_told(clinic: dict[str, Any]) -> None:
    row = clinic["fracture"]
    FractureRow.objects.filter(pk=row.pk)._raw_delete("default")
    gone = f"tells of fracture {row.pk}, which is gone"
    assert gone in told_by_the_start()
    assert gone in next(broken_of(clinic["mine"].pk))
    row._state.adding, row.pk = True, row.pk + 50
    row.save(force_insert=True)
    told = "\n".join(broken_of(clinic["mine"].pk))
    assert f"Fracture {row.pk}: no line of the record tells of it." in told


def test_the_clinics_own_settings_are_told(clinic: dict[str, Any]) -> None:
    row = ClinicDetails.objects.latest("pk")
    change(row, emergency="call nobody")
    assert "has another emergency" in told_by_the_start()
    assert "has another emergency" in told_by_the_check()


def test_a_limit_of_the_clinic_is_told(clinic: dict[str, Any]) -> None:
    row = LimitChange.objects.create(
        name="plate.peak_g", value="2.00", change="tightened", by=clinic["by"], at=AT
    )
    rows.on_record(row, "set limit of the clinic", {"name": row.name, "value": 2.0})
    row.refresh_from_db()
    assert told_by_the_check() == ""
    change(row, value="9.00")
    assert "has another value" in told_by_the_start()


def test_a_password_changed_beside_the_record_is_told_and_opens_nothing(
    clinic: dict[str, Any], client: Client
) -> None:
    change_password(user=clinic["by"], password=PASSWORD, at=AT)
    assert told_by_the_check() == ""
    change(clinic["by"], password=make_password("a stranger's own words"))
    told = "The password of m.ferro was changed outside the program."
    assert told in told_by_the_start()
    assert told in told_by_the_check()
    typed = {"username": "m.ferro", "password": "a stranger's own words"}
    page = client.post("/sign-in/", typed)
    assert told in html.unescape(page.content.decode())
    assert client.get("/account/").status_code == 302
