"""Who works here: what is refused, what is written down, and what past work keeps."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, models, transaction

from patients.actions import staff
from patients.actions.refusals import Refused
from patients.audit import verify_chain
from patients.kept_rows import NeverChanged
from patients.may import (
    may_clear,
    may_join,
    may_keep_people,
    may_read,
    may_review,
    may_set_limits,
    may_sign,
    roles_of,
)
from patients.models.patient import Audit
from patients.models.staff import RoleChange
from patients.staff.rights import Role
from tests.factories import MOMENT, PatientFactory
from tests.staff import person_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> User:
    return person_of(Role.KEEPER, username="keeper")


def test_only_a_keeper_changes_people(keeper: User) -> None:
    by, other = person_of(Role.CLINICIAN, username="by"), person_of(username="other")
    who = {"by": by, "at": MOMENT}
    for refused in (
        lambda: staff.add_person(username="x", full_name="X", roles=[], **who),
        lambda: staff.set_full_name(user=other, full_name="X", **who),
        lambda: staff.set_roles(user=by, roles=[Role.KEEPER], **who),
        lambda: staff.switch(user=other, on=False, **who),
        lambda: staff.give_code(user=other, **who),
    ):
        with pytest.raises(Refused, match="may not look after the people"):
            refused()
    assert Audit.objects.count() == 0
    assert not may_keep_people(by)


def test_a_keeper_who_is_switched_off_keeps_nobody(keeper: User) -> None:
    second = person_of(Role.KEEPER, username="second")
    staff.switch(user=second, on=False, by=keeper, at=MOMENT)
    second.refresh_from_db()
    assert not may_keep_people(second)
    with pytest.raises(Refused, match="Nobody else"):
        staff.switch(user=keeper, on=False, by=keeper, at=MOMENT)
    with pytest.raises(Refused, match="Nobody else"):
        staff.set_roles(user=keeper, roles=[], by=keeper, at=MOMENT)


def test_what_changes_nothing_is_not_written_down(keeper: User) -> None:
    staff.switch(user=keeper, on=True, by=keeper, at=MOMENT)
    staff.set_roles(user=keeper, roles=[Role.KEEPER], by=keeper, at=MOMENT)
    staff.set_full_name(user=keeper, full_name="Test keeper", by=keeper, at=MOMENT)
    assert Audit.objects.count() == 0


@pytest.mark.parametrize("name", ["x" * 151, "", "\t \n"])
def test_a_name_is_needed_and_fits_its_column(keeper: User, name: str) -> None:
    with pytest.raises(Refused, match="name"):
        staff.set_full_name(user=keeper, full_name=name, by=keeper, at=MOMENT)


def test_a_role_given_and_taken_is_two_rows_that_stay(keeper: User) -> None:
    her = person_of(username="her")
    for roles in ([Role.CLINICIAN], []):
        staff.set_roles(user=her, roles=roles, by=keeper, at=MOMENT)
    assert list(RoleChange.objects.filter(who=her).values_list("given", flat=True)) == [True, False]
    assert [*Audit.objects.order_by("seq").values_list("action", flat=True)] == [
        "give role",
        "take role",
    ]
    row = RoleChange.objects.filter(who=her).first()
    assert row is not None
    with pytest.raises(NeverChanged):
        row.save()
    for refused in (models.Model.save, models.Model.delete):
        with pytest.raises(DatabaseError), transaction.atomic():
            refused(row)
    assert verify_chain() is None


def test_one_question_a_decision() -> None:
    asked = (may_read, may_clear, may_join, may_sign, may_review, may_set_limits, may_keep_people)
    people = {role: person_of(role, username=str(role)) for role in Role}
    answers = {role: [one(person) for one in asked] for role, person in people.items()}
    assert answers == {
        Role.CLINICIAN: [True, True, True, True, True, True, False],
        Role.ASSISTANT: [True, False, False, False, False, False, False],
        Role.KEEPER: [False, False, False, False, False, False, True],
    }


def test_k05_who_has_worked_here_is_never_deleted(keeper: User) -> None:
    """K05: deleting an account emptied its trail."""
    her = person_of(Role.CLINICIAN, username="her")
    PatientFactory(created_by=her)
    with pytest.raises(models.ProtectedError):
        her.delete()
    staff.switch(user=her, on=False, by=keeper, at=MOMENT)
    assert User.objects.get(pk=her.pk).get_full_name() == "Test her"


def test_k09_a_new_name_leaves_what_was_written_under_the_old_one(keeper: User) -> None:
    """K09: a new name of the user appeared on what she had signed before."""
    her = person_of(username="her")
    staff.set_roles(user=her, roles=[Role.CLINICIAN], by=keeper, at=MOMENT)
    staff.set_full_name(user=keeper, full_name="Somebody Else", by=keeper, at=MOMENT)
    names = list(Audit.objects.order_by("seq").values_list("actor_name", flat=True))
    assert names == ["Test keeper", "Test keeper"]
    keeper.refresh_from_db()
    staff.switch(user=her, on=False, by=keeper, at=MOMENT)
    last = Audit.objects.order_by("-seq").first()
    assert last is not None
    assert last.actor_name == "Somebody Else"


def test_a_keeper_is_made_by_the_shell_only_where_none_is_left(keeper: User) -> None:
    her = person_of(Role.CLINICIAN, username="her")
    with pytest.raises(Refused, match="There is a keeper: keeper"):
        staff.make_keeper(user=her, at=MOMENT)
    User.objects.filter(pk=keeper.pk).update(is_active=False)
    her.is_active = False
    her.save()
    staff.make_keeper(user=her, at=MOMENT)
    her.refresh_from_db()
    assert her.is_active
    assert Role.KEEPER in roles_of([her])[her.pk]
    assert set(Audit.objects.values_list("actor_name", flat=True)) == {"the system"}
    User.objects.filter(pk=her.pk).update(is_active=False)
    her.refresh_from_db()
    staff.make_keeper(user=her, at=MOMENT)
    assert RoleChange.objects.filter(who=her, role=Role.KEEPER).count() == 1


def test_a_code_that_ended_meanwhile_sets_nothing(keeper: User) -> None:
    code = staff.give_code(user=keeper, by=keeper, at=MOMENT)
    assert staff.whose_code(code, MOMENT) == keeper
    staff.set_password_by_code(code=code, password="seven quiet herons", at=MOMENT)
    assert staff.whose_code(code, MOMENT) is None
    with pytest.raises(Refused, match="Ask for a new one"):
        staff.set_password_by_code(code=code, password="eight quiet herons", at=MOMENT)
