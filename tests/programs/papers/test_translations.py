"""Each translation says all that English says: every text, every number, every place for a name."""

from __future__ import annotations

import gettext
import io
import re
import string
from collections import Counter

import pytest
from babel.messages.mofile import write_mo

from programs.languages import DECLARED
from tests.plain_language import sentences, words
from tests.programs.papers.catalogues import CODES, Written, place, text_of, written
from tests.programs.patient_texts import texts

#: Other languages need more words than English, which keeps to twenty.
SENTENCE_LIMIT = 24
#: Which form of a word goes with no, one and two of a thing.
FORMS = {"es": [1, 0, 1], "fr": [0, 0, 1]}


@pytest.fixture(params=CODES)
def held(request: pytest.FixtureRequest) -> Written:
    return written(request.param)


def test_french_and_spanish_are_whole() -> None:
    assert {code for code in CODES if DECLARED[code].ready} >= {"es", "fr"}


def test_what_is_compiled_is_what_is_written(held: Written) -> None:
    anew = io.BytesIO()
    write_mo(anew, held.catalogue)
    anew.seek(0)
    with open(place(held.code) / "django.mo", "rb") as file:
        kept = gettext.GNUTranslations(file)
    assert entries(kept) == entries(gettext.GNUTranslations(anew))
    assert [kept.plural(n) for n in (0, 1, 2)] == FORMS[held.code]


def entries(held: gettext.GNUTranslations) -> dict[object, str]:
    """Return the texts; the header names the compiler's version."""
    return {key: text for key, text in held._catalog.items() if key}  # type: ignore[attr-defined]


def test_there_is_enough_to_translate() -> None:
    assert len(texts()) > 900


def test_every_text_for_a_patient_is_translated_and_nothing_else(held: Written) -> None:
    said = {text_of(message) for message in held.messages}
    wanted = set(texts())
    assert sorted(text.english for text in wanted - said) == []
    assert sorted(text.english for text in said - wanted) == []


def test_no_translation_is_empty_or_unsure(held: Written) -> None:
    assert [english for english, other in held.pairs if not other.strip()] == []
    assert [message.id for message in held.messages if message.fuzzy] == []


#: What a language writes as English does.
ALIKE = {
    "es": {
        *(":;"),
        *("1", "{number}"),
        "No",
        "Total",
        "pelvis",
        "kg",
        "{speed}, number {number}",
        "{letter}: {meaning}.",
    },
    "fr": {
        *("Total", "kg", "Date", "Effort", "Page", "page", "Posture", "Question", "Signature"),
        *("{day} {month} {year}", "{month} {year}"),
        *("{count} minute", "{count} minutes", "{number}"),
    },
}


def test_no_text_was_left_in_english(held: Written) -> None:
    same = {english for english, other in held.pairs if english == other}
    assert same <= ALIKE[held.code]


def places(text: str) -> Counter[str]:
    """Return the places to be filled, of Python's and of a template's kind."""
    named = [name for _, name, _, _ in string.Formatter().parse(text) if name is not None]
    return Counter([*named, *re.findall(r"%\((\w+)\)s", text)])


def test_places_for_names_and_numbers_are_kept(held: Written) -> None:
    assert [e for e, s in held.pairs if places(e) != places(s)] == []
    assert sum(bool(places(e)) for e, _ in held.pairs) > 40


NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
UNIT = re.compile(r"\d\s*(Hz|kg|mmHg|mm|cm|min|g|s|%)(?![a-z])|\b(Hz|kg|mm|mmHg)\b")


def numbers(text: str) -> Counter[str]:
    return Counter(found.replace(",", ".") for found in NUMBER.findall(text))


def units(text: str) -> Counter[str]:
    return Counter(one or other for one, other in UNIT.findall(text))


@pytest.mark.parametrize(
    ("text", "found"), [("2.5 kg", {"2.5": 1}), ("2,5 kg, 2", {"2.5": 1, "2": 1})]
)
def test_numbers_are_read_with_either_mark(text: str, found: dict[str, int]) -> None:
    assert numbers(text) == found


def test_numbers_and_units_are_the_same(held: Written) -> None:
    assert [e for e, s in held.pairs if numbers(e) != numbers(s)] == []
    assert [e for e, s in held.pairs if units(e) != units(s)] == []


#: What a time to come back, to hold or to last is counted in.
SPANS = {
    "es": ["segundo", "minuto", "hora", "día", "semana", "mes", "año", "punto", "grado"],
    "fr": ["seconde", "minute", "heure", "jour", "semaine", "mois", "an", "point", "degré"],
}
ENGLISH_SPANS = ["second", "minute", "hour", "day", "week", "month", "year", "point", "degree"]


def spans(text: str, names: dict[str, str]) -> Counter[str]:
    """Return number and unit of each span of time and each score."""
    found = re.findall(r"(\d+) (?:more |o más )?(\w+)", text)
    return Counter(
        f"{number} {unit}"
        for number, word in found
        for name, unit in names.items()
        if word.lower().startswith(name)
    )


def test_a_week_is_not_called_a_day(held: Written) -> None:
    english = {name: name for name in ENGLISH_SPANS}
    other = dict(zip(SPANS[held.code], ENGLISH_SPANS, strict=True))
    told = [(e, spans(e, english), spans(s, other)) for e, s in held.pairs]
    assert sum(len(found) for _, found, _ in told) > 20
    assert [e for e, one, two in told if one != two] == []


def test_sentences_are_short(held: Written) -> None:
    said = (text for _, other in held.pairs for text in sentences(other))
    assert [text for text in said if len(words(text)) > SENTENCE_LIMIT] == []
