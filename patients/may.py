"""What somebody may do, one question a decision; asked by pages, by their addresses, by actions.

Roles are read anew for each request and by each action, so that one taken away counts at once.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib.auth.models import AnonymousUser, User

from patients.models.staff import RoleChange
from patients.staff.rights import Right, Role, rights_of


def roles_of(people: Iterable[User]) -> dict[int, frozenset[Role]]:
    """Return the roles of each of these people today, by their numbers."""
    held: dict[int, set[Role]] = {one.pk: set() for one in people}
    for row in RoleChange.objects.filter(who__in=list(held)).order_by("id"):
        (held[row.who_id].add if row.given else held[row.who_id].discard)(Role(row.role))
    return {number: frozenset(roles) for number, roles in held.items()}


def rights_today(by: User | AnonymousUser) -> frozenset[Right]:
    """Return what somebody may do now; nothing where she is switched off or not signed in."""
    if not isinstance(by, User) or not by.is_active:
        return frozenset()
    return rights_of(roles_of([by])[by.pk])


def may(by: User | AnonymousUser, right: Right) -> bool:
    """Tell whether somebody has a right now."""
    return right in rights_today(by)


def may_read(by: User | AnonymousUser) -> bool:
    """Tell whether somebody may read the records of patients."""
    return may(by, Right.READ)


def may_clear(by: User) -> bool:
    """Tell whether somebody may record or strike out a clearance."""
    return may(by, Right.CLEAR)


def may_join(by: User) -> bool:
    """Tell whether somebody may close, join or part records."""
    return may(by, Right.JOIN)


def may_sign(by: User) -> bool:
    """Tell whether somebody may sign a program."""
    return may(by, Right.SIGN)


def may_review(by: User) -> bool:
    """Tell whether somebody may decide a review."""
    return may(by, Right.REVIEW)


def may_erase(by: User) -> bool:
    """Tell whether somebody may have a person erased by law."""
    return may(by, Right.ERASE)


def may_set_limits(by: User) -> bool:
    """Tell whether somebody may set the limits of the clinic."""
    return may(by, Right.LIMITS)


def may_keep_people(by: User) -> bool:
    """Tell whether somebody may look after the people of the clinic."""
    return may(by, Right.PEOPLE)
