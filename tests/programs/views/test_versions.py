"""Two versions beside each other: on the Sign page before the password, and at any time."""

import datetime as dt
from typing import Any

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.utils import timezone

from patients.append_only import drop_triggers
from patients.models.patient import Patient
from programs.actions.clinic import Details, set_details
from programs.actions.editing import edit_plan
from programs.actions.emergency_numbers import Emergency, set_emergencies
from programs.models.program import Plan, SignedPlan
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.tampered import OTHER
from tests.programs.views.test_plan import document, drafted, sign, text, url
from tests.safety.rows import cleared

pytestmark = pytest.mark.long


@pytest.fixture
def patient(clinician: User) -> Patient:
    """The steady person, on record today."""
    return rows.recorded(clinician, document())


@pytest.fixture
def second(patient: Patient, clinician: User) -> Plan:
    """Her second version, drafted after two falls: the first is signed and holds all five."""
    sign(drafted(patient, clinician), clinician)
    told = {"last_12_months": 2, "injury": "no", "long_lie": "no", "blackout": "no"}
    rows.answer(patient, clinician, falls=told)
    return drafted(patient, clinician)


def leave_out(plan: Plan, kind: str, by: User) -> None:
    now = Plan.objects.get(pk=plan.pk)
    out = [edit(kind, False)]
    edit_plan(plan=now, edits=out, lock=now.lock, by=by, at=timezone.now(), reason="Not now.")


def before_the_password(page: str) -> str:
    return page.partition('class="sign-form"')[0]


def test_what_is_gone_stands_before_the_password(signed_in: Client, second: Plan) -> None:
    page = before_the_password(text(signed_in.get(url("sign", second.patient))))
    assert "What differs from version 1" in page
    gone = page[page.index("No longer there:") :].partition("</p>")[0]
    assert "impact" in gone
    assert "(excluded)" in gone
    assert url("why", second.patient, "impact") in gone
    assert "what differs from version 1 stands above" in page
    assert "Nothing was changed" not in page
    assert "Nothing: the same" not in page
    assert "Refer: high fall risk" in page


def test_no_difference_is_said_where_there_is_none(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    sign(drafted(patient, clinician), clinician)
    second = drafted(patient, clinician)
    page = text(signed_in.get(url("sign", patient)))
    assert "Nothing: the same kinds, doses, days and findings." in page
    leave_out(second, "impact", clinician)
    page = text(signed_in.get(url("sign", patient)))
    assert "No longer there:" in page
    assert "(left out by the clinician)" in page
    assert "Nothing: the same" not in page


def test_a_first_version_is_laid_beside_its_draft_alone(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    made = drafted(patient, clinician)
    page = text(signed_in.get(url("sign", patient)))
    assert "What differs from" not in page
    assert "As drafted and as it is now" not in page
    leave_out(made, "posture", clinician)
    page = text(signed_in.get(url("sign", patient)))
    assert "As drafted and as it is now" in page
    assert "No longer there:" in page


def test_what_is_blank_and_who_must_be_there(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    drafted(patient, clinician)
    set_details(details=Details(), by=clinician, at=timezone.now())
    none = [Emergency(language=code) for code, _ in settings.LANGUAGES]
    set_emergencies(given=none, by=clinician, at=timezone.now())
    page = before_the_password(text(signed_in.get(url("sign", patient))))
    assert "the clinic&#x27;s telephone" in page
    assert "the emergency number for papers in English" in page
    assert 'href="/clinic/details/"' in page
    assert "Who must be there in week 1." in page
    assert "done at the clinic" in page
    assert f'href="/patients/{patient.pk}/facts/aims/"' in page
    told = Details(name="Fern House", phone="01 555 0100", emergency="Call 555.")
    set_details(details=told, by=clinician, at=timezone.now())
    numbers = [Emergency(language=code, number="112") for code, _ in settings.LANGUAGES]
    set_emergencies(given=numbers, by=clinician, at=timezone.now())
    page = text(signed_in.get(url("sign", patient)))
    for words in ("clinic&#x27;s telephone", "the emergency number", "The clinic has no name"):
        assert words not in page


def test_what_has_no_room_and_what_ends_by_a_day(signed_in: Client, clinician: User) -> None:
    short = {"days": ["tue", "fri"], "minutes_per_day": 20}
    told = document(resources=short, conditions={"hernia": "yes"})
    held = rows.recorded(clinician, told)
    until = timezone.localdate() + dt.timedelta(weeks=6)
    cleared(held, "hernia", "resistance", on=timezone.localdate(), until=until)
    drafted(held, clinician)
    page = before_the_password(text(signed_in.get(url("sign", held))))
    assert "Posture does not fit." in page
    assert url("fits", held) in page
    assert f"Resistance only until {until:%-d %B %Y}." in page
    assert "Resistance finds no room" not in page
    assert "#clearances" in page
    plan_page = text(signed_in.get(url("plan", held), {"week": "2"}))
    assert f"only until {until:%-d %b %Y}" in plan_page
    no_room = plan_page[plan_page.index("No room in this week:") :].partition("<")[0]
    assert "posture" in no_room
    assert "resistance" not in no_room
    last = text(signed_in.get(url("plan", held), {"week": "26"}))
    no_room = last.partition("No room in this week:")[2].partition("<")[0]
    assert "resistance" not in no_room


def test_two_versions_at_any_time(
    signed_in: Client, second: Plan, clinician: User, django_assert_max_num_queries: Any
) -> None:
    page_url = url("versions", second.patient)
    # Facts and log nine; the plans two; of the signed one its line and its states five; whose
    # record it is three; session, person, rights and look five; three once a minute.
    with django_assert_max_num_queries(19 + 8):
        page = text(signed_in.get(page_url))
    assert "Version 2, a draft" in page
    assert "No longer there:" in page
    backwards = text(signed_in.get(page_url, {"one": "2", "other": "1"}))
    assert backwards.index("Version 1</th>") < backwards.index("Version 2, a draft</th>")
    for one, other in (("1", "1"), ("x", "2"), ("", ""), ("7", "8")):
        asked = signed_in.get(page_url, {"one": one, "other": other})
        assert "Version 1</th>" in text(asked)
    for name in ("plan", "timeline"):
        assert page_url in text(signed_in.get(url(name, second.patient))), name


def test_one_version_or_none_is_laid_beside_nothing(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    assert "There is no version yet" in text(signed_in.get(url("versions", patient)))
    drafted(patient, clinician)
    assert "There is one version" in text(signed_in.get(url("versions", patient)))


def test_a_stopped_draft_is_called_so(signed_in: Client, second: Plan, clinician: User) -> None:
    rows.answer(second.patient, clinician, symptoms={"chest_pain": "yes"})
    drafted(second.patient, clinician)
    page = text(signed_in.get(url("versions", second.patient)))
    assert "resistance" in page
    assert "(stopped)" in page
    assert "no room" not in page


def test_a_version_that_is_not_as_signed_is_not_shown(signed_in: Client, second: Plan) -> None:
    drop_triggers(connection.schema_editor(), ("programs_signedplan",))
    SignedPlan.objects.update(digest=OTHER)
    for name in ("versions", "sign"):
        assert signed_in.get(url(name, second.patient)).status_code == 409, name
