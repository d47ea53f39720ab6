"""What stands under a joined record in the other apps, and that nothing new is made meanwhile."""

from __future__ import annotations

import datetime as dt
from html import unescape

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.actions.closing import close_record
from patients.actions.joining import join_records, note_looked_through
from patients.actions.refusals import Refused
from patients.joining import HERE, Pair
from patients.models.patient import Patient
from patients.models.standing import Join
from programs.actions import papers
from programs.actions.drafting import draft_plan
from programs.actions.record_check import look_over
from programs.actions.refusals import NotDone
from programs.actions.sessions import log_session
from programs.models.program import Handout, SignedPlan
from programs.review.followup import Session
from safety.actions import add_clearance
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import sign
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.django_db, pytest.mark.long, pytest.mark.database]


@pytest.fixture
def person(clinician: User) -> Patient:
    return rows.recorded(clinician, steady_document())


def join(double: Patient, into: Patient, by: User) -> Join:
    pair = Pair.of(into, double, timezone.localdate())
    choices = {clash.name: HERE for clash in pair.clashes()}
    return join_records(
        double=double, into=into, choices=choices, seal=pair.seal, reason="Same",
        by=by, at=timezone.now(),
    )  # fmt: skip


def draft(person: Patient, by: User):  # type: ignore[no-untyped-def]
    return draft_plan(patient=person, as_of=DAY, starts_on=DAY, by=by, at=AT)


def test_nothing_is_signed_or_printed_until_a_double_was_looked_through(
    person: Patient, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(papers, "pdf", lambda template, *_, **__: f"%PDF {template}".encode())
    signed = sign(draft(person, clinician), clinician)
    papers.make_paper(signed=signed, kind="summary", by=clinician, at=AT)
    plan = draft(person, clinician)
    row = join(rows.patient(clinician), person, clinician)
    with pytest.raises(NotDone, match="nobody has looked through it"):
        sign(plan, clinician)
    with pytest.raises(NotDone, match="nobody has looked through it"):
        papers.make_paper(signed=signed, kind="handout", by=clinician, at=AT)
    with pytest.raises(NotDone, match="nobody has looked through it"):
        papers.make_paper(signed=signed, kind="summary", by=clinician, at=AT)
    note_looked_through(join=row, by=clinician, at=AT)
    sign(plan, clinician)
    assert SignedPlan.objects.count() == 2


def test_nothing_is_signed_logged_or_cleared_in_a_closed_record(
    person: Patient, clinician: User
) -> None:
    sign(draft(person, clinician), clinician)
    plan = draft(person, clinician)
    close_record(patient=person, what="died", on=DAY, by=clinician, at=AT)
    with pytest.raises(NotDone, match="closed"):
        sign(plan, clinician)
    session = Session(on=DAY, modality=Modality.BALANCE, done="full")
    with pytest.raises(Refused, match="closed"):
        log_session(patient=person, session=session, by=clinician, at=AT)
    with pytest.raises(Refused, match="closed"):
        add_clearance(
            patient=person, subject="pregnancy", modalities=["plate"], given_by="Dr Example",
            on=DAY, until=DAY + dt.timedelta(days=9), by=clinician, at=AT,
        )  # fmt: skip


def test_what_was_signed_printed_and_logged_stays_and_is_linked(
    signed_in: Client, clinician: User, person: Patient
) -> None:
    signed = rows.signed(rows.plan(person, clinician, state="signed"), clinician)
    paper = rows.handout(signed)
    rows.session(signed, clinician, fell=True)
    rows.session(signed, clinician, red_flag="Chest pain")
    rows.plan(person, clinician, version=2, proposed={"issuable": True})
    before = [*SignedPlan.objects.values()], [*Handout.objects.values()]
    into = rows.patient(clinician)
    join(person, into, clinician)
    assert ([*SignedPlan.objects.values()], [*Handout.objects.values()]) == before
    page = unescape(signed_in.get(reverse("patients:joined", args=[into.pk])).content.decode())
    for address in (
        reverse("programs:plan_version", args=[person.pk, 1]),
        reverse("programs:handout_pdf", args=[person.pk, paper.pk]),
        reverse("programs:log", args=[person.pk]) + "?kept=1",
    ):
        assert f'href="{address}"' in page
    assert "entries: 2; falls: 1; warning signs: 1" in page
    assert "version 2, never signed" in page
    assert "Take-home handout, all weeks, of version 1" in page


def test_clearances_of_a_double_are_told_and_not_taken_over(
    signed_in: Client, clinician: User, person: Patient
) -> None:
    add_clearance(
        patient=person, subject="pregnancy", modalities=["plate"], given_by="Dr O'Example",
        on=DAY, until=DAY + dt.timedelta(days=9), by=clinician, at=AT,
    )  # fmt: skip
    into = rows.patient(clinician)
    join(person, into, clinician)
    page = unescape(signed_in.get(reverse("patients:joined", args=[into.pk])).content.decode())
    assert "Dr O'Example" in page
    assert not into.clearances.exists()


def test_the_record_holds_after_joining_and_closing(clinician: User, person: Patient) -> None:
    other = rows.patient(clinician)
    lines = look_over().lines
    join(person, other, clinician)
    close_record(patient=other, what="moved", on=DAY, by=clinician, at=AT)
    seen = look_over()
    assert seen.lines == lines + 2
    assert not any("record:" in one for one in seen.broken)
