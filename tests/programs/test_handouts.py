"""Papers of a signed program: made once, kept, served as they were."""

import datetime as dt
import hashlib
from typing import Any

import icalendar
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from patients.models import Audit
from programs.actions import handouts, printing
from programs.actions.clinic import Details, set_details
from programs.actions.drafting import draft_plan
from programs.actions.refusals import NotDone
from programs.models import Handout, Plan, SignedPlan
from tests.people import laid_over, steady_document
from tests.programs import rows
from tests.programs.rows import AT, DAY
from tests.programs.test_signing import CLINIC, drafted, sign


@pytest.fixture
def plan(clinician: User) -> Plan:
    return drafted(clinician)


@pytest.fixture
def signed(plan: Plan, clinician: User) -> SignedPlan:
    return sign(plan, clinician)


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Count what is printed instead of printing it; tests/rendered looks at real pages."""
    calls: list[dict[str, Any]] = []

    def pdf(template: str, context: Any, **how: Any) -> bytes:
        calls.append({"template": template, "context": context, **how})
        return f"%PDF {template} {len(calls)}".encode()

    monkeypatch.setattr(handouts, "pdf", pdf)
    return calls


Printed = list[dict[str, Any]]


def test_the_same_choice_gives_the_kept_paper(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    first = handouts.make_handout(signed=signed, by=clinician, at=AT)
    again = handouts.make_handout(signed=signed, by=clinician, at=AT + dt.timedelta(days=9))
    assert again == first
    assert len(printed) == 1
    assert handouts.kept_bytes(again) == b"%PDF handout.html 1"
    assert again.sha256 == hashlib.sha256(b"%PDF handout.html 1").hexdigest()
    (line,) = Audit.objects.filter(action="make paper")
    assert first.sha256 in line.new


@pytest.mark.parametrize("other", [{"paper": "Letter"}, {"type_pt": 20}])
def test_another_choice_is_another_paper(
    signed: SignedPlan, clinician: User, printed: Printed, other: dict[str, Any]
) -> None:
    first = handouts.make_handout(signed=signed, by=clinician, at=AT)
    assert handouts.make_handout(signed=signed, by=clinician, at=AT, **other) != first
    assert len(printed) == 2


def test_a_paper_kept_meanwhile_is_not_kept_twice(
    signed: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two people press the button at once: the second finds the first one's paper."""
    monkeypatch.setattr(handouts, "pdf", lambda *_, **__: b"%PDF first")
    first: list[Handout] = []

    def meanwhile(*_: Any, **__: Any) -> bytes:
        monkeypatch.setattr(handouts, "pdf", lambda *_, **__: b"%PDF first")
        first.append(handouts.make_handout(signed=signed, by=clinician, at=AT))
        return b"%PDF second"

    monkeypatch.setattr(handouts, "pdf", meanwhile)
    assert handouts.make_handout(signed=signed, by=clinician, at=AT) == first[0]
    assert Handout.objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "template", "size"),
    [
        (handouts.HANDOUT, "handout.html", 20),
        (handouts.FIRST_WEEKS, "handout.html", 20),
        (handouts.WEEK, "paper/fridge.html", 20),
        (handouts.SUMMARY, "paper/summary.html", 10),
        (handouts.PLATE_SESSION, "paper/plate_session.html", 10),
    ],
)
def test_each_kind_of_paper(
    signed: SignedPlan, clinician: User, printed: Printed, kind: str, template: str, size: int
) -> None:
    row = handouts.make_paper(signed=signed, kind=kind, by=clinician, at=AT, week=3, type_pt=20)
    assert printed[0]["template"] == template
    assert row.type_pt == printed[0]["type_pt"] == size
    assert row.kind == ("week 3" if kind == handouts.WEEK else kind)
    assert len(row.kind) <= 20


def test_the_shorter_handout_ends_with_week_twelve(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    handouts.make_paper(signed=signed, kind=handouts.FIRST_WEEKS, by=clinician, at=AT)
    logs = printed[0]["context"]["handout"].logs
    assert [log.title for log in logs] == ["Weeks 1 to 4", "Weeks 5 to 8", "Weeks 9 to 12"]


def test_a_week_that_is_not_in_the_program(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    with pytest.raises(NotDone, match="no week 99"):
        handouts.make_paper(signed=signed, kind=handouts.WEEK, week=99, by=clinician, at=AT)
    assert not Handout.objects.exists()


def test_no_plate_no_plate_session(clinician: User, printed: Printed) -> None:
    document = laid_over(steady_document(), {"resources": {"plates": []}})
    bare = sign(drafted(clinician, document), clinician)
    with pytest.raises(NotDone, match="no plate"):
        handouts.make_paper(signed=bare, kind=handouts.PLATE_SESSION, by=clinician, at=AT)


def test_nothing_is_printed_from_a_text_that_does_not_hold(
    plan: Plan, clinician: User, printed: Printed
) -> None:
    broken = rows.signed(plan, clinician)
    with pytest.raises(NotDone, match="does not match its seal"):
        handouts.make_handout(signed=broken, by=clinician, at=AT)


def test_a_paper_that_changed_is_not_shown(signed: SignedPlan, signed_in: Client) -> None:
    row = rows.handout(signed)
    with pytest.raises(NotDone, match="not the one that was made"):
        handouts.kept_bytes(row)
    where = {"patient_id": signed.patient_id, "handout_id": row.pk}
    answer = signed_in.get(reverse("programs:handout_pdf", kwargs=where), follow=True)
    assert "not the one that was made" in answer.content.decode()


def test_the_paper_says_what_it_replaces(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    later = DAY + dt.timedelta(days=30)
    at = AT + dt.timedelta(days=30)
    second = draft_plan(patient=signed.patient, as_of=later, starts_on=later, by=clinician, at=at)
    newer = sign(second, clinician, at=at, today=later, starts_on=later)
    handouts.make_handout(signed=newer, by=clinician, at=at)
    assert printed[0]["issue"].replaces == "It replaces plan 1 of 2 March 2026."


def test_a_draft_says_that_it_is_one(plan: Plan, printed: Printed) -> None:
    handouts.draft_pdf(plan=plan, clinic=CLINIC)
    assert printed[0]["draft"] is True
    assert printed[0]["issue"].signed_by == ""
    assert printed[0]["context"]["handout"].about.tell == (
        "This is a draft. It is not signed. Do not use it.",
    )
    assert not Handout.objects.exists()


def test_a_draft_without_weeks_prints_nothing(plan: Plan) -> None:
    plan.weeks = []
    with pytest.raises(NotDone, match="no weeks"):
        handouts.draft_pdf(plan=plan, clinic=CLINIC)


def test_words_of_another_language() -> None:
    assert handouts.words_of("en").gettext("Monday") == "Monday"
    assert handouts.words_of("es").gettext("Monday") == "lunes"


# --- The pages ------------------------------------------------------------------------------


def page(of: SignedPlan | Plan) -> str:
    return reverse("programs:handout", kwargs={"patient_id": of.patient_id})


def test_without_a_signature_there_is_no_handout(plan: Plan, signed_in: Client) -> None:
    text = signed_in.get(page(plan)).content.decode()
    assert "nothing to hand out" in text
    assert reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id}) in text
    assert signed_in.post(page(plan), {"kind": "handout"}).status_code == 200
    assert not Handout.objects.exists()


def options(of: SignedPlan, **more: Any) -> dict[str, Any]:
    held = {"patient": of.patient_id, "kind": "handout", "week": 1, "language": "en"}
    held |= {"paper": "A4", "type_pt": 16}
    return held | more


def test_a_paper_is_made_and_served(
    signed: SignedPlan, signed_in: Client, printed: Printed
) -> None:
    answer = signed_in.post(page(signed), options(signed), follow=True)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="program-1-handout.pdf"'
    assert answer.content == b"%PDF handout.html 1"
    again = signed_in.post(page(signed), options(signed), follow=True)
    assert again.content == answer.content
    assert "Kept papers" in signed_in.get(page(signed)).content.decode()


@pytest.mark.parametrize(
    "wrong",
    [{"kind": "poster"}, {"paper": "A0"}, {"type_pt": 8}, {"week": 0}, {"week": 27}, {"week": "x"}],
)
def test_what_is_not_offered_is_not_made(
    signed: SignedPlan, signed_in: Client, wrong: dict[str, Any]
) -> None:
    answer = signed_in.post(page(signed), options(signed, **wrong))
    assert answer.status_code == 200
    assert "to put right" in answer.content.decode()
    assert not Handout.objects.exists()


def test_a_form_of_another_patient_is_refused(signed: SignedPlan, signed_in: Client) -> None:
    assert signed_in.post(page(signed), options(signed, patient=0)).status_code == 409


def test_a_refusal_is_told(
    signed: SignedPlan, signed_in: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: Any, **__: Any) -> bytes:
        raise printing.PaperUnavailable("This machine lacks a library.")

    monkeypatch.setattr(handouts, "pdf", refuse)
    told = signed_in.post(page(signed), options(signed), follow=True).content.decode()
    assert "This machine lacks a library." in told


def test_a_paper_of_somebody_else_is_not_found(signed: SignedPlan, signed_in: Client) -> None:
    row = rows.handout(signed)
    where = {"patient_id": signed.patient_id + 1, "handout_id": row.pk}
    assert signed_in.get(reverse("programs:handout_pdf", kwargs=where)).status_code == 404


def test_the_draft_is_served(plan: Plan, signed_in: Client, printed: Printed) -> None:
    where = reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id})
    assert signed_in.get(where).content.startswith(b"%PDF")
    assert printed[0]["paper"] == "A4"
    signed_in.get(where, {"paper": "Letter", "type_pt": "20"})
    assert (printed[1]["paper"], printed[1]["type_pt"]) == ("Letter", 20)
    signed_in.get(where, {"paper": "A0", "type_pt": "1"})
    assert (printed[2]["paper"], printed[2]["type_pt"]) == ("A4", 16)


def test_without_a_draft_there_is_none(signed: SignedPlan, signed_in: Client) -> None:
    where = reverse("programs:draft_pdf", kwargs={"patient_id": signed.patient_id})
    assert signed_in.get(where).status_code == 404


def test_the_blank_form(signed_in: Client, printed: Printed) -> None:
    answer = signed_in.get(reverse("programs:questionnaire"))
    assert answer.content.startswith(b"%PDF paper/questionnaire.html")


def days(of: SignedPlan, client: Client, **more: str) -> Any:
    where = {"patient_id": of.patient_id, "signed_id": of.pk}
    return client.get(reverse("programs:session_calendar", kwargs=where), more)


def test_the_calendar_file(signed: SignedPlan, signed_in: Client) -> None:
    answer = days(signed, signed_in, at="09:30")
    assert answer["Content-Disposition"] == 'attachment; filename="exercise-days.ics"'
    (event,) = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    assert event["DTSTART"].dt.time() == dt.time(9, 30)
    assert event["SUMMARY"] == "Exercises"


@pytest.mark.parametrize(("at", "status"), [("03:59", 302), ("04:00", 200), ("soon", 302)])
def test_no_session_while_clocks_may_jump(
    signed: SignedPlan, signed_in: Client, at: str, status: int
) -> None:
    assert days(signed, signed_in, at=at).status_code == status


def test_a_replaced_program_gives_the_file_that_removes_it(
    signed: SignedPlan, clinician: User, signed_in: Client
) -> None:
    later = DAY + dt.timedelta(days=30)
    at = AT + dt.timedelta(days=30)
    second = draft_plan(patient=signed.patient, as_of=later, starts_on=later, by=clinician, at=at)
    sign(second, clinician, at=at, today=later, starts_on=later)
    made = icalendar.Calendar.from_ical(days(signed, signed_in).content)
    assert made["METHOD"] == "CANCEL"


def test_a_name_that_cannot_be_shown_is_told_before(clinician: User, signed_in: Client) -> None:
    patient = rows.patient(clinician, given_name="王芳")
    text = signed_in.get(reverse("programs:handout", kwargs={"patient_id": patient.pk})).content
    assert "cannot show" in text.decode()


def test_the_clinics_paper_is_the_one_offered(
    signed: SignedPlan, clinician: User, signed_in: Client, printed: Printed
) -> None:
    set_details(details=Details(paper="Letter"), by=clinician, at=AT)
    chosen = '<option value="Letter" selected>'
    assert chosen in signed_in.get(page(signed)).content.decode()
    signed_in.get(reverse("programs:questionnaire"))
    signed_in.get(reverse("programs:questionnaire"), {"paper": "A4"})
    assert [call["paper"] for call in printed] == ["Letter", "A4"]


def test_a_draft_is_printed_with_the_clinic_as_it_is_now(
    plan: Plan, clinician: User, signed_in: Client, printed: Printed
) -> None:
    details = Details(name="Example bone clinic", phone="01 000 000", emergency="Call 112.")
    set_details(details=details, by=clinician, at=AT)
    signed_in.get(reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id}))
    issue = printed[0]["issue"]
    assert (issue.clinic, issue.phone) == ("Example bone clinic", "01 000 000")
    assert issue.emergency == "Call 112."
