"""The glossary: terms, questions, codes, levels and sources, made from their declarations."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from patients.facts import declared, declared_plate
from patients.facts.question import Ask, Kind, asks
from programs.help.terms import KIND_MEANS, LEVEL_MEANS, TERMS
from safety.modalities import MODALITIES
from safety.sources import SOURCES
from safety.words import CATEGORY_WORDS, LEVEL_WORDS, RISK_WORDS

#: The dataclasses of facts, each with the heading of its questions.
_ASKED: tuple[tuple[type[Any], str], ...] = (
    (declared.Person, "Height, weight and menopause"),
    (declared.Fracture, "Fractures"),
    (declared.SpineImage, "Image of the spine"),
    (declared.Probability, "Ten-year probability"),
    (declared.Scan, "Scans"),
    (declared.Turnover, "Bone markers"),
    (declared.Falls, "Falls"),
    (declared.Tests, "Function tests and blood pressure"),
    (declared.Condition, "Conditions"),
    (declared.Symptom, "Red flags"),
    (declared.Medicine, "Medicines"),
    (declared.Clearance, "Clearances"),
    (declared.Experience, "Experience"),
    (declared.Resources, "Time, help and equipment"),
    (declared_plate.Plate, "Vibration plates"),
    (declared_plate.FrequencyRange, "Frequency of a plate"),
    (declared_plate.Displacement, "Displacement of a plate"),
    (declared_plate.MeasuredPanel, "Panel of a measured plate"),
    (declared.Lift, "Lifts"),
)
#: Lists of the facts document whose codes have words of their own.
_LISTS = ("conditions", "symptoms", "medicines", "aims")
_WORDS: Mapping[str, tuple[str, Mapping[Any, str], Mapping[Any, str]]] = {
    "levels": ("How serious a finding is", LEVEL_WORDS, LEVEL_MEANS),
    "risks": ("Levels of risk", RISK_WORDS, {}),
    "categories": ("Categories of bone density", CATEGORY_WORDS, {}),
}


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One line of the glossary.

    anchor    its place on the page
    text      what it means, or how it is asked for
    unit      with the believable range, where it is a number
    answers   the words of its codes
    sources   each in one line
    """

    anchor: str
    word: str
    text: str = ""
    unit: str = ""
    answers: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Group:
    """Entries under one heading."""

    anchor: str
    title: str
    entries: tuple[Entry, ...]


@cache
def groups() -> tuple[Group, ...]:
    """Return the whole glossary, in the order of the page."""
    return (
        Group(anchor="terms", title="Terms of the trade", entries=tuple(_terms())),
        Group(anchor="kinds", title="Kinds of loading", entries=tuple(_kinds())),
        *(_words(code, *told) for code, told in _WORDS.items()),
        *(_questions(of, title) for of, title in _ASKED),
        *(_list(name) for name in _LISTS),
        Group(anchor="sources", title="Sources", entries=tuple(_sources())),
    )


@cache
def by_anchor() -> Mapping[str, str]:
    """Return the word of each place on the page, groups included."""
    found = {group.anchor: group.title for group in groups()}
    return found | {one.anchor: one.word for group in groups() for one in group.entries}


def question_anchor(of: type[Any], name: str) -> str:
    """Return the place of a question."""
    return f"{of.__name__.lower()}-{name}"


def _terms() -> Iterator[Entry]:
    for term in sorted(TERMS, key=lambda one: one.word.lower()):
        yield Entry(
            anchor=term.code,
            word=term.word,
            text=term.text,
            unit=term.unit,
            sources=tuple(SOURCES[key].text for key in term.keys),
        )


def _kinds() -> Iterator[Entry]:
    for kind, row in MODALITIES.items():
        yield Entry(anchor=f"kind-{kind}", word=row.name, text=KIND_MEANS[kind], unit=row.strength)


def _words(code: str, title: str, words: Mapping[Any, str], means: Mapping[Any, str]) -> Group:
    entries = tuple(
        Entry(anchor=f"{code}-{key}", word=word, text=means.get(key, ""))
        for key, word in words.items()
    )
    return Group(anchor=code, title=title, entries=entries)


def _questions(of: type[Any], title: str) -> Group:
    entries = tuple(
        Entry(
            anchor=question_anchor(of, name),
            word=ask.question,
            text=ask.help,
            unit=_unit(ask),
            answers=_answers(ask),
        )
        for name, ask in asks(of).items()
        if ask.kind not in (Kind.GROUP, Kind.LIST)
    )
    return Group(anchor=of.__name__.lower(), title=title, entries=entries)


def _unit(ask: Ask) -> str:
    """Return the unit and the range that is believable."""
    if ask.low is None or ask.high is None:
        return ask.unit
    low, high = (f"{end:g}".replace("-", "\u2212") for end in (ask.low, ask.high))
    return f"{ask.unit}, {low} to {high}" if ask.unit else f"{low} to {high}"


def _answers(ask: Ask) -> tuple[str, ...]:
    if ask.kind is Kind.YES_NO:
        return ("yes", "no")
    return tuple((ask.choices or {}).values())


def _list(name: str) -> Group:
    """Return the codes of a list of the facts, such as the conditions."""
    ask = asks(declared.Facts)[name]
    entries = tuple(
        Entry(anchor=f"{name}-{code}", word=word) for code, word in (ask.choices or {}).items()
    )
    return Group(anchor=name, title=f"List: {ask.question.lower()}", entries=entries)


def _sources() -> Iterator[Entry]:
    for source in SOURCES.values():
        checked = "Read in a public text." if source.checked else "From memory, to be confirmed."
        yield Entry(
            anchor=f"source-{source.key}", word=source.title, text=f"{source.where} {checked}"
        )
