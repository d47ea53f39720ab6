"""The clinic's settings: what is taken, what asks for a reason, what reaches a plan."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.kept_rows import NeverChanged
from patients.models.patient import Audit
from patients.staff.rights import Role
from programs.actions import clinic
from programs.actions.clinic import Details, set_details, set_limit
from programs.actions.drafting import draft_plan
from programs.actions.read_plan import limits_in_force, stale_reasons
from programs.actions.refusals import NotDone
from programs.dose import impact
from programs.dose.clinic_limits import CLINIC_LIMITS
from programs.dose.plate_limits import TOP_G
from programs.models.clinic import ClinicDetails, LimitChange
from programs.models.program import Plan
from programs.views.sign import clinic_now
from tests.people import steady_document
from tests.programs import rows
from tests.staff import person_of

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)


def set_(by: User, name: str, value: float, reason: str = "", **more: Any) -> None:
    set_limit(name=name, value=value, reason=reason, by=by, at=AT, **more)


def drafted(by: User) -> Plan:
    day = timezone.localdate()
    document = steady_document(as_of=day.isoformat(), tests={"date": day.isoformat()})
    document["lifts"][0]["on"] = day.isoformat()
    patient = rows.recorded(by, document)
    return draft_plan(patient=patient, as_of=day, starts_on=day, by=by, at=timezone.now())


def test_a_load_set_under_another_rulebook_is_read_as_the_lightest_there_is(
    clinician: User,
) -> None:
    """Under 55 %, 30 times, no weight has a percent (rulebook row 19a), and drafting goes on."""
    LimitChange.objects.create(
        name="resistance.percent_1rm.A", value=45, change="tightened", by=clinician, at=AT
    )
    own = limits_in_force().settings["resistance.percent_1rm.A"]
    assert own.value == 55
    assert drafted(clinician).pk


def test_nothing_set_is_the_rulebook(db: None) -> None:
    here = limits_in_force()
    assert {name: here.value(limit.limit) for name, limit in CLINIC_LIMITS.items()} == {
        name: limit.value for name, limit in CLINIC_LIMITS.items()
    }


def test_tightening_is_taken_with_name_and_day(clinician: User) -> None:
    set_(clinician, "plate.top_g", 2.5)
    own = limits_in_force().settings["plate.top_g"]
    assert (own.value, own.by, own.on) == (2.5, "Marta Ferro", dt.date(2026, 3, 2))
    assert LimitChange.objects.get().change == "tightened"
    line = Audit.objects.get()
    assert line.action == "set limit of the clinic"
    assert '"value":4.0' in line.old
    assert '"value":2.5' in line.new


def test_loosening_asks_for_a_reason_and_keeps_it(clinician: User) -> None:
    with pytest.raises(NotDone, match="reason"):
        set_(clinician, "plate.top_g", 5, reason="  ")
    assert not LimitChange.objects.exists()
    set_(clinician, "plate.top_g", 5, reason="Dose of the hip trial")
    row = LimitChange.objects.get()
    assert (row.change, row.reason) == ("loosened", "Dose of the hip trial")


def test_what_no_clinic_may_set_is_refused(clinician: User) -> None:
    with pytest.raises(NotDone, match="not loosened"):
        set_(clinician, "resistance.percent_1rm.C", 75, reason="I want to")
    assert not LimitChange.objects.exists()


def test_the_newest_is_in_force_and_back_is_back(clinician: User) -> None:
    set_(clinician, "impact.impacts", 30)
    set_(clinician, "impact.impacts", 50)
    assert limits_in_force().value(impact.LIMITS["impacts"]) == 50
    assert [row.change for row in LimitChange.objects.all()] == ["tightened", "back"]


def test_the_same_value_or_the_same_form_twice_is_one_change(clinician: User) -> None:
    token = uuid4()
    set_(clinician, "impact.impacts", 30, token=token)
    set_(clinician, "impact.impacts", 20, token=token)
    set_(clinician, "impact.impacts", 30)
    assert LimitChange.objects.count() == 1


def test_rows_are_kept_as_they_are(clinician: User) -> None:
    set_(clinician, "impact.impacts", 30)
    set_details(details=Details(name="Example bone clinic"), by=clinician, at=AT)
    for row in (LimitChange.objects.get(), ClinicDetails.objects.get()):
        with pytest.raises(NeverChanged):
            row.save()
        with pytest.raises(NeverChanged):
            row.delete()
        table = row._meta.db_table
        for sql in (f"UPDATE {table} SET id = id", f"DELETE FROM {table}"):
            with (
                pytest.raises(DatabaseError, match="kept as they are"),
                transaction.atomic(),
                connection.cursor() as cursor,
            ):
                cursor.execute(sql)


def test_the_database_wants_the_reason_too(clinician: User) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        LimitChange.objects.create(
            name="plate.top_g", value=5, change="loosened", by=clinician, at=AT
        )


def test_a_tightened_limit_reaches_the_plan_and_its_reasons(clinician: User) -> None:
    set_(clinician, "resistance.percent_1rm.A", 60)
    plan = drafted(clinician)
    assert max(w["resistance"]["percent_1rm"] for w in plan.weeks) == 60
    why = " ".join(plan.proposed["modalities"]["resistance"]["why"])
    assert "tightened by Marta Ferro on 2 March 2026" in why


def test_a_loosened_limit_stands_on_the_plan_with_name_and_reason(clinician: User) -> None:
    set_(clinician, "impact.impacts", 60, reason="Used to it")
    plan = drafted(clinician)
    assert max(w["impact"]["impacts"] for w in plan.weeks) == 60
    why = " ".join(plan.proposed["modalities"]["impact"]["why"])
    assert "loosened by Marta Ferro on 2 March 2026: Used to it" in why


def test_an_open_draft_is_out_of_date_once_a_limit_changes(clinician: User) -> None:
    plan = drafted(clinician)
    day = timezone.localdate()
    assert stale_reasons(plan, day) == ()
    set_(clinician, "resistance.percent_1rm.A", 60)
    assert "limit of the clinic" in " ".join(stale_reasons(plan, day))


def test_details_are_what_a_signature_prints(clinician: User) -> None:
    assert clinic_now() == {"name": "", "phone": "", "address": "", "emergency": ""}
    details = Details(name="Example bone clinic", phone="01 000 000", paper="Letter")
    set_details(details=details, by=clinician, at=AT)
    set_details(details=details, by=clinician, at=AT)
    assert clinic.details_in_force() == details
    assert clinic_now()["name"] == "Example bone clinic"
    assert ClinicDetails.objects.count() == 1
    assert Audit.objects.get().action == "set clinic details"


# --- Pages ----------------------------------------------------------------------------------


def page(client: Client, name: str, *args: str) -> str:
    answer = client.get(reverse(f"programs:{name}", args=args))
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_lists_every_limit_with_its_default(signed_in: Client, clinician: User) -> None:
    set_(clinician, "plate.top_g", 2.5)
    set_(clinician, "impact.impacts", 60, reason="Used to it")
    shown = page(signed_in, "clinic")
    for limit in CLINIC_LIMITS.values():
        assert limit.text in shown
    assert '<td class="num">2.5</td>' in shown
    for words in ("tightened", "loosened", "Used to it", "Marta Ferro", "not set"):
        assert words in shown


def test_a_limit_is_set_on_its_page(signed_in: Client) -> None:
    assert "the rulebook has 4" in page(signed_in, "clinic_limit", "plate.top_g")
    address = reverse("programs:clinic_limit", args=["plate.top_g"])
    sent = {"value": "2.5", "reason": "", "token": str(uuid4())}
    answer = signed_in.post(address, sent)
    assert answer.status_code == 302
    assert limits_in_force().value(TOP_G) == 2.5


@pytest.mark.parametrize(
    ("name", "sent", "said"),
    [
        ("plate.top_g", {"value": "5", "reason": ""}, "Write down the reason"),
        ("plate.top_g", {"value": "9", "reason": "x"}, "0.3 to 5.1"),
        ("plate.top_g", {"value": "", "reason": ""}, "Write a number."),
        ("impact.impacts", {"value": "20.5", "reason": ""}, "whole number"),
    ],
)
def test_what_cannot_be_set_is_said_beside_the_field(
    signed_in: Client, name: str, sent: dict[str, str], said: str
) -> None:
    answer = signed_in.post(reverse("programs:clinic_limit", args=[name]), sent)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not LimitChange.objects.exists()


def test_no_such_limit(signed_in: Client) -> None:
    assert signed_in.get(reverse("programs:clinic_limit", args=["moon"])).status_code == 404


def test_details_are_set_on_their_page(signed_in: Client) -> None:
    page(signed_in, "clinic_details")
    address = reverse("programs:clinic_details")
    sent = {"name": "Example bone clinic", "phone": "01 000 000", "address": "", "paper": "A4"}
    assert signed_in.post(address, sent | {"paper": ""}).status_code == 422
    assert signed_in.post(address, sent | {"currency": "EUR"}).status_code == 302
    assert "<dt>Currency</dt><dd>EUR</dd>" in page(signed_in, "clinic")
    assert "Example bone clinic" in page(signed_in, "clinic")


def test_only_a_clinician_sets_a_limit(clinician: User) -> None:
    name = next(iter(CLINIC_LIMITS))
    other = person_of(Role.ASSISTANT, Role.KEEPER, username="p.lund")
    with pytest.raises(NotDone, match="may not set the limits"):
        set_(other, name, CLINIC_LIMITS[name].value)
