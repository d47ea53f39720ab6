"""The first account: asked for at a terminal, made up without one, never made twice."""

import io
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command

from patients.audit import verify_chain
from patients.may import may_keep_people, may_sign
from patients.models.patient import Audit

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
def test_without_a_terminal_the_password_goes_to_a_file_and_to_no_log(
    tmp_path: Path, settings: Any
) -> None:
    settings.STATE_DIR = tmp_path
    said = first_account()
    user, file = User.objects.get(username="clinician"), tmp_path / "first_password"
    password = file.read_text().split()[-1]
    assert user.check_password(password)
    assert len(password) >= 15
    assert password not in said
    assert str(file) in said
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert first_account() == ""
    assert User.objects.count() == 1


@pytest.mark.django_db
def test_a_file_that_is_there_is_not_written_into(tmp_path: Path, settings: Any) -> None:
    """Else whoever made it first, for all to read, would read the password."""
    settings.STATE_DIR = tmp_path
    (tmp_path / "first_password").touch(mode=0o644)
    first_account()
    assert stat.S_IMODE((tmp_path / "first_password").stat().st_mode) == 0o600


@pytest.mark.django_db
def test_the_first_account_may_sign_and_keep_people(answers: Callable[..., None]) -> None:
    answers(["first", "Marta Ferro"], ["seven quiet herons", "seven quiet herons"])
    first_account()
    user = User.objects.get()
    assert may_sign(user)
    assert may_keep_people(user)
    assert verify_chain() is None
    assert Audit.objects.filter(action="give role", actor=None).count() == 2


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
