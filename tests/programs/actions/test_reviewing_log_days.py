"""What is told of whole days, and of the last sets, reaches the review as the rulebook reads it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User

from programs.actions.log_days import TypedDay, save_days
from programs.log.entries import Entry
from programs.models.program import SignedPlan
from programs.review.next_steps import Next
from programs.week.week import ResistanceWeek
from safety.findings import Modality
from tests.programs import reviews
from tests.programs.reviews import after, held, seen
from tests.programs.rows import DAY

pytestmark = [pytest.mark.django_db, pytest.mark.long]
LATER = DAY + dt.timedelta(days=21)


def log(
    signed: SignedPlan,
    by: User,
    *,
    lifting: dict[str, Any] | None = None,
    days: dict[dt.date, dict[str, Any]] | None = None,
) -> None:
    """Log four weeks as typed: kinds done, pain 0 of each day and no fall, but as said."""
    planned = reviews.planned(signed)
    typed: dict[dt.date, dict[Modality | None, Entry]] = {}
    for week in range(1, 5):
        for kind in planned.modalities:
            more = lifting or {} if kind is Modality.RESISTANCE else {}
            for on in planned.days(week, kind):
                told = {"done": "all", **more}
                typed.setdefault(on, {})[kind] = Entry(on=on, kind=kind, told=told)
    for on, entries in typed.items():
        told = {"pain": 0, "fell": False} | (days or {}).get(on, {})
        entries[None] = Entry(on=on, kind=None, told=told)
    kinds = planned.modalities
    held_days = [TypedDay(on=on, was=(), entries=e, kinds=kinds) for on, e in typed.items()]
    save_days(patient=signed.patient, days=held_days, reason="", by=by, at=after(4))


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


def proposed(signed: SignedPlan) -> dict[Modality, Next]:
    return {one.modality: one.next for one in seen(signed).proposal.modalities}


def test_what_days_tell_counts_for_their_sessions(signed: SignedPlan, clinician: User) -> None:
    log(signed, clinician)
    assert set(proposed(signed).values()) == {Next.ADVANCE}


def test_pain_left_open_counts_for_each_kind_done_that_day(
    signed: SignedPlan, clinician: User
) -> None:
    wednesday = LATER + dt.timedelta(days=2)
    log(signed, clinician, days={wednesday: {"pain": 5, "pain_settled": False}})
    planned = reviews.planned(signed)
    done = {kind for kind in planned.modalities if wednesday in planned.days(4, kind)}
    assert done
    assert done != set(planned.modalities)
    assert proposed(signed) == {
        kind: Next.BACK_ONE if kind in done else Next.ADVANCE for kind in planned.modalities
    }


def test_pain_with_one_kind_counts_for_it_alone(signed: SignedPlan, clinician: User) -> None:
    told = {"pain": 6, "pain_settled": None, "pain_with": (Modality.BALANCE,)}
    log(signed, clinician, days={LATER: {k: v for k, v in told.items() if v is not None}})
    found = proposed(signed)
    assert found.pop(Modality.BALANCE) is Next.STOP
    assert set(found.values()) == {Next.ADVANCE}


def test_a_fall_of_a_day_stops_all_of_it(signed: SignedPlan, clinician: User) -> None:
    log(signed, clinician, days={LATER: {"fell": True, "note": "wet tiles"}})
    assert set(proposed(signed).values()) == {Next.STOP}
    events = seen(signed).proposal.events
    assert [(one.on, one.text) for one in events] == [(LATER, "A fall: wet tiles")]


@pytest.mark.parametrize(("above", "rises"), [(1, False), (2, True)])
def test_repetitions_left_above_plan_raise_the_lift(
    signed: SignedPlan, clinician: User, above: int, *, rises: bool
) -> None:
    """Rulebook row 26a: two or more above plan in the last set of two sessions running."""
    part = reviews.planned(signed).dose(4, Modality.RESISTANCE)
    assert isinstance(part, ResistanceWeek)
    assert part.reps_in_reserve is not None
    loads = {one.exercise: one.load_kg for one in part.exercises if one.load_kg}
    left = {f"left:{lift}": part.reps_in_reserve + above for lift in loads}
    log(signed, clinician, lifting=left)
    plan = held(signed, clinician).next_plan
    assert plan is not None
    new = {one["exercise"]: one["load_kg"] for one in plan.weeks[0]["resistance"]["exercises"]}
    assert any(new[lift] > load for lift, load in loads.items()) is rises
