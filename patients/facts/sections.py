"""The sections in which facts are asked for, and where their answers stand in a document."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, fields
from typing import Any

from patients.facts.declared import Resources


@dataclass(frozen=True, kw_only=True)
class Section:
    """One page of questions.

    keys  the entries of the facts document that its answers fill, as dotted paths
    """

    code: str
    title: str
    keys: tuple[str, ...] = ()


_RESOURCES = tuple(f"resources.{f.name}" for f in fields(Resources) if f.name != "plates")

SECTIONS: Mapping[str, Section] = {
    section.code: section
    for section in (
        Section(
            code="about",
            title="Height, weight and menopause",
            keys=(
                "person.pregnant",
                "person.menopause",
                "person.tallest_height_cm",
                "person.mobility",
            ),
        ),
        Section(
            code="fractures",
            title="Fractures",
            keys=("fractures", "spine_image", "probability_10y"),
        ),
        Section(code="scans", title="Scans and bone markers", keys=("scans", "turnover")),
        Section(code="falls", title="Falls", keys=("falls",)),
        Section(code="tests", title="Function tests and blood pressure"),
        Section(code="conditions", title="Conditions", keys=("conditions",)),
        Section(code="symptoms", title="Red flags", keys=("symptoms",)),
        Section(code="medicines", title="Medicines", keys=("medicines",)),
        Section(
            code="aims",
            title="Aims and time",
            keys=("aims", "own_goal", "experience", *_RESOURCES),
        ),
        Section(code="plates", title="Vibration plates", keys=("resources.plates",)),
        Section(code="lifts", title="Lifts", keys=("lifts",)),
    )
}


def following(code: str) -> Section | None:
    """Return the section after this one, or None after the last."""
    order = list(SECTIONS)
    place = order.index(code) + 1
    return SECTIONS[order[place]] if place < len(order) else None


def taken(answers: Mapping[str, Any], section: Section) -> dict[str, Any]:
    """Return the section's own part of the answers, in the shape of the document."""
    part: dict[str, Any] = {}
    for key in section.keys:
        value = value_at(answers, key)
        if value is not None:
            put(part, key, value)
    return part


def merged(answers: Mapping[str, Any], section: Section, part: Mapping[str, Any]) -> dict[str, Any]:
    """Return the answers with the section's part replaced by this one."""
    whole = deepcopy(dict(answers))
    for key in section.keys:
        put(whole, key, value_at(part, key))
    return whole


def value_at(document: Mapping[str, Any], path: str) -> Any:
    """Return what stands at a dotted path, or None."""
    here: Any = document
    for key in path.split("."):
        here = here.get(key) if isinstance(here, Mapping) else None
    return here


def put(document: dict[str, Any], path: str, value: Any) -> None:
    """Set what stands at a dotted path; None takes it away, and a group left empty with it."""
    key, _, rest = path.partition(".")
    if rest:
        inner = dict(document.get(key) or {})
        put(inner, rest, value)
        value = inner or None
    if value is None:
        document.pop(key, None)
    else:
        document[key] = value
