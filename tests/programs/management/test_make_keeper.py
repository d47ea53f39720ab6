"""A keeper made by the shell, where none is left."""

import io
import re

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from patients.actions.staff import whose_code
from patients.may import may_keep_people
from patients.staff.rights import Role
from tests.staff import person_of

pytestmark = pytest.mark.django_db


def make_keeper(*asked: str) -> str:
    said = io.StringIO()
    call_command("make_keeper", *asked, stdout=said)
    return said.getvalue()


def test_a_keeper_is_made_with_a_code() -> None:
    her = person_of(Role.CLINICIAN, username="a.berg")
    said = make_keeper("a.berg", "--code")
    assert may_keep_people(her)
    code = re.findall(r": ([A-Z2-7-]+)$", said.strip())[0]
    assert whose_code(code, timezone.now()) == her


def test_where_there_is_one_she_is_named() -> None:
    person_of(Role.KEEPER, username="keeper")
    person_of(Role.CLINICIAN, username="a.berg")
    with pytest.raises(CommandError, match="There is a keeper: keeper"):
        make_keeper("a.berg")


def test_who_is_not_there_is_said_with_who_is() -> None:
    person_of(Role.CLINICIAN, username="a.berg")
    with pytest.raises(CommandError, match=r"no account x\. There are: a\.berg"):
        make_keeper("x")
