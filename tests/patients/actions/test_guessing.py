"""The brake on every question for a password. No test waits: the time is handed in."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.contrib.auth.models import User
from django.db import connection

from patients.actions.guessing import (
    PAUSE,
    Question,
    TooManyTries,
    take_a_try,
    was_right,
    was_wrong,
)
from patients.audit import verify_chain
from patients.models.patient import Audit
from patients.models.staff import PasswordTry
from tests.factories import MOMENT, UserFactory

pytestmark = pytest.mark.database

SECOND = dt.timedelta(seconds=1)
HERS, STRANGERS = "address 192.0.2.7", "address 198.51.100.9"


def guess(at: dt.datetime, source: str = STRANGERS, **more: object) -> bool:
    """Make one wrong guess; tells whether it was looked at."""
    question = more.pop("question", Question.SIGN_IN)
    try:
        tried = take_a_try(question=question, source=source, at=at, **more)  # type: ignore[arg-type]
    except TooManyTries:
        return False
    was_wrong(tried, by=more.get("by"), at=at)  # type: ignore[arg-type]
    return True


@pytest.mark.django_db
def test_five_a_minute_from_one_source() -> None:
    looked_at = [guess(MOMENT + SECOND * n) for n in range(180)]
    assert sum(looked_at[:60]) == 5
    for start in range(120):
        assert sum(looked_at[start : start + 60]) <= 5


@pytest.mark.django_db
def test_a_refusal_says_until_when_and_after_it_one_more_is_looked_at() -> None:
    for n in range(5):
        assert guess(MOMENT + SECOND * n)
    with pytest.raises(TooManyTries) as refused:
        take_a_try(question=Question.SIGN_IN, source=STRANGERS, at=MOMENT + 5 * SECOND)
    assert refused.value.until == MOMENT + 60 * SECOND
    assert not guess(refused.value.until - SECOND)
    assert guess(refused.value.until)


@pytest.mark.django_db
def test_one_source_does_not_slow_another() -> None:
    for n in range(60):
        guess(MOMENT + SECOND * n)
    assert guess(MOMENT + 60 * SECOND, HERS)


@pytest.mark.django_db
def test_a_right_answer_gives_back_its_own_try_alone() -> None:
    """Else somebody would sign in as herself after every fourth guess at a colleague's."""
    for n in range(4):
        guess(MOMENT + SECOND * n)
    for n in range(4, 9):
        was_right(take_a_try(question=Question.SIGN_IN, source=STRANGERS, at=MOMENT + SECOND * n))
    assert guess(MOMENT + 10 * SECOND)
    assert not guess(MOMENT + 11 * SECOND)


@pytest.mark.django_db
def test_whatever_is_asked_counts_together() -> None:
    asked = [Question.SIGN_IN, Question.CODE, Question.SIGN_IN, Question.CODE, Question.SIGN_IN]
    for n, question in enumerate(asked):
        assert guess(MOMENT + SECOND * n, question=question)
    assert not guess(MOMENT + 6 * SECOND, question=Question.CODE)


@pytest.mark.django_db
def test_a_session_left_open_gives_five_in_a_quarter_of_an_hour() -> None:
    """Signing and change of password share them, from whichever browser or address."""
    her = UserFactory()
    for n in range(5):
        question = (Question.SIGNING, Question.CHANGE)[n % 2]
        assert guess(MOMENT + 61 * SECOND * n, f"browser {n}", by=her, question=question)
    with pytest.raises(TooManyTries) as refused:
        take_a_try(question=Question.CHANGE, source="browser 9", by=her, at=MOMENT + 300 * SECOND)
    assert refused.value.until == MOMENT + PAUSE
    other = UserFactory()
    assert guess(MOMENT + 300 * SECOND, HERS, by=other, question=Question.CHANGE)
    assert guess(MOMENT + PAUSE, "browser 9", by=her, question=Question.CHANGE)


@pytest.mark.django_db
def test_each_wrong_try_is_written_down_and_refusals_once_a_minute() -> None:
    her = UserFactory()
    for n in range(120):
        guess(MOMENT + SECOND * n, about=her)
    written = Audit.objects.order_by("seq").values_list("action", flat=True)
    assert list(written).count("wrong password at sign-in") == 10
    assert list(written).count("too many tries at sign-in") == 2
    refusal = Audit.objects.filter(action="too many tries at sign-in").first()
    assert refusal is not None
    assert (refusal.object_type, refusal.object_id) == ("auth.user", str(her.pk))
    assert verify_chain() is None


@pytest.mark.django_db
def test_a_wrong_password_at_signing_names_what_was_to_be_signed() -> None:
    her, plan = UserFactory(), UserFactory()
    tried = take_a_try(question=Question.SIGNING, source=HERS, by=her, at=MOMENT)
    was_wrong(tried, by=her, at=MOMENT, on=plan)
    line = Audit.objects.get()
    assert (line.action, line.actor, line.object_id) == (
        "wrong password at signing",
        her,
        str(plan.pk),
    )


@pytest.mark.django_db
def test_old_tries_are_removed_and_a_clock_gone_back_keeps_nobody_out() -> None:
    for n in range(5):
        guess(MOMENT + SECOND * n)
    guess(MOMENT + 2 * PAUSE)
    assert PasswordTry.objects.count() == 1
    for n in range(1, 5):
        guess(MOMENT + 2 * PAUSE + SECOND * n)
    assert not guess(MOMENT + 2 * PAUSE - SECOND)
    assert guess(MOMENT - PAUSE)


def _burst(number: int) -> bool:
    try:
        return guess(MOMENT + SECOND * (number % 10))
    finally:
        connection.close()


@pytest.mark.django_db(transaction=True)
def test_k07_a_burst_over_several_servers_gets_five_in_all() -> None:
    """K07: each process counted wrong tries for itself, and the count was raised after the look.

    Each thread has a connection of its own, as each server has; nothing is kept in memory.
    """
    with ThreadPoolExecutor(8) as servers:
        looked_at = list(servers.map(_burst, range(40)))
    assert sum(looked_at) == 5
    assert PasswordTry.objects.filter(refused=False).count() == 5
    assert verify_chain() is None
    assert User.objects.count() == 0
