"""All that changes who works here: accounts, names, roles, codes for a new password."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import secrets
from collections.abc import Collection
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from patients import audit
from patients.actions.refusals import Refused
from patients.actions.told_passwords import told_password
from patients.may import may_keep_people, roles_of
from patients.models.staff import PasswordCode, RoleChange
from patients.staff.rights import Right, Role, why_not

CODE_BYTES = 16
CODE_LASTS = dt.timedelta(hours=24)
NAME_AT_MOST = 150
LAST_KEEPER = "Nobody else looks after the people of the clinic. Make somebody else a keeper first."


def add_person(
    *,
    username: str,
    full_name: str,
    roles: Collection[Role],
    by: User | None,
    at: dt.datetime,
    password: str | None = None,
) -> User:
    """Add somebody who works here; without a password she sets one with a code.

    Raises Refused where the name of the account is taken or cannot be one.
    """
    with audit.writing():
        _refuse_unless_keeper(by)
        if User.objects.filter(username__iexact=username).exists():
            raise Refused("There is an account of this name already.")
        user = User(username=username, first_name=_full(full_name))
        user.set_password(password)
        try:
            user.clean_fields(exclude=["password"])
        except ValidationError as wrong:
            raise Refused(" ".join(wrong.messages)) from wrong
        user.save()
        new = _state(user) | told_password(user)
        audit.record(by=by, at=at, action="add person", on=user, new=new)
        for role in sorted(roles):
            _change_role(user, role, True, by, at)
    return user


def set_full_name(*, user: User, full_name: str, by: User | None, at: dt.datetime) -> None:
    """Set somebody's full name; one's own, or as keeper. What was signed keeps the old one."""
    with audit.writing():
        user = _fresh(user)
        if by is None or by.pk != user.pk:
            _refuse_unless_keeper(by)
        old, name = user.get_full_name(), _full(full_name)
        if name == old:
            return
        # The whole name stands in first_name: names do not all split in two.
        user.first_name, user.last_name = name, ""
        user.save(update_fields=["first_name", "last_name"])
        audit.record(
            by=by,
            at=at,
            action="name person",
            on=user,
            old={"full_name": old},
            new={"full_name": name},
        )


def set_roles(*, user: User, roles: Collection[Role], by: User | None, at: dt.datetime) -> None:
    """Give somebody just these roles. Raises Refused for the last keeper's own."""
    with audit.writing():
        _refuse_unless_keeper(by)
        held = roles_of([user])[user.pk]
        if Role.KEEPER in held and Role.KEEPER not in roles:
            _refuse_last_keeper(user)
        for role in Role:
            if (role in held) != (role in roles):
                _change_role(user, role, role in roles, by, at)


def switch(*, user: User, on: bool, by: User | None, at: dt.datetime) -> None:
    """Let somebody in again, or switch her off: signed out at once, what she did keeps her name.

    Raises Refused for the last keeper.
    """
    with audit.writing():
        _refuse_unless_keeper(by)
        user = _fresh(user)
        if user.is_active == on:
            return
        if not on:
            _refuse_last_keeper(user)
            _end_codes(user, at)
        user.is_active = on
        user.save(update_fields=["is_active"])
        action = "switch person on" if on else "switch person off"
        audit.record(
            by=by,
            at=at,
            action=action,
            on=user,
            old={"is_active": not on},
            new={"is_active": on},
        )


def give_code(*, user: User, by: User | None, at: dt.datetime) -> str:
    """Return a code with which somebody sets a new password once, within a day.

    It is nowhere kept and shown this once; the ones before it end. The password she has
    holds until then.
    """
    with audit.writing():
        _refuse_unless_keeper(by)
        if not _fresh(user).is_active:
            raise Refused("This account is switched off. Switch it on first.")
        _end_codes(user, at)
        code = base64.b32encode(secrets.token_bytes(CODE_BYTES)).decode().rstrip("=")
        PasswordCode.objects.create(who=user, digest=_digest(code), made_by=by, made_at=at)
        audit.record(by=by, at=at, action="give code for a password", on=user)
    return "-".join(code[start : start + 5] for start in range(0, len(code), 5))


def whose_code(code: str, at: dt.datetime) -> User | None:
    """Return whose code this is, where it may still be used."""
    found = _usable_code(code, at)
    return found.who if found else None


def set_password_by_code(*, code: str, password: str, at: dt.datetime) -> User:
    """Set a new password, which ends every session of hers. Raises Refused without a usable code.

    The caller has looked the password over.
    """
    with audit.writing():
        found = _usable_code(code, at)
        if found is None:
            raise Refused("This code has been used, is too old or is mistyped. Ask for a new one.")
        user: User = found.who
        _end_codes(user, at)
        user.set_password(password)
        user.save(update_fields=["password"])
        new = told_password(user)
        audit.record(by=user, at=at, action="set password by code", on=user, new=new)
    return user


def change_password(*, user: User, password: str, at: dt.datetime) -> None:
    """Set one's own new password; the caller has asked for the old one and looked at the new."""
    with audit.writing():
        user.set_password(password)
        user.save(update_fields=["password"])
        _end_codes(user, at)
        new = told_password(user)
        audit.record(by=user, at=at, action="change password", on=user, new=new)


def make_keeper(*, user: User, at: dt.datetime, by: User | None = None) -> None:
    """Make a keeper by the shell, where none is left. Raises Refused where there is one."""
    with audit.writing():
        if there := keepers():
            raise Refused(f"There is a keeper: {', '.join(one.username for one in there)}.")
        user = _fresh(user)
        if not user.is_active:
            user.is_active = True
            user.save(update_fields=["is_active"])
            audit.record(by=by, at=at, action="switch person on", on=user)
        if Role.KEEPER not in roles_of([user])[user.pk]:
            _change_role(user, Role.KEEPER, True, by, at)


def keepers() -> list[User]:
    """Return who may look after the people today, the switched off left out."""
    people = list(User.objects.filter(is_active=True).order_by("pk"))
    held = roles_of(people)
    return [one for one in people if Role.KEEPER in held[one.pk]]


def _change_role(user: User, role: Role, given: bool, by: User | None, at: dt.datetime) -> None:
    row = RoleChange.objects.create(who=user, role=role, given=given, by=by, at=at)
    action = "give role" if given else "take role"
    audit.record(by=by, at=at, action=action, on=row, new=audit.state_of(row))


def _refuse_unless_keeper(by: User | None) -> None:
    if by is not None and not may_keep_people(by):
        raise Refused(why_not(Right.PEOPLE))


def _refuse_last_keeper(user: User) -> None:
    there = {one.pk for one in keepers()}
    if there == {user.pk}:
        raise Refused(LAST_KEEPER)


def _end_codes(user: User, at: dt.datetime) -> None:
    PasswordCode.objects.filter(who=user, ended_at=None).update(ended_at=at)


def _usable_code(code: str, at: dt.datetime) -> PasswordCode | None:
    rows = PasswordCode.objects.filter(
        digest=_digest(code),
        ended_at=None,
        made_at__gt=at - CODE_LASTS,
        who__is_active=True,
    )
    return rows.select_related("who").first()


def _digest(code: str) -> str:
    """Return what is kept of a code; typed with or without dashes, in any case, is the same."""
    plain = "".join(code.split()).replace("-", "").upper()
    return hashlib.sha256(plain.encode()).hexdigest()


def _full(name: str) -> str:
    name = " ".join(name.split())
    if not name:
        raise Refused("A full name is needed: it appears on what is signed.")
    if len(name) > NAME_AT_MOST:
        raise Refused(f"A name has {NAME_AT_MOST} letters at most.")
    return name


def _fresh(user: User) -> User:
    return User.objects.get(pk=user.pk)


def _state(user: User) -> dict[str, Any]:
    return {
        "username": user.username,
        "full_name": user.get_full_name(),
        "is_active": user.is_active,
    }
