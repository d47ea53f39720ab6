"""Killed at each statement, and before and after each end of a transaction: all, or nothing."""

from __future__ import annotations

import ast
import sys

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Patient
from patients.models.staff import RoleChange
from programs.actions import pdf_process
from tests.gate.project import ROOT
from tests.kills.harness import killed_everywhere
from tests.kills.story import story
from tests.programs.rows import on_record, patient

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]

#: What writes and is no step of the story, and why.
NO_STEP = {
    "_kept": "a part of rescreen_all",
    "begin_anew": "a part of restore_from",
    "make_keeper": "refused while there is a keeper, as in each clinic",
    "tell_of_the_move": "done once, by the migration to a release",
}
#: Where an action is killed in the quick run, in percent of its statements.
SOME = (70,)


@pytest.fixture
def press(monkeypatch: pytest.MonkeyPatch) -> None:
    """No paper is really printed, so that the time goes to the kills."""
    monkeypatch.setattr(pdf_process, "apart", lambda order: b"%PDF")


def test_no_kill_leaves_half_of_an_action(
    clinician: User, pytestconfig: pytest.Config, press: None
) -> None:
    for role in RoleChange.objects.all():
        on_record(role, "give role")
    places = None if pytestconfig.getoption("every_kill") else SOME
    kills, ends, broken = 0, 0, []
    done = []
    for name, step in story(clinician):
        told = killed_everywhere(step, places)
        kills, ends = kills + told.kills, ends + told.transactions
        broken += [f"{name}, {one}" for one in told.broken]
        step()
        done.append(name)
    sys.stdout.write(f"{kills} kills of {len(done)} actions, {ends} ends of a transaction\n")
    assert broken == []
    assert len(done) == len(set(done))
    # A new action fails here until the story has it.
    assert actions_that_write() - {name.split()[0] for name in done} == set(NO_STEP)


def actions_that_write() -> set[str]:
    """Return their names, as found in the source."""
    return {
        node.name
        for folder in ("patients/actions", "programs/actions")
        for path in (ROOT / folder).glob("*.py")
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.FunctionDef) and "audit.writing()" in ast.unparse(node)
        and "inside writing()" not in (ast.get_docstring(node) or "")
    }  # fmt: skip


def test_half_an_action_would_be_found(clinician: User) -> None:
    def halves() -> None:
        patient(clinician, family_name="First")
        Patient._base_manager.update(family_name="Second")

    told = killed_everywhere(halves, SOME)
    assert told.transactions > 1
    assert any("no line of the record tells of this person" in one for one in told.broken)
