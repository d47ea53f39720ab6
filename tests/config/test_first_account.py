"""The first account: asked for at a terminal, made up without one, never made twice."""

import io
from collections.abc import Callable

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command

COMMAND = "programs.management.commands.first_account"


@pytest.fixture
def answers(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Sit at a terminal and give these answers, the passwords unseen."""

    def give(shown: list[str], unseen: list[str]) -> None:
        monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
        monkeypatch.setattr("builtins.input", lambda question: shown.pop(0))
        monkeypatch.setattr(f"{COMMAND}.getpass.getpass", lambda question: unseen.pop(0))

    return give


def first_account() -> str:
    said = io.StringIO()
    call_command("first_account", stdout=said)
    return said.getvalue()


@pytest.mark.django_db
def test_without_a_terminal_a_password_is_shown_once() -> None:
    said = first_account()
    user = User.objects.get(username="clinician")
    assert user.check_password(said.split()[-1])
    assert len(said.split()[-1]) >= 15
    assert first_account() == ""
    assert User.objects.count() == 1


@pytest.mark.django_db
def test_at_a_terminal_it_asks(answers: Callable[..., None]) -> None:
    long, other = "seven quiet herons", "eight quiet herons"
    answers(["", "", "Marta Ferro"], ["short", long, other, long, long])
    said = first_account()
    user = User.objects.get()
    assert (user.username, user.get_full_name()) == ("clinician", "Marta Ferro")
    assert user.check_password(long)
    assert "15 characters" in said
    assert "not the same" in said
    assert "type something" in said
