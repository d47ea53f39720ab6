"""Files of the log by their pages: out, in, asked, refused, taken, thrown away."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterator
from typing import Any
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.scanners import ParkedFile
from patients.staff.rights import Role
from programs.models.program import SessionLog, SignedPlan
from tests.patients.pages import filled, text_of
from tests.programs import reviews
from tests.programs.reviews import after, log_weeks
from tests.staff import person_of

pytestmark = [pytest.mark.django_db, pytest.mark.long]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture(autouse=True)
def second_week() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=after(1) + dt.timedelta(days=2)):
        yield


def url(name: str, signed: SignedPlan, *args: Any) -> str:
    return reverse(f"programs:{name}", args=[signed.patient_id, *args])


def sent(client: Client, signed: SignedPlan, content: bytes, name: str = "l.csv") -> HttpResponse:
    page = url("log_files", signed)
    form = filled(client, page, file=SimpleUploadedFile(name, content))
    return client.post(page, form)


def test_the_table_goes_out_and_comes_in_again(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    log_weeks(signed, clinician, 1)
    table = signed_in.get(url("log_table", signed)).content.decode("utf-8-sig")
    head, *lines = table.splitlines()
    assert head.startswith("patient id,date,plate done,plate effort,")
    assert len(lines) == 10
    new = lines[7].replace(",2026-03-09,,", ",2026-03-09,A,6")
    response = sent(signed_in, signed, "\n".join([head, *lines[:7], new]).encode())
    page = text_of(signed_in.get(response.url))
    assert "Take 1 entry" in page
    assert "Plate on 9 Mar 2026" in page
    assert "Falls were not recorded for week 2" in page
    before = SessionLog.objects.count()
    taken = signed_in.post(response.url, filled(signed_in, response.url, take="yes"), follow=True)
    assert "Taken: 1 entry." in text_of(taken)
    assert SessionLog.objects.count() == before + 1
    assert signed_in.get(response.url).url == url("log_files", signed)


def test_a_file_may_tell_of_a_lift_that_this_program_no_longer_has(
    signed_in: Client, signed: SignedPlan
) -> None:
    """She carried it away under the version before."""
    told = {"resistance.done": "A", "resistance.kg:dumbbell_hip_hinge": "12,5"}
    held = {"format": "calcar-log/1", "file": "f", "patient": signed.patient_id}
    content = json.dumps(held | {"days": {"2026-03-02": told}}).encode()
    page = text_of(signed_in.get(sent(signed_in, signed, content, "log.json").url))
    assert "dumbbell hip hinge 12.5 kg" in page
    assert "Take 1 entry" in page


def test_what_a_file_asks_is_asked(signed_in: Client, signed: SignedPlan) -> None:
    page = sent(signed_in, signed, b"date,pain\n02/03/2026,1\n").url
    assert "In which order are the dates written?" in text_of(signed_in.get(page))
    assert "Take 1 entry" in text_of(signed_in.get(f"{page}?order=day_first"))
    page = sent(signed_in, signed, "date,note\n2026-03-02,Müller\n".encode("cp1252")).url
    assert "How is the file written?" in text_of(signed_in.get(page))
    assert "note: Müller" in text_of(signed_in.get(f"{page}?encoding=cp1252"))


def test_what_cannot_be_taken_is_told_and_can_be_thrown_away(
    signed_in: Client, signed: SignedPlan
) -> None:
    page = sent(signed_in, signed, b"date,pain\n2026-03-02,11\n2026-03-12,1\n").url
    shown = text_of(signed_in.get(page))
    assert "There is nothing to take." in shown
    assert "Write 0 to 9, or X for 10" in shown
    assert "lies after today" in shown
    form = filled(signed_in, page)
    assert signed_in.post(page, form | {"patient": "0"}).status_code == 409
    refused = signed_in.post(page, form | {"take": "yes"})
    assert refused.status_code == 409
    assert signed_in.post(page, form | {"drop": "yes"}).url == url("log_files", signed)
    assert not ParkedFile.objects.exists()
    assert not SessionLog.objects.exists()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"mood,day\n1,2\n", "No column date"),
        (b'{"format": "x"}', "not a log that was carried away"),
    ],
)
def test_a_file_that_is_no_log(
    signed_in: Client, signed: SignedPlan, content: bytes, said: str
) -> None:
    page = sent(signed_in, signed, content).url
    response = signed_in.get(page)
    assert response.status_code == 422
    assert said in text_of(response)


def test_no_file_and_one_too_large(signed_in: Client, signed: SignedPlan) -> None:
    page = url("log_files", signed)
    response = signed_in.post(page, filled(signed_in, page))
    assert response.status_code == 422
    assert "Choose a file that is not empty." in text_of(response)
    with mock.patch("patients.files.reading.LARGEST_BYTES", 10):
        assert "larger than" in text_of(sent(signed_in, signed, b"date,pain\n2026-03-02,1\n"))


def test_somebody_elses_file_is_not_here(signed_in: Client, signed: SignedPlan) -> None:
    page = sent(signed_in, signed, b"date,pain\n2026-03-02,1\n").url
    other = person_of(Role.CLINICIAN, username="other")
    client = Client()
    client.force_login(other)
    assert client.get(page).url == url("log_files", signed)


@pytest.mark.parametrize(("language", "title"), [("en", "Your log"), ("es", "Su registro")])
def test_the_log_to_carry_away(
    signed_in: Client, signed: SignedPlan, language: str, title: str
) -> None:
    response = signed_in.get(url("log_carry", signed) + f"?language={language}")
    page = response.content.decode()
    assert response["Content-Disposition"] == f'attachment; filename="log-{language}.html"'
    assert f"<title>{title}</title>" in page
    told = re.search(r'<script type="application/json" id="told">(.*?)</script>', page)
    assert told is not None
    held = json.loads(told[1])
    assert (held["language"], held["patient"]) == (language, signed.patient_id)
    assert len(held["days"]) == 26 * 7
    assert held["days"][0]["on"] == "2026-03-02"
    assert signed.patient.family_name not in page
    assert not re.search(r"https?://|src=|<link", page)


def test_each_log_to_carry_away_has_its_own_number(signed_in: Client, signed: SignedPlan) -> None:
    pages = [signed_in.get(url("log_carry", signed) + "?language=xx") for _ in range(2)]
    assert len({re.search(r'"file": "(.*?)"', p.content.decode())[1] for p in pages}) == 2  # type: ignore[index]
    assert all(b'lang="en"' in p.content for p in pages)
