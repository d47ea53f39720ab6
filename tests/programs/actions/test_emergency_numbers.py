"""Whom to call, set for each language: kept, recorded, measured, and on papers from then on."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, transaction

from patients.models.patient import Audit
from programs.actions import emergency_numbers, papers
from programs.actions.as_signed import program_of, refuse_what_is_not_as_signed
from programs.actions.clinic import Details, set_details
from programs.actions.emergency_numbers import (
    Emergency,
    emergencies_in_force,
    missing_numbers,
    set_emergencies,
    with_numbers_of_today,
)
from programs.actions.kept_paper import kept_bytes
from programs.actions.number_room import CLINIC_EM, EMERGENCY_EM, why_no_room
from programs.actions.printing import bold_width
from programs.actions.record_check import check_record
from programs.actions.refusals import NotDone
from programs.actions.signing import LACKED
from programs.models.clinic import EmergencyNumber
from programs.models.program import Plan, SignedPlan
from tests.programs import rows
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT, rewrite

pytestmark = pytest.mark.django_db
LATER = AT + dt.timedelta(days=30)
ENGLISH = Emergency(language="en", number="112", words="Day and night")
SPANISH = Emergency(language="es", number="113", words="De día y de noche")


def lines() -> list[Audit]:
    return list(Audit.objects.filter(action="set emergency number").order_by("seq"))


def test_each_language_has_its_own(clinician: User) -> None:
    set_emergencies(given=[ENGLISH, SPANISH], by=clinician, at=AT)
    assert emergencies_in_force() == {"en": ENGLISH, "es": SPANISH}
    told = [(json.loads(line.old), json.loads(line.new)) for line in lines()]
    assert told == [
        ({"language": "en", "number": "", "words": ""}, vars(ENGLISH)),
        ({"language": "es", "number": "", "words": ""}, vars(SPANISH)),
    ]


def test_what_is_so_already_is_not_written_again(clinician: User) -> None:
    set_emergencies(given=[ENGLISH, SPANISH], by=clinician, at=AT)
    other = Emergency(language="es", number="114")
    set_emergencies(given=[ENGLISH, other], by=clinician, at=LATER)
    assert [row.number for row in EmergencyNumber.objects.all()] == ["112", "113", "114"]
    assert emergencies_in_force()["es"] == other


def test_a_form_sent_twice_is_taken_once(clinician: User) -> None:
    token = uuid4()
    set_emergencies(given=[ENGLISH, SPANISH], by=clinician, at=AT, token=token)
    set_emergencies(given=[SPANISH], by=clinician, at=AT, token=token)
    assert len(lines()) == 2
    assert [line.token for line in lines()] == [token, None]


def test_older_words_stand_for_english_until_it_is_set(clinician: User) -> None:
    set_details(details=Details(emergency="Call 112, day and night"), by=clinician, at=AT)
    held = emergencies_in_force()
    assert held["en"] == Emergency(language="en", words="Call 112, day and night")
    assert held["es"] == Emergency(language="es")
    set_emergencies(given=[Emergency(language="en", number="112")], by=clinician, at=AT)
    assert emergencies_in_force()["en"].words == ""


@pytest.mark.parametrize("number", ["now", "1", "Call us"])
def test_a_number_is_one_that_can_be_dialled(clinician: User, number: str) -> None:
    with pytest.raises(NotDone, match="as it is dialled"):
        set_emergencies(
            given=[ENGLISH, Emergency(language="es", number=number)], by=clinician, at=AT
        )
    assert not EmergencyNumber.objects.exists()


def test_a_number_may_be_taken_back(clinician: User) -> None:
    set_emergencies(given=[ENGLISH], by=clinician, at=AT)
    set_emergencies(given=[Emergency(language="en")], by=clinician, at=LATER)
    assert "the emergency number for papers in English" in missing_numbers()


def widest(room_em: float) -> str:
    """Return as many digits as there is room for."""
    return "0" * int(room_em / bold_width("0"))


@pytest.mark.parametrize("room_em", [EMERGENCY_EM, CLINIC_EM])
def test_a_number_fits_or_it_does_not(room_em: float) -> None:
    fits = widest(room_em)
    assert why_no_room(fits, room_em) == ""
    said = why_no_room(f"{fits}0", room_em)
    assert f"about {len(fits)} of its {len(fits) + 1} signs fit in one line" in said


def test_a_number_too_long_is_refused(clinician: User) -> None:
    given = [Emergency(language="en", number=f"{widest(EMERGENCY_EM)}0")]
    with pytest.raises(NotDone, match="Too long"):
        set_emergencies(given=given, by=clinician, at=AT)


def test_the_number_of_the_complaint_is_refused() -> None:
    """53 signs threw the clinic's box off the sheet for the fridge door."""
    long = "01234 567890, or 01234 567891 at night and at weekends"
    assert "Too long" in emergency_numbers.why_no_phone(long)
    assert emergency_numbers.why_no_phone("+44 1234 567890 ext 12345") == ""


def test_a_row_changed_past_the_program_is_told(clinician: User) -> None:
    set_emergencies(given=[ENGLISH], by=clinician, at=AT)
    row = EmergencyNumber.objects.get()
    with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE programs_emergencynumber SET number = '1'")
    rewrite(row, number="999")
    assert "has another number" in check_record(by=clinician, at=AT).broken


# --- Signing ----------------------------------------------------------------------------------


@pytest.fixture
def plan(clinician: User) -> Plan:
    return drafted(clinician)


@pytest.mark.parametrize(
    ("lacks", "said"),
    [
        ("en", "the emergency number for papers in English"),
        ("es", "the emergency number for papers in Spanish"),
        ("phone", "the clinic's telephone"),
    ],
)
def test_nothing_is_signed_without_a_number_or_a_reason(
    plan: Plan, clinician: User, monkeypatch: pytest.MonkeyPatch, lacks: str, said: str
) -> None:
    rows.reached(clinician)
    if lacks == "phone":
        set_details(details=Details(), by=clinician, at=AT)
    else:
        set_emergencies(given=[Emergency(language=lacks)], by=clinician, at=AT)
    assert missing_numbers() == (said,)
    monkeypatch.setattr(rows, "reached", lambda by: None)
    for reason in ("", "  "):
        with pytest.raises(NotDone, match=said):
            sign(plan, clinician, without_number=reason)
    assert not SignedPlan.objects.exists()
    sign(plan, clinician, without_number=" They are told by word of mouth. ")
    line = Audit.objects.get(action="sign plan")
    assert line.reason == "They are told by word of mouth."
    assert json.loads(line.new)[LACKED] == [said]


def test_with_all_numbers_no_reason_is_kept(plan: Plan, clinician: User) -> None:
    sign(plan, clinician, without_number="Not needed.")
    line = Audit.objects.get(action="sign plan")
    assert line.reason == ""
    assert LACKED not in json.loads(line.new)


# --- Papers -----------------------------------------------------------------------------------


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    calls: list[Any] = []

    def pdf(template: str, context: dict[str, Any], **more: Any) -> bytes:
        calls.append((context, more))
        return f"%PDF {len(calls)}".encode()

    monkeypatch.setattr(papers, "pdf", pdf)
    return calls


def test_a_program_signed_before_gets_todays_numbers(
    plan: Plan, clinician: User, printed: list[Any]
) -> None:
    signed = sign(plan, clinician)
    first = papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT)
    body = signed.body
    set_details(details=Details(phone="02 000 000"), by=clinician, at=LATER)
    set_emergencies(given=[Emergency(language="en", number="113")], by=clinician, at=LATER)
    second = papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT)
    told = [context["sheets"][0].alarm for context, _ in printed]
    assert [(one.number, one.phone) for one in told] == [
        ("112", "01 000 000"),
        ("113", "02 000 000"),
    ]
    assert printed[1][1]["issue"].phone == "02 000 000"
    assert (first.pk, kept_bytes(first)) != (second.pk, kept_bytes(second))
    signed.refresh_from_db()
    assert signed.body == body
    refuse_what_is_not_as_signed(signed)
    line = Audit.objects.get(object_id=str(second.pk), action="make paper")
    numbers = {"phone": "02 000 000", "number": "113", "emergency": ""}
    assert json.loads(line.new)["clinic"] == numbers


def test_the_kept_paper_with_the_same_numbers_is_given_again(
    plan: Plan, clinician: User, printed: list[Any]
) -> None:
    signed = sign(plan, clinician)
    first = papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT)
    set_emergencies(given=[Emergency(language="en", number="113")], by=clinician, at=AT)
    papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT)
    set_emergencies(given=[Emergency(language="en", number="112")], by=clinician, at=AT)
    assert papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT) == first
    assert len(printed) == 2


def test_a_spanish_paper_has_the_spanish_number(
    plan: Plan, clinician: User, printed: list[Any]
) -> None:
    signed = sign(plan, clinician)
    set_emergencies(given=[ENGLISH, SPANISH], by=clinician, at=AT)
    papers.make_paper(kind="sheets", signed=signed, by=clinician, at=AT, language="es")
    said = printed[0][0]["sheets"][0].alarm
    assert (said.number, said.own) == ("113", "De día y de noche")


def test_nothing_else_of_what_was_signed_changes(plan: Plan, clinician: User) -> None:
    program = program_of(sign(plan, clinician))
    set_emergencies(given=[ENGLISH], by=clinician, at=LATER)
    set_details(details=Details(name="Renamed", address="Elsewhere"), by=clinician, at=LATER)
    now = with_numbers_of_today(program, "en")
    assert (now.clinic.name, now.clinic.address) == (program.clinic.name, program.clinic.address)
    # The clinic has no telephone now: the one that was signed stays.
    assert now.clinic.phone == program.clinic.phone
    assert {key for key, value in vars(now).items() if value != getattr(program, key)} == {"clinic"}


def test_where_nothing_is_set_the_signed_words_stay(plan: Plan, clinician: User) -> None:
    clinic = {"name": "", "phone": "", "address": "", "emergency": "Call 110"}
    program = program_of(sign(plan, clinician, clinic=clinic))
    for code in ("en", "es"):
        set_emergencies(given=[Emergency(language=code)], by=clinician, at=LATER)
        assert with_numbers_of_today(program, code).clinic.emergency == "Call 110"
    set_emergencies(given=[ENGLISH], by=clinician, at=LATER)
    assert with_numbers_of_today(program, "en").clinic.emergency == "Day and night"


def test_a_blank_form_has_the_clinics_numbers(clinician: User, printed: list[Any]) -> None:
    rows.reached(clinician)
    papers.questionnaire_pdf()
    said = printed[0][0]["form"].alarm
    assert (said.number, said.phone) == ("112", "01 000 000")
