"""The invented clinic: through the actions, once, and never beside other patients."""

from __future__ import annotations

import datetime as dt
from io import StringIO
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.assembly import facts_of
from patients.audit import verify_chain
from patients.density import asked_of_newest
from patients.exchange import read
from patients.facts import Facts
from patients.models import Audit, Patient
from programs.actions import handouts
from programs.actions.clinic import Details, details_in_force, set_details
from programs.actions.printing import PaperUnavailable
from programs.actions.reviewing import outlook
from programs.actions.signing import chain_break
from programs.adherence import Planned, Session
from programs.answer import answer
from programs.demo.log import sessions, with_fall, with_sore_knee
from programs.demo.people import CLINIC, FELL, PEOPLE, REVIEW_DUE, DemoPerson
from programs.models import Handout, Plan, SessionLog, SignedPlan
from programs.review import Next
from safety.findings import Modality
from tests.programs import rows

#: Each loads fourteen people through the real actions.
pytestmark = pytest.mark.slow

TODAY = dt.date(2026, 11, 25)  # a Wednesday


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Print nothing; note the templates."""
    made: list[str] = []

    def pdf(template: str, *_: Any, **__: Any) -> bytes:
        made.append(template)
        return b"%PDF"

    monkeypatch.setattr(handouts, "pdf", pdf)
    return made


def demo(today: dt.date | None = TODAY, password: str | None = None) -> str:
    said = StringIO()
    more = {"password": password} if password else {}
    call_command("demo", today=today, stdout=said, **more)
    return said.getvalue()


def drafted(person: DemoPerson) -> dict[str, str]:
    document = answer(person.document(TODAY))
    return {name: one["status"] for name, one in document["modalities"].items()}


# --- The people -----------------------------------------------------------------------------


@pytest.mark.parametrize("today", [TODAY, dt.date(2028, 2, 29), dt.date(2027, 1, 1)])
@pytest.mark.parametrize("person", PEOPLE, ids=lambda one: one.family_name)
def test_everyone_is_a_facts_document_on_any_day(person: DemoPerson, today: dt.date) -> None:
    facts = read(person.document(today))
    assert isinstance(facts, Facts), facts
    age = today.year - facts.person.born.year
    assert age - person.years in (0, 1)
    assert asked_of_newest(facts) == ()
    assert facts.person.born.replace(year=today.year - person.years) <= today or age > person.years


def test_no_two_are_alike_and_all_are_plainly_invented() -> None:
    assert len({one.record_number for one in PEOPLE}) == len(PEOPLE) == 14
    assert len({one.family_name for one in PEOPLE}) == 14
    assert all(one.record_number.startswith("DEMO-") for one in PEOPLE)


@pytest.mark.parametrize(
    ("family", "expected"),
    [
        ("Hipwright", dict.fromkeys(Modality, "included")),
        ("Backhouse", {"plate": "excluded", "resistance": "included"}),
        ("Tumbledown", {"plate": "included", "impact": "excluded"}),
        ("Crestfall", {"plate": "on_hold", "balance": "included"}),
        ("Smallgood", {"plate": "included"}),
        ("Heartwell", {"plate": "on_hold", "resistance": "on_hold", "balance": "included"}),
        ("Tiltwood", {"plate": "included"}),
        ("Inchless", {"plate": "on_hold", "resistance": "included"}),
        ("Footman", {"resistance": "included"}),
    ],
)
def test_each_shows_what_she_is_there_for(family: str, expected: dict[str, str]) -> None:
    (person,) = (one for one in PEOPLE if one.family_name == family)
    assert expected.items() <= drafted(person).items()


def test_the_red_flag_stops_everything() -> None:
    (person,) = (one for one in PEOPLE if one.family_name == "Newache")
    assert answer(person.document(TODAY))["issuable"] is False


# --- Their logs -----------------------------------------------------------------------------


@pytest.mark.parametrize("weeks", [3, 8])
def test_a_tale_without_its_week_changes_nothing(weeks: int) -> None:
    document = answer(REVIEW_DUE.document(TODAY))
    planned = Planned(starts_on=TODAY, weeks=document["weeks"], timetable=document["timetable"])
    logged = list(sessions(planned, weeks))
    assert [week for week, _ in logged] == list(range(1, weeks + 1))
    sore = [one for week, held in logged for one in with_sore_knee(week, held) if one.note]
    assert len(sore) == (weeks == 8)
    fell = [one for week, held in logged for one in with_fall(week, held) if one.fell]
    assert len(fell) == (weeks == 8)


def test_a_tale_needs_the_session_that_it_tells_of() -> None:
    other = [Session(on=TODAY, modality=Modality.PLATE, done="all")]
    assert with_sore_knee(8, other) is other
    assert with_fall(5, other) is other


# --- The command ----------------------------------------------------------------------------


@pytest.mark.django_db
def test_loads_everyone_through_the_actions() -> None:
    User.objects.create_superuser("first", password="x" * 20)
    assert "14 people added" in demo()
    assert Patient.objects.count() == 14
    assert set(Audit.objects.values_list("actor__username", flat=True)) == {"demo.clinician"}
    assert verify_chain() is None
    assert chain_break() is None
    assert not User.objects.get(username="demo.clinician").has_usable_password()
    assert Plan.objects.filter(state=Plan.DRAFT).count() == 10
    for person in PEOPLE:
        patient = Patient.objects.get(record_number=person.record_number)
        facts_of(patient, TODAY)


@pytest.mark.django_db
def test_it_has_a_name_a_kept_handout_and_measures(signed_in: Client, printed: list[str]) -> None:
    demo()
    assert details_in_force() == Details(**CLINIC)
    kept = Handout.objects.get()
    assert kept.signed.patient.record_number == REVIEW_DUE.record_number
    assert (kept.language, kept.made_at, printed) == ("en", kept.signed.signed_at, ["handout.html"])
    patient = Patient.objects.get(family_name="Crestfall")
    html = signed_in.get(reverse("patients:measures", args=[patient.pk])).content.decode()
    assert "passes the error of the scan" in html
    assert "lies within the error of the scan" in html
    assert "Bone marker, P1NP" in html


@pytest.mark.django_db
def test_a_clinic_that_has_a_name_keeps_it(clinician: User) -> None:
    own = Details(name="Our own")
    set_details(details=own, by=clinician, at=timezone.now())
    demo()
    assert details_in_force() == own


@pytest.mark.django_db
def test_where_nothing_can_be_printed_all_else_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    def cannot(*_: Any, **__: Any) -> bytes:
        raise PaperUnavailable("No printing here.")

    monkeypatch.setattr(handouts, "pdf", cannot)
    assert "14 people added" in demo()
    assert not Handout.objects.exists()


@pytest.mark.django_db
def test_a_second_run_changes_nothing(printed: list[str]) -> None:
    demo()
    before = (Audit.objects.count(), SessionLog.objects.count(), User.objects.count())
    assert "0 people added" in demo(TODAY + dt.timedelta(days=3))
    assert (Audit.objects.count(), SessionLog.objects.count(), User.objects.count()) == before
    assert len(printed) == 1


@pytest.mark.django_db
@pytest.mark.parametrize("weekday", [0, 6])
def test_one_is_due_for_review_and_one_has_fallen(weekday: int) -> None:
    today = dt.date(2026, 11, 23) + dt.timedelta(days=weekday)
    demo(today)
    due, fell = (
        outlook(SignedPlan.objects.get(patient__record_number=one.record_number), today)
        for one in (REVIEW_DUE, FELL)
    )
    assert (due.proposal.week, due.proposal.full_weeks) == (9, 8)
    assert {str(one.modality): one.next for one in due.proposal.modalities} == {
        "plate": Next.ADVANCE,
        "resistance": Next.ADVANCE,
        "impact": Next.HOLD,
        "balance": Next.ADVANCE,
        "posture": Next.SIMPLIFY,
    }
    assert {one.next for one in fell.proposal.modalities} == {Next.STOP}
    assert len(fell.proposal.events) == 1


@pytest.mark.django_db
def test_stays_away_from_other_patients(clinician: User) -> None:
    rows.patient(clinician)
    with pytest.raises(CommandError, match="other patients"):
        demo()
    assert Patient.objects.count() == 1


@pytest.mark.django_db
def test_a_password_lets_the_invented_clinician_sign_in(client: Client) -> None:
    demo(password="larkmere larkmere")
    assert client.login(username="demo.clinician", password="larkmere larkmere")
    assert client.get(reverse("patients:caseload")).status_code == 200
    demo(password="another larkmere")
    assert User.objects.get(username="demo.clinician").check_password("another larkmere")
    assert User.objects.count() == 1


@pytest.mark.django_db
def test_loads_today_and_makes_the_first_account_so_that_somebody_can_sign_in() -> None:
    assert "password" in demo(None)
    assert User.objects.filter(is_superuser=True).count() == 1
    assert Patient.objects.count() == 14
