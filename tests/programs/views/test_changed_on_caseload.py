"""The Caseload's list of those whose screen changed: one line each, until somebody looked."""

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from patients.models.patient import Patient
from programs.actions.rescreening import rescreen_all
from programs.actions.rescreens_to_look_at import not_looked_at
from programs.models.program import SignedPlan
from programs.models.rescreen import Rescreen, RescreenToLookAt
from programs.views.caseload_lists import LISTS
from safety.models import Screening
from safety.rules.all_rules import RULEBOOK
from tests.patients.pages import text_of
from tests.programs import reviews, rows
from tests.programs.reviews import after

pytestmark = [pytest.mark.long, pytest.mark.database]
LATER = after(1)
CLOT = {"otherwise": "no", "acute_thrombosis": "yes"}


def told(by: User) -> SignedPlan:
    """Return a signed program of somebody who has a clot since, and was rescreened."""
    signed = reviews.signed(by)
    reviews.answer(signed.patient, "conditions", {"conditions": CLOT}, by, LATER)
    list(rescreen_all(at=LATER, at_once=50))
    return signed


def names(number: int = 1) -> list[Patient]:
    return [line.patient for line in LISTS["changed"].page(LATER.date(), number)[0]]


def test_it_says_what_changed_and_leads_to_the_review(signed_in: Client, clinician: User) -> None:
    of = told(clinician).patient
    html = text_of(signed_in.get("/"))
    assert "Changed at the last rescreen" in html
    assert "Now left out, vibration plate: " in html
    assert f'/patients/{of.pk}/review/"' in html


def test_without_a_paper_it_leads_to_the_screen(signed_in: Client, clinician: User) -> None:
    of = rows.patient(clinician, given_name="Niamh", family_name="O'Dowd-Testwick")
    change = {"rule": "r.plate", "about": "plate", "text": "A clot", "before": 0, "after": 4}
    rows.rescreen(of, changes=[change], rank=2, decided=["Cleared by A & B."])
    html = signed_in.get("/").content.decode()
    assert f'/patients/{of.pk}/screen/"' in html
    assert "O&#x27;Dowd-Testwick" in html
    assert "Cleared by A &amp; B." in html


@pytest.mark.counted
def test_what_contradicts_itself_is_told_with_why(signed_in: Client, clinician: User) -> None:
    rows.rescreen(rows.patient(clinician), contradiction="fractures[1].date: too early", rank=1)
    html = text_of(signed_in.get("/"))
    assert "so nothing could be screened: fractures[1].date: too early." in html


def test_nobody_changed_is_no_list(signed_in: Client, clinician: User) -> None:
    rows.rescreen(rows.patient(clinician))
    assert 'id="changed"' not in text_of(signed_in.get("/"))
    assert LISTS["changed"].nobody in text_of(signed_in.get("/"))


@pytest.mark.parametrize("look", ["review", "screen", "sign", "earlier"])
def test_whoever_was_looked_at_leaves_the_list(clinician: User, look: str) -> None:
    signed = told(clinician)
    assert names() == [signed.patient]
    at, of = LATER + dt.timedelta(minutes=1), signed.patient
    if look == "review":
        rows.review(signed, clinician, at=at)
    elif look == "screen":
        Screening.objects.create(
            patient=of,
            as_of=at.date(),
            rulebook=RULEBOOK,
            facts_digest="",
            findings_digest="",
            made_by=clinician,
            made_at=at,
        )
    elif look == "sign":
        rows.signed(rows.plan(of, clinician, version=2), clinician, signed_at=at)
    else:
        rows.review(signed, clinician, at=LATER - dt.timedelta(minutes=1))
    assert names() == ([of] if look == "earlier" else [])


def test_the_newest_result_of_a_person_stands_alone(clinician: User) -> None:
    of = rows.patient(clinician)
    rows.rescreen(of, rank=2)
    rows.rescreen(of, rank=1)
    assert names() == [of]
    rows.rescreen(of)
    assert names() == []


def test_what_stops_comes_first_and_a_page_holds_fifty(signed_in: Client, clinician: User) -> None:
    batch = rows.rescreen_batch()
    people = [rows.patient(clinician) for _ in range(53)]
    for number, of in enumerate(people):
        rows.rescreen(of, rank=1 if number == 7 else 3, batch=batch)
    assert names()[0] == people[7]
    assert [len(names(page)) for page in (1, 2, 3)] == [50, 3, 0]
    assert len({*names(1), *names(2)}) == 53
    own = reverse("programs:caseload_list", args=["changed"])
    first, second = (text_of(signed_in.get(own, {"page": n})) for n in (1, 2))
    assert first.count("level-contraindicated") == 1
    assert first.count("level-needs_clearance") == 49
    assert second.count("level-needs_clearance") == 3


def test_a_page_takes_one_query_however_many_there_are(clinician: User) -> None:
    for _ in range(3):
        rows.rescreen(rows.patient(clinician), rank=3)
    with CaptureQueriesContext(connection) as asked:
        assert len(names()) == 3
    assert len(asked) == 1


@pytest.mark.counted
@pytest.mark.skipif(connection.vendor != "sqlite", reason="the plan is SQLite's own")
def test_a_page_goes_by_its_index(db: None) -> None:
    plan = not_looked_at()[:51].explain()
    assert "programs_rescreentolookat USING INDEX rescreen_look" in plan
    assert "TEMP B-TREE" not in plan


def test_the_next_run_takes_away_what_was_looked_at(clinician: User) -> None:
    looked, waits = told(clinician), rows.rescreen(rows.patient(clinician), rank=3)
    rows.review(looked, clinician, at=after(2))
    assert RescreenToLookAt.objects.count() == 2
    list(rescreen_all(at=after(3), at_once=50))
    assert [row.result for row in RescreenToLookAt.objects.all()] == [waits]
    assert Rescreen.objects.filter(patient=looked.patient).exists()
