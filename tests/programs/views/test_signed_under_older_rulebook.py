"""A program of an older rulebook on the pages: caseload, banner, handout, calendar; the note."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Audit
from programs.actions.release_note import READ_NOTE
from programs.models.program import Handout, Plan, SignedPlan
from programs.models.rulebook_check import RulebookCheck
from programs.release_note import CHANGES
from safety.rules.all_rules import RULEBOOK
from tests.programs import older, rows
from tests.programs.views.test_plan import text

pytestmark = [pytest.mark.long, pytest.mark.django_db, pytest.mark.database]
BANNER = f"was signed under rulebook {older.RULEBOOK} and asks more than {RULEBOOK} allows"


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    """One that began four weeks ago."""
    return older.signed(clinician, timezone.localdate() - dt.timedelta(weeks=4))


def page(client: Client, name: str, *args: int) -> str:
    return text(client.get(reverse(name, args=args)))


def test_the_caseload_lists_it_with_the_words_that_differ(
    signed_in: Client, signed: SignedPlan
) -> None:
    said = page(signed_in, "programs:caseload")
    assert "Signed under an older rulebook, look again: 1" in said
    assert "Resistance, weeks" in said
    assert RulebookCheck.objects.get().signed == signed
    html = signed_in.get("/").content.decode()
    assert reverse("programs:review", args=[signed.patient_id]) in html


def test_of_many_words_the_first_are_told(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    rows.answer(signed.patient, clinician, person={"mobility": "wheelchair"})
    assert "more" in page(signed_in, "programs:caseload").rsplit("look again: 1", 1)[1]


def test_the_caseload_asks_no_more_for_more_people(
    signed_in: Client, clinician: User, django_assert_max_num_queries: Any
) -> None:
    for _ in range(4):
        older.signed(clinician, timezone.localdate())
    signed_in.get("/")
    with django_assert_max_num_queries(20):
        assert "look again: 4" in page(signed_in, "programs:caseload")


@pytest.mark.parametrize(
    "name",
    [
        *("patients:facts", "patients:newly_asked", "patients:measures", "safety:screen"),
        *("programs:plan", "programs:handout", "programs:log", "programs:review"),
    ],
)
def test_every_page_of_hers_says_so(signed_in: Client, signed: SignedPlan, name: str) -> None:
    assert BANNER in page(signed_in, name, signed.patient_id)


def test_no_page_of_anybody_else_does(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    assert BANNER not in page(signed_in, "patients:facts", rows.recorded(clinician).pk)
    newer = rows.plan(signed.patient, clinician, state=Plan.SIGNED, version=2)
    rows.signed(newer, clinician)
    assert BANNER not in page(signed_in, "patients:facts", signed.patient_id)


def test_nothing_of_it_is_printed_and_the_page_says_why(
    signed_in: Client, signed: SignedPlan
) -> None:
    kept = rows.handout(signed)
    address = reverse("programs:handout", args=[signed.patient_id])
    said = page(signed_in, "programs:handout", signed.patient_id)
    assert "Nothing of it is printed again until a review" in said
    assert "Open the paper" not in said
    assert "Kept papers" in said
    sent = {"patient": signed.patient_id, "kind": "summary", "paper": "A4", "type_pt": "16"}
    sent |= {"language": "en", "week": "1"}
    answer = signed_in.post(address, sent, follow=True)
    assert "Nothing of it is printed again" in text(answer)
    assert list(Handout.objects.all()) == [kept]


def test_no_calendar_of_it_but_the_file_that_takes_it_back(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    where = reverse("programs:session_calendar", args=[signed.patient_id, signed.pk])
    answer = signed_in.get(where, follow=True)
    assert "Nothing of it is printed again" in text(answer)
    older.signed(clinician, patient=signed.patient, version=2)
    taken_back = signed_in.get(where)
    assert "removed" in taken_back["Content-Disposition"]
    assert "removes version 1" in page(signed_in, "programs:handout", signed.patient_id)


# --- The note -------------------------------------------------------------------------------


def test_the_note_tells_each_change_and_for_whom(signed_in: Client) -> None:
    said = page(signed_in, "programs:release_note")
    for change in CHANGES:
        assert change.what in said
        assert change.whom in said


def test_the_caseload_leads_to_the_note_until_it_was_read(
    signed_in: Client, clinician: User
) -> None:
    link = "changed, and for whom"
    assert link in page(signed_in, "programs:caseload")
    where = reverse("programs:release_note")
    answer = signed_in.post(where, follow=True)
    assert "Noted" in text(answer)
    assert link not in page(signed_in, "programs:caseload")
    assert "You have noted" in page(signed_in, "programs:release_note")
    signed_in.post(where)
    assert Audit.objects.get(action=READ_NOTE).actor == clinician
