"""The invented clinic: through the actions, once, and never beside other patients."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client, TestCase
from django.urls import reverse
from django.utils import timezone

from patients.actions.staff import keepers
from patients.audit import verify_chain
from patients.models.patient import Audit, Patient
from patients.rows_to_facts import facts_of
from patients.staff.rights import Role
from programs.actions import papers
from programs.actions.clinic import Details, details_in_force, set_details
from programs.actions.printing import PaperUnavailable
from programs.actions.reviewing import outlook
from programs.actions.signing import chain_break
from programs.demo.people import CLINIC, FELL, PEOPLE, REVIEW_DUE
from programs.models.program import Handout, Plan, SessionLog, SignedPlan
from programs.review.next_steps import Next
from tests.programs import rows
from tests.staff import person_of

#: Each loads everybody through the real actions.
pytestmark = pytest.mark.slow

TODAY = dt.date(2026, 11, 25)  # a Wednesday
MONDAY, SUNDAY = dt.date(2026, 11, 23), dt.date(2026, 11, 29)


def _noting(made: list[str]) -> Callable[..., bytes]:
    """Return a press that prints nothing and notes the templates."""

    def pdf(template: str, *_: Any, **__: Any) -> bytes:
        made.append(template)
        return b"%PDF"

    return pdf


@pytest.fixture(autouse=True)
def printed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(papers, "pdf", _noting([]))


def demo(today: dt.date | None = TODAY, password: str | None = None) -> str:
    said = StringIO()
    more = {"password": password} if password else {}
    call_command("demo", today=today, stdout=said, **more)
    return said.getvalue()


# --- The command ----------------------------------------------------------------------------


def cannot_print(*_: Any, **__: Any) -> bytes:
    raise PaperUnavailable("No printing here.")


def look_at_the_logs(today: dt.date) -> None:
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


class TestLoadedOnAMonday(TestCase):
    """What one load has made, each test from where it ended."""

    @classmethod
    def setUpTestData(cls) -> None:
        """Load everyone once, beside an account that was there before."""
        person_of(Role.CLINICIAN, username="first")
        cls.made: list[str] = []
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(papers, "pdf", _noting(cls.made))
            cls.said = demo(MONDAY)

    def test_everyone_through_the_actions(self) -> None:
        assert f"{len(PEOPLE)} people added" in self.said
        assert Patient.objects.count() == len(PEOPLE)
        by = Audit.objects.values_list("actor__username", flat=True)
        assert set(by.exclude(action__in=["add person", "give role"])) == {"demo.clinician"}
        assert verify_chain() is None
        assert chain_break() is None
        assert not User.objects.get(username="demo.clinician").has_usable_password()
        assert Plan.objects.filter(state=Plan.DRAFT).count() == 10
        for person in PEOPLE:
            patient = Patient.objects.get(record_number=person.record_number)
            facts_of(patient, MONDAY)

    def test_a_name_a_kept_handout_and_measures(self) -> None:
        assert details_in_force() == Details(**CLINIC)
        kept = Handout.objects.get()
        assert kept.signed.patient.record_number == REVIEW_DUE.record_number
        assert (kept.language, kept.made_at) == ("en", kept.signed.signed_at)
        assert self.made == ["handout.html"]
        patient = Patient.objects.get(family_name="Crestfall")
        self.client.force_login(User.objects.get(username="first"))
        html = self.client.get(reverse("patients:measures", args=[patient.pk])).content.decode()
        assert "exceeds the scanner’s error" in html
        assert "lies within the error of the scan" in html
        assert "Bone marker, P1NP" in html

    def test_a_second_run_changes_nothing(self) -> None:
        before = (Audit.objects.count(), SessionLog.objects.count(), User.objects.count())
        printed: list[str] = []
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(papers, "pdf", _noting(printed))
            assert "0 people added" in demo(MONDAY + dt.timedelta(days=3))
        assert (Audit.objects.count(), SessionLog.objects.count(), User.objects.count()) == before
        assert printed == []

    def test_one_is_due_for_review_and_one_has_fallen(self) -> None:
        look_at_the_logs(MONDAY)


class TestLoadedOnASunday(TestCase):
    """In a clinic that has told its name, where nothing can be printed."""

    own = Details(name="Our own")

    @classmethod
    def setUpTestData(cls) -> None:
        """Load everyone once."""
        by = person_of(Role.CLINICIAN, username="m.ferro")
        set_details(details=cls.own, by=by, at=timezone.now())
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(papers, "pdf", cannot_print)
            cls.said = demo(SUNDAY)

    def test_the_clinic_keeps_its_name(self) -> None:
        assert details_in_force() == self.own

    def test_all_but_the_handout_is_there(self) -> None:
        assert f"{len(PEOPLE)} people added" in self.said
        assert not Handout.objects.exists()

    def test_one_is_due_for_review_and_one_has_fallen(self) -> None:
        look_at_the_logs(SUNDAY)


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
def test_loads_today_and_makes_the_first_account_so_that_somebody_can_sign_in(
    tmp_path: Path, settings: Any
) -> None:
    settings.STATE_DIR = tmp_path
    assert "first_password" in demo(None)
    password = (tmp_path / "first_password").read_text().split()[-1]
    assert [one.check_password(password) for one in keepers()] == [True]
    assert Patient.objects.count() == len(PEOPLE)
