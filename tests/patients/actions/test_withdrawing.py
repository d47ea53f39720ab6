"""Striking out: one act for every kind of row, kept with who, when and why."""

import ast
import json

import pytest

from patients.actions.refusals import Refused
from patients.actions.withdrawing import withdraw
from patients.models.patient import Audit
from patients.rows_to_facts import facts_of
from tests.factories import DAY, MOMENT, ScanFactory, UserFactory
from tests.gate.project import ROOT, python_of_apps

COLUMNS = {"withdrawn_by", "withdrawn_at", "withdrawn_reason"}


@pytest.fixture
def by(db):
    return UserFactory()


def test_a_row_is_struck_out_and_kept(by):
    row = ScanFactory()
    withdraw(row=row, reason=" Belongs to another person ", by=by, at=MOMENT)
    row.refresh_from_db()
    assert (row.withdrawn_by, row.withdrawn_at) == (by, MOMENT)
    assert row.withdrawn_reason == "Belongs to another person"
    assert facts_of(row.patient, DAY).scans is None


def test_the_record_tells_what_was_and_what_is(by):
    row = ScanFactory()
    withdraw(row=row, reason="Another site", by=by, at=MOMENT)
    line = Audit.objects.get()
    assert (line.action, line.reason, line.actor) == ("withdraw scan", "Another site", by)
    old, new = json.loads(line.old), json.loads(line.new)
    assert {name.removesuffix("_id") for name in new if old[name] != new[name]} == COLUMNS


def test_a_row_that_was_struck_out_meanwhile_keeps_its_first_reason(by):
    row = ScanFactory()
    seen_by_another = type(row).objects.get(pk=row.pk)
    withdraw(row=row, reason="First", by=by, at=MOMENT)
    withdraw(row=seen_by_another, reason="Second", by=by, at=MOMENT)
    assert seen_by_another.withdrawn_reason == "First"
    assert Audit.objects.count() == 1


def test_nothing_is_struck_out_without_a_reason(by):
    row = ScanFactory()
    # A zero-width space is no reason either.
    for blank in ("", "  ", "\u200b"):
        with pytest.raises(Refused, match="Say why"):
            withdraw(row=row, reason=blank, by=by, at=MOMENT)
    row.refresh_from_db()
    assert row.withdrawn_at is None
    assert not Audit.objects.exists()


def test_a_reason_is_no_longer_than_its_column(by):
    row = ScanFactory()
    withdraw(row=row, reason="x" * 300, by=by, at=MOMENT)
    row.refresh_from_db()
    assert row.withdrawn_reason == "x" * 200


def writers() -> set[str]:
    """Return the modules that set a column of a struck-out row."""
    return {
        str(path)
        for path in python_of_apps()
        for node in ast.walk(ast.parse((ROOT / path).read_text()))
        if isinstance(node, ast.Attribute)
        and isinstance(node.ctx, ast.Store)
        and node.attr in COLUMNS
    }


def test_nobody_else_strikes_out():
    assert writers() == {"patients/actions/withdrawing.py"}
