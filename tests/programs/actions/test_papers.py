"""Papers of a signed program: made once, kept, served as they were."""

import datetime as dt
import hashlib
from dataclasses import replace
from typing import Any

import icalendar
import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse
from django.utils import translation

from patients.actions.patient_record import change_patient, identity_of
from patients.models.patient import Audit
from programs.actions import papers, printing
from programs.actions.clinic import Details, set_details
from programs.actions.drafting import draft_plan
from programs.actions.refusals import NotDone
from programs.models.program import Handout, Plan, SignedPlan
from programs.papers.kinds import KINDS, LETTER, OfProgram, Paper
from tests.people import laid_over, steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import CLINIC, drafted, sign
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.usefixtures("on_the_first_day")]


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

    monkeypatch.setattr(papers, "pdf", pdf)
    return calls


Printed = list[dict[str, Any]]


def test_the_same_choice_gives_the_kept_paper(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    first = papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT)
    again = papers.make_paper(
        kind="handout", signed=signed, by=clinician, at=AT + dt.timedelta(days=9)
    )
    assert again == first
    assert len(printed) == 1
    assert papers.kept_bytes(again) == b"%PDF handout.html 1"
    assert again.sha256 == hashlib.sha256(b"%PDF handout.html 1").hexdigest()
    (line,) = Audit.objects.filter(action="make paper")
    assert first.sha256 in line.new


@pytest.mark.parametrize("language, told", [("en", "newer name:"), ("es", "nombre más nuevo:")])
def test_k10_a_paper_made_under_a_changed_name_says_both(
    signed: SignedPlan,
    clinician: User,
    printed: Printed,
    signed_in: Client,
    language: str,
    told: str,
) -> None:
    """K10: a paper made after a change of name bore the old one, and nothing said so."""
    page = reverse("programs:handout", args=[signed.patient_id])
    papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT)
    assert printed[0]["issue"].called_today == ""
    assert "Signed under another name" not in signed_in.get(page).content.decode()
    before, her = signed.patient.name, signed.patient
    who = replace(identity_of(her), family_name="Otherwoman")
    change_patient(patient=her, who=who, version=her.version, by=clinician, at=AT)
    signed.refresh_from_db()
    size = {"paper": "Letter", "language": language}
    papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT, **size)
    issue = printed[1]["issue"]
    now = f"{her.given_name} Otherwoman"
    assert (issue.name, issue.called_today) == (before, now)
    with translation.override(language):
        head = render_to_string("paper/base.html", {"issue": issue, "language": language})
    assert f"<strong>{before}</strong> ({told} {now})," in head
    said = signed_in.get(page).content.decode()
    assert "Signed under another name" in said
    assert f"was signed for {before}" in said


@pytest.mark.parametrize("other", [{"paper": "Letter"}, {"type_pt": 20}])
def test_another_choice_is_another_paper(
    signed: SignedPlan, clinician: User, printed: Printed, other: dict[str, Any]
) -> None:
    first = papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT)
    assert papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT, **other) != first
    assert len(printed) == 2


def test_a_paper_kept_meanwhile_is_not_kept_twice(
    signed: SignedPlan, clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two people press the button at once: the second finds the first one's paper."""
    monkeypatch.setattr(papers, "pdf", lambda *_, **__: b"%PDF first")
    first: list[Handout] = []

    def meanwhile(*_: Any, **__: Any) -> bytes:
        monkeypatch.setattr(papers, "pdf", lambda *_, **__: b"%PDF first")
        first.append(papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT))
        return b"%PDF second"

    monkeypatch.setattr(papers, "pdf", meanwhile)
    assert papers.make_paper(kind="handout", signed=signed, by=clinician, at=AT) == first[0]
    assert Handout.objects.count() == 1


@pytest.mark.parametrize("paper", KINDS.values(), ids=list(KINDS))
def test_each_kind_of_paper(
    signed: SignedPlan, clinician: User, printed: Printed, paper: Paper[OfProgram]
) -> None:
    row = papers.make_paper(signed=signed, kind=paper.code, by=clinician, at=AT, type_pt=20)
    assert printed[0]["template"] == paper.template
    # The letter to a doctor also tells what stands beside the exercise.
    beside = ["beside"] if paper.code == LETTER else []
    assert list(printed[0]["context"]) == [paper.part, *beside]
    assert row.type_pt == printed[0]["type_pt"] == paper.letters_pt(20)
    assert row.language == printed[0]["language"] == "en"
    held = {"to visit": "to visit 1-4", "handout": "handout 1-26", "sheets": "sheets 1-4"}
    assert row.kind == held.get(paper.code, paper.code)


def test_no_plate_no_plate_session(clinician: User, printed: Printed) -> None:
    document = laid_over(steady_document(), {"resources": {"plates": []}})
    bare = sign(drafted(clinician, document), clinician)
    with pytest.raises(NotDone, match="no plate"):
        papers.make_paper(signed=bare, kind="plate session", by=clinician, at=AT)


def test_nothing_is_printed_from_a_text_that_does_not_hold(
    plan: Plan, clinician: User, printed: Printed
) -> None:
    broken = sign(plan, clinician)
    rows.rewrite(broken, body=broken.body.replace('"minutes":75', '"minutes":80'))
    with pytest.raises(NotDone, match="The text is not the one that was signed"):
        papers.make_paper(kind="handout", signed=broken, by=clinician, at=AT)


@pytest.mark.counted
def test_a_paper_that_changed_is_not_shown(signed: SignedPlan, signed_in: Client) -> None:
    row = rows.handout(signed)
    rows.rewrite(row, pdf=b"%PDF another")
    with pytest.raises(NotDone, match="not the one that was made"):
        papers.kept_bytes(row)
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
    papers.make_paper(kind="handout", signed=newer, by=clinician, at=at)
    assert printed[0]["issue"].replaces == "It replaces the paper of 2 March 2026."


@pytest.mark.counted
def test_a_draft_says_that_it_is_one(plan: Plan, printed: Printed) -> None:
    papers.draft_pdf(plan=plan, clinic=CLINIC)
    assert printed[0]["draft"] is True
    assert printed[0]["issue"].signed_by == ""
    assert printed[0]["context"]["handout"].about.tell == (
        "This is a draft. It is not signed. Do not use it.",
    )
    assert not Handout.objects.exists()


@pytest.mark.counted
def test_a_draft_without_weeks_prints_nothing(plan: Plan) -> None:
    plan.weeks = []
    with pytest.raises(NotDone, match="no weeks"):
        papers.draft_pdf(plan=plan, clinic=CLINIC)


def test_words_of_another_language() -> None:
    assert papers.words_of("en").gettext("Monday") == "Monday"
    assert papers.words_of("es").gettext("Monday") == "lunes"


# --- The pages ------------------------------------------------------------------------------


def page(of: SignedPlan | Plan) -> str:
    return reverse("programs:handout", kwargs={"patient_id": of.patient_id})


def test_without_a_signature_there_is_no_handout(plan: Plan, signed_in: Client) -> None:
    text = signed_in.get(page(plan)).content.decode()
    assert "nothing to hand out" in text
    assert reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id}) in text
    assert (
        signed_in.post(page(plan), {"patient": plan.patient_id, "kind": "handout"}).status_code
        == 200
    )
    assert not Handout.objects.exists()


def options(of: SignedPlan, **more: Any) -> dict[str, Any]:
    held = {"patient": of.patient_id, "kind": "handout", "language": "en"}
    held |= {"paper": "A4", "type_pt": 16}
    return held | more


def test_a_paper_is_made_and_served(
    signed: SignedPlan, signed_in: Client, printed: Printed
) -> None:
    answer = signed_in.post(page(signed), options(signed), follow=True)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'inline; filename="program-1-handout-1-26.pdf"'
    assert answer.content == b"%PDF handout.html 1"
    again = signed_in.post(page(signed), options(signed), follow=True)
    assert again.content == answer.content
    assert "Kept papers" in signed_in.get(page(signed)).content.decode()


@pytest.mark.parametrize(
    "wrong",
    [{"kind": "poster"}, {"paper": "A0"}, {"type_pt": 8}, {"first_week": "x"}],
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

    monkeypatch.setattr(papers, "pdf", refuse)
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
    assert "These letters cannot be printed:" in text.decode()
    assert "Latin letters, a name as it is spelled in a passport" in text.decode()


def test_letters_of_her_own_goal_that_cannot_be_shown_are_told_before(
    clinician: User, signed_in: Client
) -> None:
    patient = rows.recorded(clinician, laid_over(steady_document(), {"own_goal": "散歩 again"}))
    draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    text = signed_in.get(reverse("programs:sign", kwargs={"patient_id": patient.pk}))
    assert "<bdi>散</bdi>, <bdi>歩</bdi>" in text.content.decode()


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
    rows.reached(clinician)
    details = Details(name="Example bone clinic", phone="01 000 000")
    set_details(details=details, by=clinician, at=AT)
    signed_in.get(reverse("programs:draft_pdf", kwargs={"patient_id": plan.patient_id}))
    issue = printed[0]["issue"]
    assert (issue.clinic, issue.phone) == ("Example bone clinic", "01 000 000")
    assert printed[0]["context"]["handout"].sheets[0].alarm.number == "112"
