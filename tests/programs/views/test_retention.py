"""The page of how long records are kept: its words, its list, its form."""

from __future__ import annotations

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.actions.closing import close_record
from programs.actions.retention import set_years_kept, years_in_force
from programs.views import retention
from safety.sources import SOURCES
from tests.patients.pages import filled, text_of
from tests.programs import rows

PAGE, FORM = "programs:retention", "programs:retention_years"


def closed(by: User, years_ago: int) -> int:
    of = rows.patient(by)
    at = timezone.now() - dt.timedelta(days=366 * years_ago)
    close_record(patient=of, what="moved", on=timezone.localdate(at), by=by, at=at)
    return of.pk


def test_until_years_are_set_nobody_is_named(signed_in: Client, clinician: User) -> None:
    closed(clinician, 20)
    said = text_of(signed_in.get(reverse(PAGE)))
    assert "no time is set" in said
    assert "Set the years first." in said
    assert "Nothing is deleted automatically" in said
    for key in ("nhs_retention", "us_retention"):
        assert SOURCES[key].text in said


def test_those_whose_time_is_over_are_named_with_a_way_to_all_that_is_kept(
    signed_in: Client, clinician: User
) -> None:
    old, new = closed(clinician, 9), closed(clinician, 7)
    set_years_kept(years=8, by=clinician, at=timezone.now())
    said = text_of(signed_in.get(reverse(PAGE)))
    assert reverse("programs:everything_kept", args=[old]) in said
    assert reverse("programs:everything_kept", args=[new]) not in said
    assert "1 closed record;" not in said
    assert "1 closed record." in said
    assert "by Marta Ferro" in said


def test_nobody_is_over(signed_in: Client, clinician: User) -> None:
    set_years_kept(years=8, by=clinician, at=timezone.now())
    assert "Nobody’s." in text_of(signed_in.get(reverse(PAGE)))


def test_of_many_the_longest_over_are_listed_and_all_counted(
    signed_in: Client, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(retention, "_SHOWN", 1)
    newer, older = closed(clinician, 9), closed(clinician, 12)
    set_years_kept(years=8, by=clinician, at=timezone.now())
    said = text_of(signed_in.get(reverse(PAGE)))
    assert "2 closed records; the 1 longest over are listed" in said
    assert reverse("patients:facts", args=[older]) in said
    assert reverse("patients:facts", args=[newer]) not in said


def test_years_are_set_by_the_form(signed_in: Client) -> None:
    address = reverse(FORM)
    answer = signed_in.post(address, filled(signed_in, address, years="8"))
    assert answer["Location"] == reverse(PAGE)
    held = years_in_force()
    assert held is not None
    assert held.years == 8
    assert 'value="8"' in text_of(signed_in.get(address))
    signed_in.post(address, filled(signed_in, address, years=""))
    held = years_in_force()
    assert held is not None
    assert held.years is None


@pytest.mark.parametrize("typed", ["0", "101", "eight", "7.5"])
def test_another_answer_is_asked_again_with_what_was_typed(signed_in: Client, typed: str) -> None:
    address = reverse(FORM)
    answer = signed_in.post(address, filled(signed_in, address, years=typed))
    assert answer.status_code == 422
    assert f'value="{typed}"' in text_of(answer)
    assert years_in_force() is None


def test_the_clinic_page_leads_to_it(signed_in: Client) -> None:
    assert f'href="{reverse(PAGE)}"' in text_of(signed_in.get(reverse("programs:clinic")))


@pytest.mark.parametrize("name", [PAGE, FORM])
def test_only_who_is_signed_in_sees_it(name: str, client: Client, db: None) -> None:
    assert client.get(reverse(name))["Location"].startswith(reverse("sign_in"))
