"""The blank form that a patient fills in before the first visit, from the facts' own codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patients import codes, previsit
from programs.handout.numbers import line_start
from programs.handout.said import Words


@dataclass(frozen=True, kw_only=True)
class Questions:
    """Questions that are answered yes, no or don't know."""

    title: str
    asked: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Questionnaire:
    """What the form asks; the rest of its lines stand in the template."""

    tables: tuple[Questions, ...]
    falls: Questions
    help: Questions
    fracture_sites: tuple[str, ...]
    days: tuple[str, ...]
    equipment: tuple[str, ...]
    aims: tuple[str, ...]


def questionnaire(words: Words) -> Questionnaire:
    """Return the form."""
    return Questionnaire(
        tables=tuple(
            Questions(title=words.gettext(title), asked=_labels(labels, words))
            for _, title, labels in previsit.TABLES
        ),
        falls=Questions(title=words.gettext("Falls"), asked=_labels(previsit.FALLS, words)),
        help=Questions(
            title=words.gettext("Help at home"),
            asked=(*_labels(previsit.HELP, words), words.gettext(previsit.PLATE)),
        ),
        fracture_sites=_labels(codes.FRACTURE_SITES, words),
        days=tuple(line_start(day) for day in _labels(codes.DAYS, words)),
        equipment=_labels(codes.EQUIPMENT, words),
        aims=_labels(codes.AIMS, words),
    )


def _labels(labels: Mapping[str, str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(label) for label in labels.values())
