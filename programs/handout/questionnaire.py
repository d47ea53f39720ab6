"""The blank form that a patient fills in before the first visit, from the facts' own codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patients import codes
from programs.handout.said import Words, gettext_noop

_TITLES = (
    (gettext_noop("Do you have, or have you had:"), codes.CONDITIONS),
    (gettext_noop("Do you have now:"), codes.SYMPTOMS),
    (gettext_noop("Do you take:"), codes.MEDICINES),
)
_FALLS = (
    gettext_noop("Did any fall hurt you?"),
    gettext_noop("Did you lie on the floor for more than 1 hour?"),
    gettext_noop("Did you black out in any fall?"),
    gettext_noop("Do you feel unsteady when you stand or walk?"),
    gettext_noop("Do you worry about falling?"),
)
_HELP = (
    gettext_noop("Is there something fixed to hold, like a rail?"),
    gettext_noop("Can another adult watch you at home?"),
    gettext_noop("Do you have a vibration plate?"),
)


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
            for title, labels in _TITLES
        ),
        falls=Questions(
            title=words.gettext("Falls"), asked=tuple(words.gettext(text) for text in _FALLS)
        ),
        help=Questions(
            title=words.gettext("Help at home"),
            asked=tuple(words.gettext(text) for text in _HELP),
        ),
        fracture_sites=_labels(codes.FRACTURE_SITES, words),
        days=_labels(codes.DAYS, words),
        equipment=_labels(codes.EQUIPMENT, words),
        aims=_labels(codes.AIMS, words),
    )


def _labels(labels: Mapping[str, str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(label) for label in labels.values())
