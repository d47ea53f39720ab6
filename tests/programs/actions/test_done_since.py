"""What is on record of her since the plan before, as it was when the next one was signed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from django.contrib.auth.models import User

from patients.models.patient import FunctionTestDay
from programs.actions import papers
from programs.actions.as_signed import program_of
from programs.actions.done_since import done_since
from programs.actions.drafting import draft_plan
from programs.models.program import SignedPlan
from programs.papers.done_since import DoneSince
from tests.programs import rows
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT, DAY

pytestmark = pytest.mark.django_db
LATER, LATER_AT = DAY + dt.timedelta(days=30), AT + dt.timedelta(days=30)


@pytest.fixture
def first(clinician: User) -> SignedPlan:
    return sign(drafted(clinician), clinician)


@pytest.fixture
def second(first: SignedPlan, clinician: User) -> SignedPlan:
    plan = draft_plan(
        patient=first.patient, as_of=LATER, starts_on=LATER, by=clinician, at=LATER_AT
    )
    return sign(plan, clinician, at=LATER_AT, today=LATER, starts_on=LATER)


def stood(of: SignedPlan, by: User, on: dt.date, stands: int | None, **more: Any) -> None:
    held = {"entered_by": by, "entered_at": AT}
    rows.entry(FunctionTestDay(patient=of.patient, date=on, chair_stands_30s=stands, **held | more))


def found(of: SignedPlan) -> DoneSince | None:
    return done_since(of, program_of(of))


def test_a_first_program_has_nothing_before_it(first: SignedPlan) -> None:
    assert found(first) is None


def test_it_counts_what_was_done_between_the_two(
    first: SignedPlan, second: SignedPlan, clinician: User
) -> None:
    soon = DAY + dt.timedelta(days=5)
    rows.session(first, clinician, on=soon)
    rows.session(first, clinician, on=soon, done="part", modality="posture")
    for left_out in (
        {"done": "none"},
        {"whole_day": True},
        {"on": DAY - dt.timedelta(days=1)},
        {"on": LATER + dt.timedelta(days=1)},
        {"entered_at": LATER_AT + dt.timedelta(minutes=1)},
    ):
        rows.session(first, clinician, **{"on": soon} | left_out)
    held = found(second)
    assert held is not None
    assert (held.since, held.sessions) == (DAY, 2)


def test_it_tells_the_first_and_the_last_test(
    first: SignedPlan, second: SignedPlan, clinician: User
) -> None:
    """One stands on record from before the program; what came after the signature is left out."""
    (begun,) = FunctionTestDay.objects.filter(patient=first.patient)
    assert found(second).stands is None  # type: ignore[union-attr]
    stood(first, clinician, LATER - dt.timedelta(days=2), 17)
    stood(first, clinician, LATER + dt.timedelta(days=1), 30)
    after = LATER_AT + dt.timedelta(hours=1)
    stood(first, clinician, LATER - dt.timedelta(days=1), 29, entered_at=after)
    stood(first, clinician, LATER - dt.timedelta(days=1), None)
    assert found(second).stands == (begun.chair_stands_30s, 17)  # type: ignore[union-attr]


def test_without_balance_no_rung_is_told(
    first: SignedPlan, second: SignedPlan, clinician: User
) -> None:
    document = program_of(second)
    bare = replace(document, weeks=tuple(replace(one, balance=None) for one in document.weeks))
    held = done_since(second, bare)
    assert held is not None
    assert held.rungs is None


def test_the_handout_shows_it_and_the_letter_does_not(
    second: SignedPlan, first: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows.session(first, clinician, on=DAY)
    shown: list[dict[str, Any]] = []

    def press(template: str, context: dict[str, Any], **_: Any) -> bytes:
        shown.append(context)
        return b"%PDF"

    monkeypatch.setattr(papers, "pdf", press)
    for kind in ("handout", "summary"):
        papers.make_paper(signed=second, kind=kind, by=clinician, at=LATER_AT)
    assert "You did 1 session." in shown[0]["since"].tell
    assert "since" not in shown[1]
