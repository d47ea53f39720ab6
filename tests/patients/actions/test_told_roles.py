"""A role is one that the record tells of; those that the move gave are told of once, not later."""

from __future__ import annotations

import datetime as dt
from io import StringIO
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from patients import audit
from patients.actions.staff import add_person, set_roles
from patients.actions.told_roles import TELL_ROLE, roles_not_as_told, tell_of_the_move
from patients.append_only import drop_triggers
from patients.models.patient import Audit
from patients.models.staff import RoleChange
from patients.staff.rights import Role
from programs.actions.record_check import look_at_the_end, look_over
from tests.factories import MOMENT

pytestmark = pytest.mark.database

HOUR = dt.timedelta(hours=1)


@pytest.fixture
def keeper(db: None) -> User:
    """Somebody whom the program added, with lines that tell of her roles."""
    roles = [Role.CLINICIAN, Role.KEEPER]
    return add_person(username="k.lund", full_name="K Lund", roles=roles, by=None, at=MOMENT)


def moved(*roles: Role, **more: Any) -> User:
    """Return an account from before there were roles, with those that the move gave it."""
    applied = MigrationRecorder.Migration.objects.get(name="0011_people_of_the_clinic").applied
    user = User.objects.create(username="m.ferro", date_joined=applied - 2 * HOUR)
    for role in roles:
        RoleChange.objects.create(who=user, role=role, given=True, at=applied - HOUR, **more)
    return user


def forged(user: User, **more: Any) -> RoleChange:
    held = {"role": Role.KEEPER, "given": True, "at": MOMENT} | more
    return RoleChange.objects.create(who=user, **held)


def test_what_the_program_gave_and_took_is_told(keeper: User) -> None:
    set_roles(user=keeper, roles=[Role.KEEPER, Role.ASSISTANT], by=None, at=MOMENT)
    assert list(roles_not_as_told()) == []
    assert look_over().broken == look_at_the_end() == ()


def test_a_role_written_into_the_database_is_found_by_both(keeper: User) -> None:
    row = forged(keeper, role=Role.ASSISTANT, by=keeper)
    told = (
        f"“assistant” of k.lund, row {row.pk} of the roles: no line of the record tells of it. "
        "It was put in outside the program."
    )
    assert look_over().broken == look_at_the_end() == (told,)


def test_a_changed_and_a_deleted_role_are_found(keeper: User) -> None:
    set_roles(user=keeper, roles=[Role.KEEPER], by=None, at=MOMENT)
    drop_triggers(connection.schema_editor(), ("patients_rolechange",))
    first, _, last = RoleChange.objects.order_by("pk")
    RoleChange.objects.filter(pk=first.pk).update(given=False)
    RoleChange.objects.filter(pk=last.pk)._raw_delete("default")
    gone = Audit.objects.get(action="take role")
    assert sorted(roles_not_as_told()) == [
        f"Line {gone.seq} of the record tells of row {last.pk} of the roles, which is gone.",
        f"“clinician” of k.lund, row {first.pk} of the roles: "
        "line 2 of the record tells otherwise.",
    ]


def test_a_line_that_was_changed_tells_nothing(keeper: User) -> None:
    drop_triggers(connection.schema_editor(), ("patients_audit",))
    Audit.objects.filter(action="give role").update(reason="because")
    assert len(list(roles_not_as_told())) == 2


def test_the_roles_of_the_move_are_told_of_once(db: None) -> None:
    user = moved(Role.CLINICIAN, Role.KEEPER)
    assert list(roles_not_as_told()) == []
    said = StringIO()
    call_command("migrate", stdout=said)
    assert "as given by the move to roles: keeper, m.ferro." in said.getvalue()
    lines = Audit.objects.filter(action=TELL_ROLE)
    assert lines.count() == 2
    assert lines[0].actor_name.startswith("on this machine, by the system user ")
    assert look_over().broken == ()
    forged(user, at=RoleChange.objects.earliest("pk").at)
    call_command("migrate", stdout=StringIO())
    assert lines.count() == 2
    assert len(look_at_the_end()) == 1


def test_after_any_role_that_is_told_of_a_later_row_is_none_of_the_move(keeper: User) -> None:
    """Whoever writes a row into a database that was never moved waits in vain."""
    moved(Role.KEEPER)
    assert tell_of_the_move(at=MOMENT) == []
    assert len(look_at_the_end()) == 1


@pytest.mark.parametrize("what", ["late", "by", "role", "taken", "young", "added", "number"])
def test_only_what_the_migration_can_have_given_is_told_of(db: None, what: str) -> None:
    user = moved(Role.CLINICIAN)
    at = RoleChange.objects.get().at
    other: dict[str, Any] = {"at": at}
    if what == "young":
        user = User.objects.create(username="young", date_joined=timezone.now())
    if what == "added":
        user = User.objects.create(username="added", date_joined=at - HOUR)
        with audit.writing():
            audit.record(by=None, at=MOMENT, action="add person", on=user)
    other |= {
        "late": {"at": timezone.now() + HOUR},
        "by": {"by": user},
        "role": {"role": Role.ASSISTANT},
        "taken": {"given": False},
        "number": {"pk": -1},
    }.get(what, {})
    row = forged(user, **other)
    assert row not in tell_of_the_move(at=MOMENT)
    assert [str(row.pk) in told for told in look_at_the_end()] == [True]


def test_without_the_move_nothing_is_told_of(db: None) -> None:
    moved(Role.CLINICIAN)
    MigrationRecorder.Migration.objects.filter(app="patients").delete()
    assert tell_of_the_move(at=MOMENT) == []


def test_another_key_tells_of_nothing(db: None, settings: Any) -> None:
    moved(Role.CLINICIAN)
    with audit.writing():
        audit.record(by=None, at=MOMENT, action="x", on=User.objects.get())
    settings.SECRET_KEY = "another key than the one that sealed the record so far"
    call_command("migrate", stdout=StringIO())
    assert not Audit.objects.filter(action=TELL_ROLE).exists()
