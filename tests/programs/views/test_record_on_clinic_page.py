"""The Clinic page: when the record was looked over, and what was found."""

from __future__ import annotations

from uuid import uuid4

from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.urls import reverse

from patients.append_only import drop_triggers
from patients.models.patient import Audit
from programs.actions.record_check import check_record
from programs.models.record_check import RecordCheck
from tests.programs.actions.test_record_check import TABLES, on_record
from tests.programs.rows import AT


def page(client: Client) -> str:
    answer = client.get(reverse("programs:clinic"))
    assert answer.status_code == 200
    return answer.content.decode()


def look_now(client: Client) -> str:
    sent = {"token": str(uuid4())}
    answer = client.post(reverse("programs:clinic_record"), sent, follow=True)
    assert answer.redirect_chain == [(reverse("programs:clinic"), 302)]
    return answer.content.decode()


def test_the_page_tells_when_the_record_last_held(signed_in: Client, clinician: User) -> None:
    assert "Not checked yet." in page(signed_in)
    on_record(clinician, "Orla")
    told = look_now(signed_in)
    assert "The record is as it was written." in told
    assert "by Marta Ferro" in told
    assert "<dt>Lines of the record</dt><dd>1</dd>" in told
    assert RecordCheck.objects.get().by == clinician


def test_the_page_names_what_broke_and_when_it_last_held(
    signed_in: Client, clinician: User
) -> None:
    on_record(clinician, "Orla")
    check_record(by=None, at=AT)
    drop_triggers(connection.schema_editor(), TABLES)
    Audit.objects.filter(seq=1).update(reason="another")
    told = look_now(signed_in)
    assert "<strong>Please note.</strong> The record is not as it was written." in told
    assert "<li>Line 1 of the record: is not as it was written.</li>" in told
    assert "<dt>Last passed</dt><dd>2 Mar 2026, 09:30, 1 line</dd>" in told
    RecordCheck.objects.filter(broken="").delete()
    assert "never" in page(signed_in)


def test_looking_changes_something_so_it_is_sent(signed_in: Client) -> None:
    assert signed_in.get(reverse("programs:clinic_record")).status_code == 200
    assert not RecordCheck.objects.exists()
