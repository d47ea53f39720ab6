"""The page of ways to fit the week: what it shows, and that it is told of no plan or an old one."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from patients.models.patient import Audit, Patient
from programs.models.program import Plan
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, text, today, url

SHORT = {"resources": {"days": ["tue", "fri"], "minutes_per_day": 20}}


@pytest.fixture
def patient(clinician: User) -> Patient:
    """A person with two short days, on record today."""
    return rows.recorded(clinician, document(**SHORT))


def page_of(client: Client, patient: Patient, **asked: str) -> str:
    answer = client.get(url("fits", patient), asked)
    assert answer.status_code == 200
    return text(answer)


def test_the_ways_stand_side_by_side_in_few_queries(
    signed_in: Client, patient: Patient, clinician: User, django_assert_max_num_queries: Any
) -> None:
    drafted(patient, clinician)
    before = (Audit.objects.count(), Plan.objects.count())
    # A dozen and the falls of the log; session, person, rights and look are five; three once a
    # minute.
    with django_assert_max_num_queries(13 + 8):
        page = page_of(signed_in, patient)
    for words in (
        "Side by side, week 26",
        "As it is now",
        "Two short sessions a day",
        "Same minutes a week, one day fewer",
        "Lifting sessions a week",
        "impact (30) 4 min",
        "no: too soon",
        "A planning number only.",
        "From memory, to be confirmed.",
        'what-if/?more_day=on#beside"',
    ):
        assert words in page
    assert "out of date" not in page
    assert (Audit.objects.count(), Plan.objects.count()) == before
    for name in ("plan", "what_if"):
        linking = text(signed_in.get(url(name, patient)))
        assert url("fits", patient) in linking
        assert "is dropped first.." not in linking


@pytest.mark.parametrize(("asked", "shown"), [("1", 1), ("12", 12), ("7", 26), ("soon", 26)])
def test_another_week_can_be_looked_at(
    signed_in: Client, patient: Patient, asked: str, shown: int
) -> None:
    page = page_of(signed_in, patient, week=asked)
    assert f"Side by side, week {shown}" in page
    assert ("There is nothing to share out in this week" in page) is (shown == 1)


def test_without_a_plan_it_shows_what_would_be_drafted(signed_in: Client, patient: Patient) -> None:
    page = page_of(signed_in, patient)
    assert "There is no open draft" in page
    assert "One more day" in page


def test_an_old_draft_is_named_and_today_s_facts_are_taken(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    drafted(patient, clinician)
    Patient.objects.filter(pk=patient.pk).update(born=patient.born - dt.timedelta(days=1))
    assert "The open draft is out of date." in page_of(signed_in, patient)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"symptoms": {"chest_pain": "yes"}}, "More time would not help."),
        ({"resources": {"days": []}}, "No day is given for training."),
        (
            {"resources": {"days": None, "minutes_per_day": None}},
            "the days and the minutes a day. Monday, Wednesday and Friday",
        ),
    ],
)
def test_what_stands_in_the_way_is_said(
    signed_in: Client, clinician: User, changes: dict[str, Any], said: str
) -> None:
    assert said in page_of(signed_in, rows.recorded(clinician, document(**changes)))


def test_facts_that_contradict_each_other_are_shown_instead(
    signed_in: Client, patient: Patient
) -> None:
    Patient.objects.filter(pk=patient.pk).update(born=today() - dt.timedelta(days=30))
    assert signed_in.get(url("fits", patient)).status_code == 409
