"""One's own account: the name, where one is signed in, a password set with a code."""

from __future__ import annotations

import datetime as dt
from unittest import mock

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from patients.actions.staff import CODE_LASTS, give_code, switch
from patients.models.patient import Audit
from patients.models.staff import OpenSession, PasswordCode
from patients.staff.rights import Role
from tests.conftest import PASSWORD, MarkedClient
from tests.staff import person_of

pytestmark = pytest.mark.django_db
NEW = "seven quiet herons"


def signed_in_from(user_agent: str) -> Client:
    client = MarkedClient(headers={"User-Agent": user_agent})
    client.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
    return client


@pytest.mark.counted
def test_sessions_are_listed_and_one_is_ended(clinician: User) -> None:
    here, there = signed_in_from("Firefox/140 (Windows)"), signed_in_from("Safari/605 (iPad)")
    page = here.get("/account/").content.decode()
    assert "Firefox on Windows" in page
    assert "Safari on iPad" in page
    assert page.count("this one") == 1
    number = OpenSession.objects.get(browser="Safari on iPad").pk
    here.post(f"/account/sessions/{number}/end/")
    assert there.get("/stay/").status_code == 302
    assert here.get("/stay/").status_code == 204
    assert Audit.objects.filter(action="end sessions", actor=clinician).count() == 1


@pytest.mark.counted
def test_all_others_are_ended_at_once(clinician: User) -> None:
    here, *others = (signed_in_from("Firefox/140") for _ in range(3))
    here.post("/account/sessions/end/")
    assert [one.get("/stay/").status_code for one in others] == [302, 302]
    assert here.get("/stay/").status_code == 204
    assert "nothing to end" in here.post("/account/sessions/end/", follow=True).content.decode()


@pytest.mark.counted
def test_nobody_ends_somebody_elses_session(clinician: User) -> None:
    there = signed_in_from("Firefox/140")
    other = MarkedClient()
    other.force_login(person_of(Role.CLINICIAN, Role.KEEPER, username="other"))
    other.post(f"/account/sessions/{OpenSession.objects.get().pk}/end/")
    assert there.get("/stay/").status_code == 204
    assert not Audit.objects.filter(action="end sessions").exists()


def test_one_sets_ones_own_name_and_it_is_on_record(client: Client) -> None:
    user = person_of(Role.CLINICIAN, username="x", first_name="", last_name="Old")
    client.force_login(user)
    assert client.post("/account/name/", {"full_name": "  "}).status_code == 422
    client.post("/account/name/", {"full_name": " Ana  María Ferro "})
    user.refresh_from_db()
    assert user.get_full_name() == "Ana María Ferro"
    line = Audit.objects.get(action="name person")
    assert (line.actor, "Old" in line.old, "Ana María Ferro" in line.new) == (user, True, True)


class TestCode:
    """A password set with a code from the keeper."""

    def send(self, client: Client, code: str, new: str = NEW) -> str:
        typed = {"code": code, "new_password1": new, "new_password2": new}
        return client.post("/new-password/", typed, follow=True).content.decode()

    def code(self, clinician: User) -> str:
        return give_code(user=clinician, by=clinician, at=timezone.now())

    def test_she_sets_her_own_and_signs_in(self, client: Client, clinician: User) -> None:
        before = signed_in_from("Firefox/140")
        code = self.code(clinician)
        assert "Your password is set" in self.send(client, code.lower().replace("-", " "))
        clinician.refresh_from_db()
        assert clinician.check_password(NEW)
        assert before.get("/stay/").status_code == 302
        line = Audit.objects.get(action="set password by code")
        assert line.actor == clinician

    def test_opening_the_page_spends_nothing_and_sending_spends_it(
        self, client: Client, clinician: User
    ) -> None:
        code = self.code(clinician)
        for _ in range(3):
            assert client.get("/new-password/", {"code": code}).status_code == 200
        self.send(client, code)
        assert "used, is too old or is mistyped" in self.send(client, code, "eight quiet herons")
        clinician.refresh_from_db()
        assert clinician.check_password(NEW)

    def test_a_weak_password_or_a_slip_does_not_spend_it(
        self, client: Client, clinician: User
    ) -> None:
        code = self.code(clinician)
        assert "made of your own name" in self.send(client, code, "marta ferro marta")
        slip = {"code": code, "new_password1": NEW, "new_password2": NEW + "x"}
        assert client.post("/new-password/", slip).status_code == 422
        assert "Your password is set" in self.send(client, code)

    def test_it_is_dead_after_a_day_and_at_once_after_another_or_switching_off(
        self, client: Client, clinician: User
    ) -> None:
        person_of(Role.KEEPER, username="other")
        old = self.code(clinician)
        newer = self.code(clinician)
        assert "used, is too old" in self.send(client, old)
        with mock.patch.object(timezone, "now", return_value=timezone.now() + CODE_LASTS):
            assert "used, is too old" in self.send(client, newer)
        switch(user=clinician, on=False, by=None, at=timezone.now())
        switch(user=clinician, on=True, by=None, at=timezone.now())
        assert "used, is too old" in self.send(client, newer)

    def test_wrong_ones_are_slowed_and_written_down(self, client: Client, clinician: User) -> None:
        code = self.code(clinician)
        with mock.patch.object(timezone, "now", return_value=timezone.now()):
            for _ in range(5):
                assert "mistyped" in self.send(client, "AAAAA-BBBBB")
            assert "Too many wrong" in self.send(client, code)
        assert Audit.objects.filter(action="wrong password at code for a password").count() == 5

    def test_only_its_digest_is_kept(self, clinician: User) -> None:
        code = self.code(clinician)
        plain = code.replace("-", "")
        assert len(plain) == 26  # 128 bits, five to a letter
        kept = PasswordCode.objects.get()
        written = [*Audit.objects.values_list("new", flat=True), kept.digest]
        assert not any(plain in text or code in text for text in written)
        assert kept.made_at - timezone.now() < dt.timedelta(minutes=1)
