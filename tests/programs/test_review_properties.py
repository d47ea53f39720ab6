"""A worse log never proposes more, and never lifts anything."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from programs.adherence import Session
from programs.review import bolder, review
from tests.programs.logs import RANK, START, looked, planned, session

entries = st.builds(
    session,
    on=st.integers(0, 41).map(lambda n: START + dt.timedelta(days=n)),
    done=st.sampled_from(["all", "part", "none"]),
    pain=st.one_of(st.none(), st.integers(0, 10)),
    pain_settled=st.sampled_from([True, False, None]),
    fell=st.sampled_from([False, None, False, False, True]),
    red_flag=st.sampled_from(["", "", "", "chest pain"]),
)
LOG = st.lists(entries, min_size=1, max_size=25, unique_by=lambda one: one.on)
LESS = {"all": "part", "part": "none", "none": "none"}


def worse(one: Session, how: str) -> Session:
    match how:
        case "more pain":
            return one if one.pain is None else replace(one, pain=min(10, one.pain + 1))
        case "not settled":
            return replace(one, pain_settled=False)
        case "settled unknown":
            return one if one.pain_settled is False else replace(one, pain_settled=None)
        case "pain unknown":
            harmless = one.pain is not None and one.pain <= 3 and one.trained
            return replace(one, pain=None) if harmless else one
        case "fell":
            return replace(one, fell=True)
        case "red flag":
            return replace(one, red_flag="new back pain")
        case _:
            # A session not done tells nothing of its pain, so one of unknown pain stays.
            return one if one.pain is None else replace(one, done=LESS[one.done])


HOWS = ("more pain", "not settled", "settled unknown", "pain unknown", "fell", "red flag", "less")


@pytest.mark.slow
@settings(max_examples=400)
@given(LOG, st.data())
def test_a_worse_log_never_proposes_more(log: list[Session], data: st.DataObject) -> None:
    on = data.draw(st.integers(0, 60).map(lambda n: START + dt.timedelta(days=n)))
    at = data.draw(st.integers(0, len(log) - 1))
    how = data.draw(st.sampled_from(HOWS))
    worsened = [worse(one, how) if n == at else one for n, one in enumerate(log)]
    assert not bolder(looked(worsened, on).next, looked(log, on).next)


@pytest.mark.slow
@settings(max_examples=200)
@given(LOG, st.data())
def test_a_session_less_never_proposes_more(log: list[Session], data: st.DataObject) -> None:
    """Of sessions without trouble: one that is not logged hides no pain here."""
    fine = [replace(one, pain=1, fell=False, red_flag="") for one in log]
    on = data.draw(st.integers(0, 60).map(lambda n: START + dt.timedelta(days=n)))
    at = data.draw(st.integers(0, len(fine) - 1))
    assert not bolder(looked(fine[:at] + fine[at + 1 :], on).next, looked(fine, on).next)


@settings(max_examples=100)
@given(LOG, st.integers(0, 60))
def test_only_a_log_without_trouble_may_lift(log: list[Session], days: int) -> None:
    on = START + dt.timedelta(days=days)
    found = review(planned(), on, log, rank=RANK)
    seen = [one for one in log if one.on <= on]
    trouble = any(one.fell or one.red_flag or (one.pain or 0) > 3 for one in seen)
    assert not (trouble and not found.against_lifting)
