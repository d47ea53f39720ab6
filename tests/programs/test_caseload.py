"""The Caseload: who does not wait, what to sign, what to review."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from programs.models import Plan, SignedPlan
from programs.views.caseload import speak_to, to_review, to_sign
from tests.programs import rows
from tests.programs.test_plan_pages import document, drafted, text

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 6, 1)


def signed_since(by: User, weeks: int, **more: Any) -> SignedPlan:
    """Return a signed program that started so many weeks before TODAY."""
    plan = rows.plan(
        rows.patient(by),
        by,
        state=Plan.SIGNED,
        starts_on=TODAY - dt.timedelta(weeks=weeks),
        **more,
    )
    return rows.signed(plan, by)


def test_open_drafts_are_to_sign_and_signed_ones_are_gone(clinician: User) -> None:
    """D13: what is signed must not stay in the list."""
    first = rows.plan(rows.patient(clinician), clinician)
    second = rows.plan(rows.patient(clinician), clinician)
    rows.plan(rows.patient(clinician), clinician, state=Plan.DROPPED)
    assert to_sign() == [first, second]
    first.state = Plan.SIGNED
    first.save()
    assert to_sign() == [second]


def test_reviews_that_are_due_the_longest_first(clinician: User) -> None:
    signed_since(clinician, 3)
    four, twelve = signed_since(clinician, 5), signed_since(clinician, 14)
    held = signed_since(clinician, 6)
    rows.review(held, clinician, held_on=TODAY - dt.timedelta(weeks=2))
    found = [(one.patient, one.due.week) for one in to_review(TODAY)]
    assert found == [(twelve.patient, 12), (four.patient, 4)]


def test_a_new_version_starts_the_count_again(clinician: User) -> None:
    old = signed_since(clinician, 13)
    newer = rows.plan(
        old.patient,
        clinician,
        state=Plan.SIGNED,
        version=2,
        starts_on=TODAY - dt.timedelta(weeks=1),
    )
    rows.signed(newer, clinician)
    assert to_review(TODAY) == []


@pytest.mark.parametrize(
    ("entry", "alarms"),
    [
        ({}, False),
        ({"fell": True}, True),
        ({"fell": False}, False),
        ({"red_flag": "New back pain"}, True),
        ({"pain": 3}, False),
        ({"pain": 4, "pain_settled": True}, False),
        ({"pain": 4, "pain_settled": False}, True),
        ({"pain": 4}, True),
        ({"pain": 5, "pain_settled": True}, False),
        ({"pain": 6, "pain_settled": True}, True),
        ({"pain": 9, "withdrawn_at": rows.AT}, False),
    ],
)
def test_what_does_not_wait(clinician: User, entry: dict[str, Any], alarms: bool) -> None:
    session = rows.session(signed_since(clinician, 1), clinician, **entry)
    assert [one.patient for one in speak_to()] == ([session.patient] if alarms else [])


def test_a_review_settles_what_was_told_before_it(clinician: User) -> None:
    signed = signed_since(clinician, 5)
    rows.session(signed, clinician, fell=True)
    rows.review(signed, clinician, at=rows.AT + dt.timedelta(hours=1))
    assert speak_to() == []
    later = rows.session(
        signed, clinician, pain=7, entered_at=rows.AT + dt.timedelta(hours=2), modality="impact"
    )
    assert [one.entries for one in speak_to()] == [[later]]


def test_the_page_in_few_queries(
    signed_in: Client, clinician: User, django_assert_max_num_queries: Any
) -> None:
    for number in range(6):
        signed = signed_since(clinician, 500)
        rows.session(signed, clinician, fell=number % 2 == 0, pain=7)
        rows.plan(rows.patient(clinician), clinician, proposed={"issuable": number % 2 == 0})
    for _ in range(5):
        rows.session(signed, clinician, fell=True)
    with django_assert_max_num_queries(12):
        page = text(signed_in.get("/"))
    assert page.index("Speak to: 6") < page.index("To sign: 6") < page.index("Review due: 6")
    assert "Stopped by a finding" in page
    assert "after week 52" in page
    assert "and 2 more" in page
    assert "Everyone: 12" in page


def test_an_empty_caseload_says_so(signed_in: Client) -> None:
    page = text(signed_in.get("/"))
    for words in ("Nobody:", "No draft is open", "No review is due"):
        assert words in page


def test_a_real_draft_is_listed(signed_in: Client, clinician: User) -> None:
    person = rows.recorded(clinician, document())
    drafted(person, clinician)
    assert person.family_name in text(signed_in.get("/"))
    assert timezone.localdate().strftime("%Y") in text(signed_in.get("/"))
