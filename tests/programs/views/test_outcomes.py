"""Does it work here, as a page and as a file: from ten people on, without names."""

import csv
import io

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.models.patient import Patient
from tests.patients.pages import text_of
from tests.programs.outcomes.simulated import Clinic

pytestmark = [pytest.mark.django_db, pytest.mark.long]
PAGE, FILE = "/clinic/figures/", "/clinic/figures.csv"


def test_of_nine_people_nothing_is_shown(signed_in: Client, clinician: User) -> None:
    Clinic(clinician, timezone.localdate(), people=9)
    html = text_of(signed_in.get(PAGE))
    assert "It needs 10 people" in html
    assert "<table" not in html
    answer = signed_in.get(FILE)
    assert (answer.status_code, answer["Location"]) == (302, PAGE)


def test_of_ten_people_the_page_shows_what_the_file_holds(
    signed_in: Client, clinician: User
) -> None:
    Clinic(clinician, timezone.localdate(), people=10)
    html, answer = text_of(signed_in.get(PAGE)), signed_in.get(FILE)
    assert "Counted are the 10 people" in html
    assert "attachment" in answer["Content-Disposition"]
    held = list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))
    # In pairs, each way that the simulated people go is too few to be told.
    todays = {row["people"] for row in held if row["topic"] == "where they are today"}
    assert todays <= {"fewer than 5", "5 or more", "0", "not shown"}
    for row in held:
        assert row["measure"][1:] in html
        assert row["people"] in html
        assert (row["count"] or "0") in html
    assert html.count("<svg") == html.count("<figure")
    assert html.count("<svg") >= 2


def test_it_says_what_it_cannot_tell_and_names_nobody(signed_in: Client, clinician: User) -> None:
    Clinic(clinician, timezone.localdate(), people=10)
    html = text_of(signed_in.get(PAGE))
    for words in ("no control group", "regression to the mean", "people who stayed"):
        assert words in html
    for file in (html, signed_in.get(FILE).content.decode("utf-8-sig")):
        for of in Patient.objects.all():
            assert of.family_name not in file
            assert of.record_number not in file
            assert of.born.isoformat() not in file


def test_the_clinic_page_leads_there(signed_in: Client) -> None:
    assert f'href="{PAGE}"' in signed_in.get("/clinic/").content.decode()


def test_only_who_is_signed_in_sees_it(client: Client, db: None) -> None:
    for path in (PAGE, FILE):
        assert client.get(path).status_code == 302
        assert "/sign-in/" in client.get(path)["Location"]
