"""The blank form that a patient fills in before the first visit, from the facts' own codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patients.facts import before_first_visit, codes, her_words
from programs.papers.emergency import BLANK, blank_alarm
from programs.papers.numbers import isolated, line_start
from programs.papers.paper_parts import Alarm, Words, gettext_noop
from programs.signed.program import Clinic

#: What is said over the questions about signs that she has now (rulebook row 11).
WAIT = gettext_noop("If you tick yes here, do not wait for your visit.")
NOW = gettext_noop("For what the first box of this paper names, call the ambulance now: {number}")
TODAY = gettext_noop("For the rest, call us today: {phone}")


@dataclass(frozen=True, kw_only=True)
class Asked:
    """One question; written is what is written in where the answer is yes, or nothing."""

    text: str
    written: str


@dataclass(frozen=True, kw_only=True)
class Questions:
    """Questions that are answered yes, no or don't know.

    first   what stands over them: what a yes asks of her at once
    """

    title: str
    asked: tuple[Asked, ...]
    first: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Questionnaire:
    """What the form asks; the rest of its lines stand in the template."""

    alarm: Alarm
    tables: tuple[Questions, ...]
    falls: Questions
    help: Questions
    fracture_sites: tuple[str, ...]
    days: tuple[str, ...]
    equipment: tuple[str, ...]
    aims: tuple[str, ...]
    own_goal: str


def questionnaire(words: Words, clinic: Clinic) -> Questionnaire:
    """Return the form."""
    help_ = {**before_first_visit.HELP, "plate": before_first_visit.PLATE}
    return Questionnaire(
        alarm=blank_alarm(clinic, words),
        tables=tuple(
            _table(
                code,
                words.gettext(title),
                labels,
                words,
                first=_at_once(clinic, words) if code == "symptoms" else (),
            )
            for code, title, labels in before_first_visit.TABLES
        ),
        falls=_table("falls", words.gettext("Falls"), before_first_visit.FALLS, words),
        help=_table("help", words.gettext("Help at home"), help_, words),
        fracture_sites=_labels(her_words.BONES, words),
        days=tuple(line_start(day) for day in _labels(codes.DAYS, words)),
        equipment=_labels(her_words.EQUIPMENT, words),
        aims=_labels(her_words.AIMS, words),
        own_goal=words.gettext(before_first_visit.OWN_GOAL),
    )


def _table(
    code: str,
    title: str,
    labels: Mapping[str, str],
    words: Words,
    first: tuple[str, ...] = (),
) -> Questions:
    written = {
        one: words.gettext(text)
        for section, codes_, text in before_first_visit.WRITTEN_IN
        if section == code
        for one in codes_
    }
    return Questions(
        title=title,
        asked=tuple(
            Asked(text=words.gettext(label), written=written.get(one, ""))
            for one, label in labels.items()
        ),
        first=first,
    )


def _at_once(clinic: Clinic, words: Words) -> tuple[str, ...]:
    blank = words.gettext(BLANK)
    return (
        words.gettext(WAIT),
        words.gettext(NOW).format(
            number=isolated(clinic.number, words) or clinic.emergency or blank
        ),
        words.gettext(TODAY).format(phone=isolated(clinic.phone, words) or blank),
    )


def _labels(labels: Mapping[str, str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(label) for label in labels.values())
