"""Over random logs: nothing restarts above what was done, and a worse log never gives more."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from programs.draft.resume import Resume
from programs.review.adherence import Session
from programs.review.ledger import InForce
from programs.review.next_steps import Next, bolder
from programs.review.proposing import Review
from programs.week.week import (
    part_of,
)
from safety.findings import Modality
from tests.people import steady
from tests.programs.followups import FALLER, after, in_force, reviewed
from tests.programs.logs import START
from tests.programs.review.above_done import above_done

M = Modality
#: People whose ramps differ: group, cap, equipment, precaution, days, tests.
CHANGES: dict[str, dict[str, Any]] = {
    "steady": {},
    "of group B": {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -2.6}]},
    "of group C": {"scans": [{"date": "2026-01-20", "site": "total_hip", "t": -3.6}]},
    "a faller": {"falls": FALLER, "resources": {"watcher": "yes"}},
    "old": {"person": {"born": "1940-01-01"}, "resources": {"watcher": "yes"}},
    "with a sore back": {"conditions": {"chronic_back_pain": "yes"}},
    "of high pressure": {"tests": {"resting_bp": [190, 112]}},
    "with little time": {"resources": {"days": ["mon", "thu"], "minutes_per_day": 25}},
    "without weights": {"resources": {"equipment": ["chair"]}},
    "stronger": {
        "lifts": [{"lift": "leg_press", "kg": 90, "reps": 8, "on": "2026-03-02"}],
        "tests": {"chair_stands_30s": 20},
    },
    "unsteady": {"tests": {"tandem_s": 4, "semi_tandem_s": 10}},
    "with a new plate": {
        "resources": {
            "plates": [
                {
                    "name": "another",
                    "motion": "vertical",
                    "frequency_hz": {"from": 20, "to": 35, "step": 5},
                    "displacement_mm": {"settings": [0.5, 0.8], "reads_as": "peak_to_peak"},
                    "rail": "yes",
                    "load_limit_kg": 110,
                }
            ]
        }
    },
}
PLACES = st.sampled_from([0, 0, 3, 9, 20])
FRACTIONS = {"all": "part", "part": "none", "none": "none"}


@cache
def person(kind: str) -> Any:
    return steady(**CHANGES[kind])


@cache
def program(kind: str, places: int, cap_g: float | None) -> InForce:
    behind = Resume(done_weeks=dict.fromkeys(Modality, places), plate_cap_g=cap_g)
    return in_force(person(kind), behind)


@st.composite
def logs(draw: st.DrawFn, held: InForce, weeks: int) -> list[Session]:
    """Draw a log: of each modality and week none, some or all of the planned sessions."""
    entries = []
    for m in held.planned.modalities:
        for week in range(1, weeks + 1):
            days = held.planned.days(week, m)[: held.planned.sessions(week, m)]
            few = draw(st.sampled_from([0, 1, len(days), len(days), len(days)]))
            done = draw(st.sampled_from(["all", "all", "part", "none"]))
            entries += [_entry(on, m, done) for on in days[:few]]
    return _with_trouble(draw, entries)


def _entry(on: dt.date, modality: Modality, done: str) -> Session:
    plate = {"plate": "at home", "watched": True} if modality is M.PLATE else {}
    return Session(on=on, modality=modality, done=done, pain=1, fell=False, **plate)


def _with_trouble(draw: st.DrawFn, entries: list[Session]) -> list[Session]:
    for at in draw(st.lists(st.integers(0, 400), max_size=2)):
        if entries:
            place = at % len(entries)
            pain, settled = draw(st.sampled_from([(4, True), (5, False), (7, True), (9, None)]))
            entries[place] = replace(entries[place], pain=pain, pain_settled=settled)
    return entries


@st.composite
def reviews(draw: st.DrawFn) -> Review:
    """Draw a program, its log, and who she is on the day of the review."""
    cap = draw(st.sampled_from([1.0, 1.0, 1.5, None]))
    held = program(draw(st.sampled_from(list(CHANGES))), draw(PLACES), cap)
    weeks = draw(st.integers(0, 9))
    log = draw(logs(held, weeks)) if weeks else []
    today = person(draw(st.sampled_from([*CHANGES, "steady", "steady"])))
    day = after(weeks + draw(st.sampled_from([0, 0, 0, 1, 2, 4, 9])))
    wants = draw(st.sampled_from([(), (), (1.5,), (None,)]))
    return reviewed(held, log, day, today, wanted_caps=wants)


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(reviews())
def test_nothing_restarts_above_what_was_last_done(review: Review) -> None:
    """Row 26, but for the single next place of an advance and place 1; what stops is not there."""
    made = review.next_draft()
    stops = {m for m, one in review.proposed.items() if one is Next.STOP}
    if made is None:
        assert stops == set(Modality)
        return
    assert not [m for week in made.weeks for m in stops if part_of(week, m) is not None]
    for m, place in review.taken.places.items():
        new, done = part_of(made.weeks[0], m), review.ledger.last_dose(m)
        if new is not None:
            assert done is not None or place == 1, m
            assert not above_done(review, m, place, new, done), (m, place)


def worse(one: Session, how: str) -> Session:
    """Return an entry that tells of more trouble, or of less done."""
    match how:
        case "more pain":
            return replace(one, pain=min(10, (one.pain or 0) + 3))
        case "not settled":
            return replace(one, pain_settled=False)
        case "pain unknown":
            harmless = one.pain is not None and one.pain <= 3
            return replace(one, pain=None) if harmless else one
        case "fell":
            return replace(one, fell=True)
        case "broke a bone":
            return replace(one, broke="the wrist")
        case "red flag":
            return replace(one, red_flag="new back pain")
        case _:
            return replace(one, done=FRACTIONS[one.done])


HOWS = ("more pain", "not settled", "pain unknown", "fell", "broke a bone", "red flag", "less")


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(st.data())
def test_a_worse_log_never_gives_more(data: st.DataObject) -> None:
    held = program(data.draw(st.sampled_from(["steady", "a faller", "of group B"])), 0, 1.0)
    weeks = data.draw(st.integers(1, 6))
    log = data.draw(logs(held, weeks))
    if not log:
        return
    at, how = data.draw(st.integers(0, len(log) - 1)), data.draw(st.sampled_from(HOWS))
    worsened = [worse(one, how) if n == at else one for n, one in enumerate(log)]
    day = after(weeks + data.draw(st.sampled_from([0, 1, 3])))
    before, now = reviewed(held, log, day), reviewed(held, worsened, day)
    for m in Modality:
        assert not bolder(now.proposed[m], before.proposed[m]), (m, how)
        was, new = before.taken.places.get(m), now.taken.places.get(m)
        assert new is None or (was is not None and new <= was), (m, how)


@settings(max_examples=100, deadline=None)
@given(reviews())
def test_only_a_log_without_trouble_may_lift(review: Review) -> None:
    entries = [one for one in review.ledger.entries if one.on >= START]
    trouble = any((one.pain or 0) > 3 for one in entries) or bool(review.events)
    assert not (trouble and not review.against_lifting)
    assert not (trouble and review.cap.granted)


@pytest.mark.parametrize("kind", CHANGES)
def test_each_of_these_people_is_drafted_for(kind: str) -> None:
    assert in_force(person(kind)).planned.weeks
