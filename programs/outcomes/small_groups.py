"""Which numbers of people are told, so that no small group can be worked out from the others.

A group of one to four people is "fewer than 5", and nothing else is told of it. Nobody, 0, is
told: it describes nobody. The rules are a project choice.
"""

from __future__ import annotations

from collections.abc import Mapping

#: No page is made of fewer people than the first; a group of fewer than the second is not told.
LEAST_PEOPLE, LEAST_OF_GROUP = 10, 5
FEWER = f"fewer than {LEAST_OF_GROUP}"
OR_MORE = f"{LEAST_OF_GROUP} or more"
KEPT_BACK = "not shown"


def is_small(people: int) -> bool:
    """Tell whether a group is too small to be told, and is not empty."""
    return 0 < people < LEAST_OF_GROUP


def of_all(people: int, everybody: int) -> str:
    """Return how many of all a group holds, as far as it may be told.

    Where few are left over, they could be worked out: then only that there are at least so many.
    """
    if is_small(people):
        return FEWER
    least = everybody - LEAST_OF_GROUP + 1
    return f"at least {least}" if is_small(everybody - people) else str(people)


def split(groups: Mapping[str, int]) -> dict[str, str]:
    """Return what is told of groups that add up to a number that is told.

    With a small group among them only whether each is small is told. Of a sum at which even that
    could give a size away nothing is told: it goes by the sum alone, which is known anyhow.
    """
    if not any(is_small(people) for people in groups.values()):
        return {name: str(people) for name, people in groups.items()}
    if _gives_away(len(groups), sum(groups.values())):
        return dict.fromkeys(groups, KEPT_BACK)
    return {name: _coarse(people) for name, people in groups.items()}


def _coarse(people: int) -> str:
    if is_small(people):
        return FEWER
    return OR_MORE if people else "0"


def _gives_away(groups: int, total: int) -> bool:
    """Tell whether so many groups of a sum may all be of their least size, or all of the most.

    Then each size is known, from the sum and from which are small. So is a lone small group.
    """
    if total < LEAST_OF_GROUP:
        return True
    for small in range(1, groups + 1):
        if total == small * (LEAST_OF_GROUP - 1):
            return True
        if any(total == small + LEAST_OF_GROUP * rest for rest in range(groups - small + 1)):
            return True
    return False


def with_another(groups: Mapping[str, int]) -> dict[str, bool]:
    """Return which groups are told of, where their sessions add up to a number that is told.

    Where only one is small, the smallest of the others is kept back beside it.
    """
    told = {name: not is_small(people) for name, people in groups.items()}
    others = [name for name, people in groups.items() if people >= LEAST_OF_GROUP]
    if sum(not one for one in told.values()) == 1 and others:
        told[min(others, key=lambda name: groups[name])] = False
    return told
