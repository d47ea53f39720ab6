"""The row of steps: what is still open, in words, on every page of a patient."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from programs.models.program import Plan, SignedPlan
from programs.views.open_steps import newest_plans, open_on_plans
from tests.programs import rows

pytestmark = pytest.mark.django_db
TODAY = dt.date(2026, 6, 1)


def signed_since(by: User, weeks: int) -> SignedPlan:
    """Return a signed program that started so many weeks before TODAY."""
    starts_on = TODAY - dt.timedelta(weeks=weeks)
    plan = rows.plan(rows.patient(by), by, state=Plan.SIGNED, starts_on=starts_on)
    return rows.signed(plan, by)


def said(signed: SignedPlan) -> dict[str, str]:
    found = open_on_plans(newest_plans(signed.patient), TODAY)
    return {step: words for step, words in found.items() if words}


def test_nothing_is_drafted_yet(clinician: User) -> None:
    patient = rows.patient(clinician)
    assert open_on_plans(newest_plans(patient), TODAY) == {"plan": "not drafted"}


@pytest.mark.parametrize(
    ("issuable", "expected"),
    [
        (True, {"plan": "version 1, a draft", "sign": "to sign"}),
        (False, {"plan": "stopped"}),
    ],
)
def test_a_draft_is_to_sign_unless_it_is_stopped(
    clinician: User, issuable: bool, expected: dict[str, str]
) -> None:
    plan = rows.plan(rows.patient(clinician), clinician, proposed={"issuable": issuable})
    assert open_on_plans(newest_plans(plan.patient), TODAY) == expected


def test_what_is_signed_is_printed_next(clinician: User) -> None:
    signed = signed_since(clinician, 0)
    assert said(signed) == {"handout": "to print"}
    rows.handout(signed)
    assert said(signed) == {}


@pytest.mark.parametrize(
    ("weeks", "logged_days_ago", "expected"),
    [
        (1, None, "nothing for week 1"),
        (3, 7, ""),
        (3, 8, "nothing for week 3"),
        (0, None, ""),
    ],
)
def test_the_last_full_week_without_an_entry(
    clinician: User, weeks: int, logged_days_ago: int | None, expected: str
) -> None:
    signed = signed_since(clinician, weeks)
    if logged_days_ago is not None:
        rows.session(signed, clinician, on=TODAY - dt.timedelta(days=logged_days_ago))
    assert said(signed).get("log", "") == expected


def test_a_fall_is_spoken_about_until_a_review(clinician: User) -> None:
    signed = signed_since(clinician, 1)
    rows.session(signed, clinician, on=TODAY, fell=True)
    assert said(signed)["log"] == "speak to"
    rows.review(signed, clinician, at=timezone.now() + dt.timedelta(minutes=1))
    assert "log" not in said(signed)


@pytest.mark.parametrize(("weeks", "expected"), [(3, ""), (4, "due")])
def test_a_review_is_due(clinician: User, weeks: int, expected: str) -> None:
    assert said(signed_since(clinician, weeks)).get("review", "") == expected


def test_one_query_for_all_of_it(clinician: User, django_assert_num_queries: Any) -> None:
    signed = signed_since(clinician, 9)
    with django_assert_num_queries(1):
        said(signed)


def test_every_page_of_a_patient_says_the_same(signed_in: Client, clinician: User) -> None:
    patient = rows.patient(clinician)
    for page in ("facts", "screen", "risk", "measures", "plan", "handout"):
        html = signed_in.get(f"/patients/{patient.pk}/{page}/").content.decode()
        assert "not recorded</span>" in html, page
        assert '<span class="open">red flags not asked</span>' in html, page
        assert '<span class="open">not drafted</span>' in html, page
