"""People of the clinic for the tests: accounts with roles, without lines in the record."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib.auth.models import User

from patients.models.staff import RoleChange
from patients.staff.rights import Role

GIVEN_AT = dt.datetime(2026, 1, 5, 8, 0, tzinfo=dt.UTC)


def give_roles(user: User, *roles: Role) -> None:
    """Give somebody roles."""
    for role in roles:
        RoleChange.objects.create(who=user, role=role, given=True, at=GIVEN_AT)


def person_of(*roles: Role, username: str, **more: Any) -> User:
    """Return a saved account with these roles."""
    user = User.objects.create_user(username, **{"first_name": f"Test {username}"} | more)
    give_roles(user, *roles)
    return user
