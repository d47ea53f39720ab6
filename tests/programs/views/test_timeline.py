"""The timeline: every kind of thing on record, in its lane; what is before the episode is left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import FractureRow, FunctionTestDay, MarkerRow, Patient, ScanRow
from programs.actions import timeline
from programs.actions.as_signed import NotAsSigned
from programs.actions.program_state import stop_program
from programs.actions.timeline import Timeline, timeline_of
from programs.models.program import SignedPlan
from programs.review.timeline import Lane, Moment, newest_first, picture
from safety.findings import Modality
from safety.models import Clearance
from tests.patients.pages import text_of
from tests.people import facts, steady, steady_document
from tests.programs import reviews, rows
from tests.programs.reviews import after, log_weeks

pytestmark = [pytest.mark.django_db, pytest.mark.long]
DAY = after(6).date()


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    row = reviews.signed(clinician)
    log_weeks(row, clinician, 1, 2)
    return row


@pytest.fixture(autouse=True)
def seventh_week() -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=after(6)):
        yield


def lanes(found: Timeline) -> dict[Lane, list[str]]:
    told: dict[Lane, list[str]] = {}
    for one in found.moments:
        told.setdefault(one.lane, []).append(f"{one.days}: {one.words}")
    return told


def measured(of: Patient, by: User) -> None:
    kept = {"patient": of, "entered_by": by, "entered_at": after(6)}
    ScanRow.objects.create(date=DAY, site="total_hip", t=-2, **kept)
    ScanRow.objects.create(date=DAY, site="lumbar_spine", t=-2, **kept)
    ScanRow.objects.create(date=DAY, site="total_hip", t=-3, **kept, withdrawn_at=after(6))
    MarkerRow.objects.create(date=DAY, marker="ctx", value=300, unit="ng/L", **kept)
    FunctionTestDay.objects.create(date=DAY, up_and_go_s=11, **kept)
    FractureRow.objects.create(date=DAY, site="wrist", **kept)
    FractureRow.objects.create(date=dt.date(2001, 5, 1), site="ankle", **kept)
    FractureRow.objects.create(date=None, site="ankle", **kept)


@pytest.mark.counted
def test_everything_on_record_has_its_lane(signed: SignedPlan, clinician: User) -> None:
    told = {"fell": True, "note": "wet tiles", "on": dt.date(2026, 3, 20)}
    rows.session(signed, clinician, **told)
    rows.session(signed, clinician, modality="impact", pain=4, on=dt.date(2026, 3, 21))
    rows.session(signed, clinician, red_flag="fainted", on=dt.date(2026, 3, 22), pain=3)
    rows.session(signed, clinician, modality="posture", broke="toe", on=dt.date(2026, 3, 23))
    held = {"modalities": {"plate": {"chosen": "hold"}}}
    rows.review(signed, clinician, held_on=dt.date(2026, 3, 30), decision=held)
    measured(signed.patient, clinician)
    Clearance.objects.create(
        patient=signed.patient,
        subject="epilepsy",
        modalities=["plate"],
        given_by="Dr Vale",
        on=dt.date(2026, 1, 2),
        until=dt.date(2026, 4, 20),
        recorded_by=clinician,
        recorded_at=after(1),
    )
    medicine = {"answer": "yes", "kind": "denosumab", "since": "2019", "last_dose_on": "2026-04-01"}
    document = steady_document(as_of=DAY.isoformat(), medicines={"bone_medicine": medicine})
    known = facts(document)
    found = timeline_of(signed, DAY, known)
    assert lanes(found) == {
        Lane.PROGRAM: ["2 Mar 2026 to 27 Sep 2026: version 1"],
        Lane.REVIEW: ["30 Mar 2026: plate: hold"],
        Lane.FALL: [
            "20 Mar 2026: a fall. wet tiles",
            "22 Mar 2026: warning sign: fainted",
            "23 Mar 2026: broken bone: toe",
        ],
        Lane.PAIN: ["21 Mar 2026: 4 of 10, impact."],
        Lane.FRACTURE: ["13 Apr 2026: wrist"],
        Lane.TESTS: ["2 Mar 2026: function tests", "13 Apr 2026: function tests"],
        Lane.SCAN: [
            "13 Apr 2026: density: total hip, lumbar spine",
            "13 Apr 2026: blood: CTX",
        ],
        Lane.LEAVE: [
            "2 Jan 2026 to 20 Apr 2026: Epilepsy or seizures, for vibration plate, by Dr Vale"
        ],
        Lane.MEDICINE: ["1 Apr 2026: denosumab, last dose 1 Apr 2026"],
    }
    assert found.coming == (
        ("Review", dt.date(2026, 4, 19)),
        ("Epilepsy or seizures: clearance ends", dt.date(2026, 4, 20)),
        ("Function tests", dt.date(2026, 5, 25)),
        ("Next dose of denosumab", dt.date(2026, 10, 1)),
        ("Density", dt.date(2027, 3, 2)),
    )


def test_a_program_reaches_to_its_stop_or_its_last_week(
    signed: SignedPlan, clinician: User
) -> None:
    stop_program(signed=signed, why="pain", by=clinician, at=after(3))
    (line,) = lanes(timeline_of(signed, DAY, steady()))[Lane.PROGRAM]
    assert line.startswith("2 Mar 2026 to 23 Mar 2026: version 1. Stopped on 23 Mar 2026 by ")


@pytest.mark.counted
def test_one_kind_stopped_is_told(signed: SignedPlan, clinician: User) -> None:
    stop_program(signed=signed, why="pain", by=clinician, at=after(3), modality=Modality.PLATE)
    found = timeline_of(signed, DAY, None)
    (line,) = lanes(found)[Lane.PROGRAM]
    assert line.startswith("2 Mar 2026 to 27 Sep 2026: version 1. Plate: stopped on 23 Mar")
    assert found.coming[:2] == (
        ("Review, due since", dt.date(2026, 3, 30)),
        ("Review", DAY + dt.timedelta(days=14)),
    )


# --- The picture ------------------------------------------------------------------------------


def moment(days: int, lane: Lane = Lane.FALL, until: int | None = None, words: str = "x") -> Moment:
    day = rows.DAY
    last = None if until is None else day + dt.timedelta(days=until)
    return Moment(on=day + dt.timedelta(days=days), until=last, lane=lane, words=words)


@pytest.mark.counted
def test_the_picture_has_a_mark_for_each_and_says_its_words() -> None:
    drawn = picture(
        [
            moment(3, words="slipped <on> O'Brien's tiles & fell"),
            moment(0, Lane.PROGRAM, until=60),
            moment(-400, Lane.LEAVE, until=30),
            moment(-400, Lane.MEDICINE),
        ],
        rows.DAY,
        DAY,
        "episode",
    )
    assert (drawn.count("<circle"), drawn.count("<rect")) == (1, 2)
    assert "slipped &lt;on&gt; O&#x27;Brien&#x27;s tiles &amp; fell" in drawn
    assert "stroke-dasharray" in drawn
    for lane in (Lane.FALL, Lane.PROGRAM, Lane.LEAVE, Lane.MEDICINE):
        assert f">{lane}<" in drawn
    assert ">Pain<" not in drawn


@pytest.mark.counted
def test_newest_first_in_the_order_of_the_lanes() -> None:
    old, pain, fall = moment(1), moment(5, Lane.PAIN), moment(5)
    assert newest_first([old, pain, fall]) == [fall, pain, old]


# --- The page ---------------------------------------------------------------------------------


def test_the_page(signed_in: Client, signed: SignedPlan) -> None:
    page = text_of(signed_in.get(reverse("programs:timeline", args=[signed.patient_id])))
    assert "From 2 Mar 2026, the first day" in page
    assert "2 Mar 2026 to 27 Sep 2026" in page
    assert page.count("<svg") == 1


def test_without_a_program(signed_in: Client, clinician: User) -> None:
    page = signed_in.get(reverse("programs:timeline", args=[rows.patient(clinician).pk]))
    assert "Nothing was signed yet." in text_of(page)


def test_a_program_whose_states_are_gone_is_not_told_as_signed(
    signed: SignedPlan, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(timeline, "_states_of", lambda patient: {})
    with pytest.raises(NotAsSigned, match="in force is gone"):
        timeline_of(signed, DAY, steady())
