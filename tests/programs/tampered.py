"""A clinic whose database is changed past its triggers, for the tests of what is told of it."""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.db import connection, models
from django.test import override_settings
from django.utils import timezone

from patients.append_only import drop_triggers
from patients.models.patient import FractureRow, Patient
from programs.actions import papers
from programs.actions.anchors import anchor_head
from programs.actions.clinic import Details, set_details
from programs.actions.drafting import draft_plan
from programs.actions.record_check import look_at_the_end, look_over
from programs.models.program import SignedPlan
from tests.people import steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import sign
from tests.programs.rows import AT, DAY

LATER = AT + dt.timedelta(days=1)
OTHER = "f" * 64


@dataclass(frozen=True)
class Kept:
    """What the tests of a file begin with: the rows, by name, and the folder of the anchors."""

    rows: dict[str, tuple[type[models.Model], int]]
    state: Path


def tampered(clinician: User, state: Path) -> Kept:
    """Two people: one with two versions signed, papers, facts and a log; the record anchored."""
    with pytest.MonkeyPatch.context() as patch, override_settings(STATE_DIR=state):
        now = mock.patch.object(timezone, "now", return_value=AT)
        patch.setattr(papers, "pdf", not_printed)
        with now:
            made = _made(clinician)
            drop_triggers(connection.schema_editor(), tuple(tables()))
            anchor_head(AT)
    return Kept({name: (type(row), row.pk) for name, row in made.items()}, state)


def read_anew(kept: Kept, patch: pytest.MonkeyPatch, settings: Any, here: Path) -> dict[str, Any]:
    """Return the rows of one test, whose anchors are a copy."""
    settings.STATE_DIR = shutil.copytree(kept.state, here / "state")
    patch.setattr(papers, "pdf", not_printed)
    return {name: model._base_manager.get(pk=pk) for name, (model, pk) in kept.rows.items()}


def not_printed(template: str, *_: Any, **__: Any) -> bytes:
    return f"%PDF {template}".encode()


def _made(clinician: User) -> dict[str, models.Model]:
    set_details(details=Details(name="Example clinic", emergency="01"), by=clinician, at=AT)
    mine, other = (rows.recorded(clinician, steady_document()) for _ in range(2))
    entered = {"patient": mine, "entered_by": clinician, "entered_at": AT}
    fracture = rows.entry(FractureRow(site="wrist", date=dt.date(2001, 1, 1), healed=True,
                                      low_trauma=True, **entered))  # fmt: skip
    first, theirs = signed(mine, clinician), signed(other, clinician)
    second = signed(mine, clinician)
    return {
        "mine": mine,
        "other": other,
        "first": first,
        "second": second,
        "theirs": theirs,
        "paper": papers.make_paper(signed=second, kind="summary", by=clinician, at=AT),
        "log": rows.session(second, clinician, pain=2),
        "fell": rows.session(theirs, clinician, fell=True),
        "fracture": fracture,
        "by": clinician,
    }


def signed(patient: Patient, by: User) -> SignedPlan:
    return sign(draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=by, at=AT), by)


def tables() -> list[str]:
    """Return every table: what an attacker wants is not held back by a trigger."""
    return [
        table for table in connection.introspection.table_names() if table.startswith(
            ("patients_", "programs_", "safety_"))
    ]  # fmt: skip


def change(row: models.Model, **columns: Any) -> None:
    type(row)._base_manager.filter(pk=row.pk).update(**columns)


def told_by_the_start() -> str:
    return "\n".join(look_at_the_end())


def told_by_the_check() -> str:
    return "\n".join(look_over().broken)


def another(row: models.Model, field: Any) -> Any:
    """Return another value that a column can hold."""
    held = getattr(row, field.attname)
    match field:
        case models.BooleanField():
            return not held
        case models.DateTimeField():
            return (held or AT) + dt.timedelta(hours=1)
        case models.UUIDField():
            return "00000000-0000-4000-8000-000000000001"
        case models.IntegerField() | models.BigIntegerField():
            return 987 if held is None else held + 987
        case models.ForeignKey():
            return None
    made = f"{held or ''}x"
    # One that fills its column loses its first letter for it.
    return made if field.max_length is None else made[-field.max_length :]
