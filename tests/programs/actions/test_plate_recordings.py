"""A recording sent, looked at and kept: its action, and its pages as a clinician uses them."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from patients.actions import scanners
from patients.actions.refusals import Refused
from patients.models.patient import Audit
from patients.models.scanners import ParkedFile
from programs.actions import plates
from programs.actions.plate_recordings import take_recording
from programs.models.plates import ClinicPlate, PlateMeasurement
from programs.plates.recording.reading import Choices
from programs.plates.recording.worked import Asked
from tests.patients.pages import text_of
from tests.programs.plates.recordings import True_, csv_of
from tests.programs.sample_plates import VERTICAL

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
DAY = dt.date(2026, 3, 2)
TRUE = True_(hz=30.4, mm=1.1, seconds=6, rate_hz=200.0)
ASKED = Asked(
    on=DAY, load_kg=68, set_hz=30, set_mm=1.0, instrument="phone", how="Ada’s", mounting="taped"
)
SAID = {
    "on": "2026-03-02",
    "load_kg": "68",
    "set_hz": "30",
    "set_mm": "1",
    "instrument": "phone",
    "how": "Ada’s",
    "mounting": "taped",
}


@pytest.fixture
def row(clinician: User) -> ClinicPlate:
    return plates.add_plates(plates=[VERTICAL], by=clinician, at=AT)[0]


def parked(by: User, data: bytes) -> ParkedFile:
    return scanners.park(name="plate.csv", content=data, by=by, at=AT)


def take(row: ClinicPlate, file: ParkedFile, by: User, **more: Any) -> PlateMeasurement | None:
    asked = {"asked": ASKED, "choices": Choices()} | more
    return take_recording(row=row, parked=file, by=by, at=AT, **asked)


def test_what_is_kept_comes_from_the_file_itself(row: ClinicPlate, clinician: User) -> None:
    file = parked(clinician, csv_of(TRUE))
    added = take(row, file, clinician)
    assert added is not None
    kept = plates.measurement_of(added)
    assert kept.hz == pytest.approx(30.4, abs=0.01)
    assert kept.recording is not None
    assert file.digest[:16] in kept.recording
    assert not ParkedFile.objects.exists()
    actions = list(Audit.objects.order_by("seq").values_list("action", flat=True))
    assert actions[-2:] == ["measure clinic plate", "drop file"]


def test_accepted_twice_is_kept_once(row: ClinicPlate, clinician: User) -> None:
    token = uuid4()
    file = parked(clinician, csv_of(TRUE))
    assert take(row, file, clinician, token=token) is not None
    assert take(row, file, clinician, token=token) is None
    assert PlateMeasurement.objects.count() == 1


@pytest.mark.parametrize(
    "data, why",
    [(b"x,y\n1,2", "No column of times"), (b"time (s),z\n0,1\n.01,-1\n.02,0", "Say first")],
)
def test_what_cannot_be_worked_out_is_refused_and_the_file_stays(
    row: ClinicPlate, clinician: User, data: bytes, why: str
) -> None:
    file = parked(clinician, data)
    with pytest.raises(Refused, match=why):
        take(row, file, clinician)
    assert ParkedFile.objects.exists()
    assert not PlateMeasurement.objects.exists()


# --- Pages ----------------------------------------------------------------------------------


def sent(client: Client, row: ClinicPlate, data: bytes, **said: str) -> Any:
    file = SimpleUploadedFile("plate.csv", data)
    address = reverse("programs:plate_recording", args=[row.pk])
    return client.post(address, SAID | said | {"file": file})


@pytest.fixture
def signed_in(client: Client, clinician: User) -> Client:
    client.force_login(clinician)
    return client


def test_from_the_file_to_the_register(signed_in: Client, row: ClinicPlate) -> None:
    page = signed_in.get(reverse("programs:plate_recording", args=[row.pk]))
    assert "tape it down all round" in text_of(page)
    looked = sent(signed_in, row, csv_of(TRUE))
    assert looked.status_code == 302
    page = signed_in.get(looked.url)
    told = text_of(page)
    assert "Nothing is kept yet" in told
    assert "30.40" in told
    assert "gravity is in the numbers" in told
    assert "check that it is right" in told
    assert not PlateMeasurement.objects.exists()
    address = looked.url.partition("?")[0]
    refused = signed_in.post(address, SAID)
    assert refused.status_code == 422
    assert "Say first that the file was read rightly." in text_of(refused)
    kept = signed_in.post(address, SAID | {"read_right": "yes", "token": str(uuid4())}, follow=True)
    assert "Measured: vertical." in text_of(kept)
    assert "The panel’s error" in kept.content.decode()
    assert "Ada’s" in text_of(kept)
    assert PlateMeasurement.objects.count() == 1
    gone = signed_in.get(looked.url, follow=True)
    assert "no longer here" in text_of(gone)


def test_a_bad_recording_says_why_and_can_be_thrown_away(
    signed_in: Client, row: ClinicPlate
) -> None:
    slow = True_(hz=30, mm=1.1, seconds=6, rate_hz=60.0)
    looked = sent(signed_in, row, csv_of(slow))
    page = text_of(signed_in.get(looked.url))
    assert "samples 60 times a second and cannot see above 24 Hz" in page
    assert "Accept as a measurement" not in page
    tried = signed_in.post(looked.url.partition("?")[0], SAID | {"read_right": "yes"})
    assert tried.status_code == 422
    signed_in.post(looked.url.partition("?")[0], SAID | {"drop": "yes"})
    assert not ParkedFile.objects.exists()


def test_a_unit_that_cannot_be_told_is_asked(signed_in: Client, row: ClinicPlate) -> None:
    data = csv_of(True_(hz=30.4, mm=1.1, seconds=6, rate_hz=200.0, gravity=0.0))
    looked = sent(signed_in, row, data.replace(b" (m/s2)", b""))
    assert "Say it below" in text_of(signed_in.get(looked.url))
    page = text_of(signed_in.get(f"{looked.url}&unit=m/s2"))
    assert "30.40" in page
    assert "Gravity does not say which way is up" in page


@pytest.mark.parametrize(
    "said, words",
    [
        ({"set_hz": "31.5"}, "The plate has no 31.5 Hz."),
        ({"on": "2099-01-01"}, "after today"),
        ({"load_kg": ""}, "required"),
    ],
)
def test_what_is_said_wrongly_stands_beside_its_field(
    signed_in: Client, row: ClinicPlate, said: dict[str, str], words: str
) -> None:
    page = sent(signed_in, row, csv_of(TRUE), **said)
    assert page.status_code == 422
    assert words in text_of(page)
    assert not ParkedFile.objects.exists()


def test_no_file(signed_in: Client, row: ClinicPlate) -> None:
    page = signed_in.post(reverse("programs:plate_recording", args=[row.pk]), SAID)
    assert page.status_code == 422
    assert "Choose a file that is not empty." in text_of(page)


def test_an_address_that_lost_what_was_said(signed_in: Client, row: ClinicPlate) -> None:
    looked = sent(signed_in, row, csv_of(TRUE))
    page = signed_in.get(looked.url.partition("?")[0], follow=True)
    assert "send the file once more" in text_of(page)
