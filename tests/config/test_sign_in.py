"""Signing in and changing the password: the brake, her own browser, what is written down."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock

import pytest
from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.test import Client
from django.utils import timezone

from patients.audit import verify_chain
from patients.known_browser import COOKIE
from patients.models.patient import Audit
from patients.models.staff import OpenSession
from tests.conftest import PASSWORD, MarkedClient

pytestmark = [pytest.mark.long, pytest.mark.django_db]

START = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
SECOND = dt.timedelta(seconds=1)
HERS, STRANGERS = "192.0.2.7", "198.51.100.9"
NEW = "seven quiet herons"


@contextmanager
def it_is(moment: dt.datetime) -> Iterator[None]:
    with mock.patch.object(timezone, "now", return_value=moment):
        yield


def tries(
    client: Client, at: dt.datetime, password: str, address: str, name: str = "m.ferro"
) -> str:
    """Try to sign in; returns "in", "wrong" or "wait"."""
    with it_is(at):
        page = client.post(
            "/sign-in/", {"username": name, "password": password}, REMOTE_ADDR=address
        )
    if page.status_code == 302:
        return "in"
    return "wait" if "Too many wrong passwords. Try again at" in page.content.decode() else "wrong"


def written() -> list[str]:
    return list(Audit.objects.order_by("seq").values_list("action", flat=True))


def test_five_wrong_tries_then_a_pause_of_a_minute(client: Client, clinician: User) -> None:
    told = [tries(client, START + SECOND * n, "wrong wrong wrong", HERS) for n in range(6)]
    assert told == ["wrong"] * 5 + ["wait"]
    assert tries(client, START + 59 * SECOND, PASSWORD, HERS) == "wait"
    assert tries(client, START + 60 * SECOND, PASSWORD, HERS) == "in"


def test_a_name_nobody_has_is_slowed_alike(client: Client, clinician: User) -> None:
    told = [tries(client, START, PASSWORD, HERS, name="nobody") for _ in range(6)]
    assert told == ["wrong"] * 5 + ["wait"]
    assert "nobody" not in "".join(Audit.objects.values_list("new", flat=True))


@pytest.mark.parametrize("known", [False, True], ids=["another address", "her own address"])
def test_k06_the_owner_gets_in_while_a_stranger_guesses_once_a_second(
    clinician: User, known: bool
) -> None:
    """K06: strangers kept a person out by guessing; from her own address her browser is known."""
    owner, stranger = MarkedClient(), MarkedClient()
    if known:
        assert tries(owner, START - dt.timedelta(days=30), PASSWORD, HERS) == "in"
    theirs = HERS if known else STRANGERS
    for second in range(180):
        at = START + SECOND * second
        assert tries(stranger, at, f"wrong wrong {second}", theirs) != "in"
        if second % 10 == 9:
            owner.cookies.pop(settings.SESSION_COOKIE_NAME, None)
            assert tries(owner, at, PASSWORD, HERS) == "in", f"second {second}"


def test_no_more_than_five_of_a_strangers_guesses_are_looked_at_in_a_minute(
    clinician: User,
) -> None:
    """Two servers have no memory in common but the database, which alone is asked."""
    servers = MarkedClient(), MarkedClient()
    told = [
        tries(servers[n % 2], START + SECOND * n, f"wrong wrong {n}", STRANGERS) for n in range(120)
    ]
    for start in range(60):
        assert told[start : start + 60].count("wrong") <= 5


def test_addresses_of_one_ipv6_network_are_one_source(client: Client, clinician: User) -> None:
    told = [tries(client, START, "wrong wrong wrong", f"2001:db8::{n:x}") for n in range(6)]
    assert told[-1] == "wait"
    assert tries(client, START, "wrong wrong wrong", "2001:db8:0:1::1") == "wrong"


def test_a_known_browser_has_a_count_of_its_own_for_that_person_only(clinician: User) -> None:
    hers = MarkedClient()
    assert tries(hers, START, PASSWORD, HERS) == "in"
    hers.post("/sign-out/")
    assert [tries(hers, START, "wrong wrong wrong", HERS) for _ in range(6)][-1] == "wait"
    User.objects.create_user("j.okafor", password=PASSWORD)
    told = [tries(hers, START, "wrong wrong wrong", HERS, name="j.okafor") for _ in range(6)]
    assert told == ["wrong"] * 5 + ["wait"]


def test_a_made_up_or_changed_mark_of_a_browser_counts_for_nothing(clinician: User) -> None:
    hers, forged = MarkedClient(), MarkedClient()
    assert tries(hers, START, PASSWORD, HERS) == "in"
    forged.cookies[COOKIE] = hers.cookies[COOKIE].value[:-1] + "-"
    for _ in range(5):
        tries(MarkedClient(), START, "wrong wrong wrong", HERS)
    assert tries(forged, START, PASSWORD, HERS) == "wait"
    assert hers.cookies[COOKIE]["httponly"]
    assert hers.cookies[COOKIE]["samesite"] == "Strict"


def test_a_shared_browser_is_known_for_each_of_them(clinician: User) -> None:
    User.objects.create_user("j.okafor", password=PASSWORD)
    shared = MarkedClient()
    for name in ("m.ferro", "j.okafor"):
        shared.cookies.pop(settings.SESSION_COOKIE_NAME, None)
        assert tries(shared, START, PASSWORD, HERS, name=name) == "in"
    for _ in range(5):
        tries(MarkedClient(), START, "wrong wrong wrong", HERS)
    for name in ("m.ferro", "j.okafor"):
        shared.cookies.pop(settings.SESSION_COOKIE_NAME, None)
        assert tries(shared, START, PASSWORD, HERS, name=name) == "in"


def test_signing_in_and_out_and_wrong_tries_are_written_down(
    client: Client, clinician: User
) -> None:
    tries(client, START, "wrong wrong wrong", HERS)
    tries(client, START, PASSWORD, HERS)
    with it_is(START):
        client.post("/sign-out/", REMOTE_ADDR=HERS)
    assert written() == ["wrong password at sign-in", "sign in", "sign out"]
    wrong, right, _ = Audit.objects.order_by("seq")
    assert (wrong.actor, wrong.object_id, wrong.source_address) == (None, str(clinician.pk), HERS)
    assert (right.actor, right.source_address) == (clinician, HERS)
    assert verify_chain() is None


# --- Changing the password ----------------------------------------------------------------------


def change(client: Client, old: str, new: str = NEW) -> str:
    typed = {"old_password": old, "new_password1": new, "new_password2": new}
    page = client.post("/password/", typed)
    return "changed" if page.status_code == 302 else page.content.decode()


def test_changing_the_password_has_the_same_brake(signed_in: Client, clinician: User) -> None:
    """Else an open session gives the password away, and with it the signature."""
    with it_is(timezone.now()):
        for _ in range(5):
            assert "not your password" in change(signed_in, "wrong wrong wrong")
        assert "Too many wrong passwords" in change(signed_in, PASSWORD)
    clinician.refresh_from_db()
    assert clinician.check_password(PASSWORD)
    assert written().count("wrong password at change of password") == 5
    assert written().count("too many tries at change of password") == 1


def test_k11_changing_it_ends_other_sessions_and_keeps_this_one_on_the_list(
    clinician: User,
) -> None:
    """K11: other sessions outlived a changed password."""
    here, there = MarkedClient(), MarkedClient()
    for client in (here, there):
        client.post("/sign-in/", {"username": "m.ferro", "password": PASSWORD})
    assert change(here, PASSWORD) == "changed"
    assert here.get("/stay/").status_code == 204
    assert there.get("/stay/").status_code == 302
    assert "this one" in here.get("/account/").content.decode()
    assert "change password" in written()


def test_a_password_that_is_soon_guessed_is_refused_with_the_reason(signed_in: Client) -> None:
    page = change(signed_in, PASSWORD, "marta ferro marta")
    assert "This would soon be guessed. It is made of your own name" in page


def test_a_long_password_with_any_letters_is_taken_as_typed(
    signed_in: Client, clinician: User
) -> None:
    new = "  пять тихих цапель, a grey tramline and ünver's kettle beside the lagoon 🐦  "
    assert len(new) > 64
    assert change(signed_in, PASSWORD, new) == "changed"
    clinician.refresh_from_db()
    assert clinician.check_password(new)
    assert not clinician.check_password(new.strip())


@pytest.mark.parametrize(
    "password",
    [
        " " * 15,
        "aaaaaaaaaaaaaaa",
        "passwordpassword",
        "123456789012345",
        "qwertyuiop12345",
        "clinicianclinician",
        "Marta Ferro of Larkmere",
        "calcarcalcarcalcar",
        "seven herons",
    ],
)
def test_each_sample_that_was_taken_before_is_refused(password: str) -> None:
    user = User(username="clinician", first_name="Marta Ferro of Larkmere")
    with pytest.raises(ValidationError):
        validate_password(password, user)


def test_an_older_hash_still_lets_in_and_is_made_anew(
    client: Client, clinician: User, settings: object
) -> None:
    settings.PASSWORD_HASHERS = [  # type: ignore[attr-defined]
        "django.contrib.auth.hashers.Argon2PasswordHasher",
        "django.contrib.auth.hashers.PBKDF2PasswordHasher",
    ]
    clinician.password = make_password(PASSWORD, hasher="pbkdf2_sha256")
    clinician.save()
    assert tries(client, START, PASSWORD, HERS) == "in"
    clinician.refresh_from_db()
    assert clinician.password.startswith("argon2$argon2id$")
    assert tries(MarkedClient(), START, PASSWORD, HERS) == "in"


def test_signing_makes_no_hash_anew_that_would_end_the_session(
    signed_in: Client, clinician: User, settings: object
) -> None:
    from django.test import RequestFactory

    from patients.actions.guessing import Question
    from patients.views.asked_again import knows_password

    hashed = make_password(PASSWORD, hasher="md5")
    settings.PASSWORD_HASHERS = [  # type: ignore[attr-defined]
        "django.contrib.auth.hashers.Argon2PasswordHasher",
        "django.contrib.auth.hashers.MD5PasswordHasher",
    ]
    request = RequestFactory().post("/")
    request.user = clinician
    assert knows_password(request, PASSWORD, question=Question.SIGNING)
    clinician.refresh_from_db()
    assert clinician.password.partition("$")[0] == hashed.partition("$")[0]


# --- How long a session lasts -------------------------------------------------------------------


def left(client: Client) -> int:
    answer: int = client.get("/time-left/").json()["left_s"]
    return answer


def test_asking_how_long_is_left_makes_it_no_longer(
    signed_in: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """K08: an idle tab spoke for all tabs; now each asks, and asking keeps no session alive."""
    signed_in.get("/stay/")
    seen = signed_in.session["seen_at"]
    monkeypatch.setattr("config.views.time.time", lambda: seen + 600)
    ends = Session.objects.get().expire_date
    assert 295 <= left(signed_in) <= 301
    assert Session.objects.get().expire_date == ends


def test_a_request_of_another_tab_is_seen_by_this_one(signed_in: Client) -> None:
    signed_in.get("/stay/")
    row = Session.objects.get()
    row.expire_date = timezone.now() + dt.timedelta(seconds=60)
    row.save()
    assert left(signed_in) <= 60
    session = signed_in.session
    session["seen_at"] = 0
    session.save()
    signed_in.get("/stay/")
    assert left(signed_in) > 800


def test_the_longest_day_ends_it_too_and_without_a_session_nothing_is_left(
    signed_in: Client, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert left(MarkedClient()) == 0
    signed_in.get("/stay/")
    began = signed_in.session["signed_in_at"]
    row = Session.objects.get()
    row.expire_date = dt.datetime.fromtimestamp(began + 12 * 3600 + 500, dt.UTC)
    row.save()
    monkeypatch.setattr("config.views.time.time", lambda: began + 12 * 3600 - 30)
    monkeypatch.setattr("config.middleware.time.time", lambda: began + 12 * 3600 - 30)
    assert left(signed_in) == 30


def test_sessions_that_are_over_are_removed_at_signing_in(client: Client, clinician: User) -> None:
    tries(MarkedClient(), START, PASSWORD, HERS)
    assert OpenSession.objects.count() == Session.objects.count() == 1
    tries(client, START + dt.timedelta(minutes=16), PASSWORD, HERS)
    assert OpenSession.objects.count() == Session.objects.count() == 1
