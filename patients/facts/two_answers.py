"""Where two sets of answers differ, question by question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from patients.facts.sections import value_at


def differing(
    one: Mapping[str, Any], other: Mapping[str, Any], keys: Iterable[str]
) -> Iterator[str]:
    """Yield the dotted path of each answer that differs; an answer of one alone differs too.

    keys   the entries to look at; of a group each of its answers is looked at by itself
    """
    for key in keys:
        mine, theirs = value_at(one, key), value_at(other, key)
        if mine == theirs:
            continue
        if _is_group(mine) and _is_group(theirs):
            inner = dict.fromkeys([*(mine or {}), *(theirs or {})])
            both = ((name, (mine or {}).get(name), (theirs or {}).get(name)) for name in inner)
            yield from (f"{key}.{name}" for name, a, b in both if a != b)
        else:
            yield key


def _is_group(value: Any) -> bool:
    return value is None or isinstance(value, Mapping)
