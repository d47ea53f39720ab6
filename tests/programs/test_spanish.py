"""Spanish says all that English says: every text, every number, every place for a name."""

from __future__ import annotations

import datetime as dt
import gettext
import io
import re
import string
from collections import Counter

import pytest
from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

from programs.actions.handouts import words_of
from programs.handout import ENGLISH, doses, plate_page, week_page
from programs.handout.numbers import line_start, number_words
from programs.handout.plate_session import plate_session
from programs.handout.questionnaire import questionnaire
from programs.handout.weeks import date_words, days_words, full_date_words, short_day_words
from programs.plain_words import sentences, words
from tests.gate.project import ROOT
from tests.programs.papers import handout_of, snapshot_of
from tests.programs.patient_texts import Text, texts

HELD = ROOT / "programs" / "locale" / "es" / "LC_MESSAGES"
#: Spanish needs more words than English, which keeps to twenty.
SENTENCE_LIMIT = 24
SPANISH = words_of("es")
DAY = dt.date(2026, 3, 2)


def catalogue() -> Catalog:
    with open(HELD / "django.po", "rb") as file:
        return read_po(file, locale="es", abort_invalid=True)


CATALOGUE = catalogue()
MESSAGES = [message for message in CATALOGUE if message.id]


def text_of(message: Message) -> Text:
    held = message.id
    english, plural = held if isinstance(held, tuple) else (held, "")
    return Text(english=english, plural=plural, context=message.context or "")


def pairs(message: Message) -> list[tuple[str, str]]:
    """Return each English form with its Spanish one."""
    if isinstance(message.id, tuple):
        assert isinstance(message.string, tuple)
        return list(zip(message.id, message.string, strict=True))
    return [(message.id, str(message.string))]


PAIRS = [pair for message in MESSAGES for pair in pairs(message)]


def test_what_is_compiled_is_what_is_written() -> None:
    anew = io.BytesIO()
    write_mo(anew, CATALOGUE)
    anew.seek(0)
    with open(HELD / "django.mo", "rb") as file:
        kept = gettext.GNUTranslations(file)
    assert entries(kept) == entries(gettext.GNUTranslations(anew))
    assert [kept.plural(n) for n in (0, 1, 2)] == [1, 0, 1]


def entries(held: gettext.GNUTranslations) -> dict[object, str]:
    """Return the texts; the header names the compiler's version."""
    return {key: text for key, text in held._catalog.items() if key}  # type: ignore[attr-defined]


def test_there_is_enough_to_translate() -> None:
    assert len(texts()) > 900


def test_every_text_for_a_patient_is_translated_and_nothing_else() -> None:
    held = {text_of(message) for message in MESSAGES}
    wanted = set(texts())
    assert sorted(text.english for text in wanted - held) == []
    assert sorted(text.english for text in held - wanted) == []


def test_no_translation_is_empty_or_unsure() -> None:
    assert [english for english, spanish in PAIRS if not spanish.strip()] == []
    assert [message.id for message in MESSAGES if message.fuzzy] == []


#: What both languages write alike.
ALIKE = {"No", "Total", "pelvis", "{speed}, number {number}"}


def test_no_text_was_left_in_english() -> None:
    same = {english for english, spanish in PAIRS if english == spanish}
    assert same <= ALIKE


def places(text: str) -> Counter[str]:
    """Return the places to be filled, of Python's and of a template's kind."""
    named = [name for _, name, _, _ in string.Formatter().parse(text) if name is not None]
    return Counter([*named, *re.findall(r"%\((\w+)\)s", text)])


def test_places_for_names_and_numbers_are_kept() -> None:
    assert [e for e, s in PAIRS if places(e) != places(s)] == []
    assert sum(bool(places(e)) for e, _ in PAIRS) > 40


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


def test_numbers_and_units_are_the_same() -> None:
    assert [e for e, s in PAIRS if numbers(e) != numbers(s)] == []
    assert [e for e, s in PAIRS if units(e) != units(s)] == []


#: The number of a time to come back, to hold or to last, in both languages.
SPANS = {
    "second": "segundo",
    "minute": "minuto",
    "hour": "hora",
    "day": "día",
    "week": "semana",
    "month": "mes",
    "year": "año",
    "point": "punto",
    "degree": "grado",
}


def spans(text: str, names: dict[str, str]) -> Counter[str]:
    """Return number and unit of each span of time and each score."""
    found = re.findall(r"(\d+) (?:more |o más )?(\w+)", text)
    return Counter(
        f"{number} {unit}"
        for number, word in found
        for name, unit in names.items()
        if word.lower().startswith(name)
    )


def test_a_week_is_not_called_a_day() -> None:
    english = {name: name for name in SPANS}
    spanish = {word: name for name, word in SPANS.items()}
    told = [(e, spans(e, english), spans(s, spanish)) for e, s in PAIRS]
    assert sum(len(found) for _, found, _ in told) > 20
    assert [e for e, one, other in told if one != other] == []


def test_spanish_sentences_are_short() -> None:
    long = [s for _, spanish in PAIRS for s in sentences(spanish) if len(words(s)) > SENTENCE_LIMIT]
    assert long == []


#: Ends in which an adjective or a participle would say that the reader is a man or a woman.
OF_ONE_SEX = re.compile(
    r"\b(?:si está|cuando esté|siente|sienta|quédese|manténgase|póngase|párese)\s+"
    r"(?:muy\s+)?(?:\w+(?:ado|ada|ido|ida)|quieto|quieta|derecho|derecha|solo|sola)\b",
    re.IGNORECASE,
)
#: Who is spoken to as a friend, or as many.
NOT_USTED = re.compile(r"\b(?:tú|ti|tus?|contigo|vosotr\w+|vuestr\w+|vos)\b", re.IGNORECASE)


def test_the_reader_is_spoken_to_as_usted_whoever_it_is() -> None:
    assert [s for _, s in PAIRS if NOT_USTED.search(s)] == []
    assert [s for _, s in PAIRS if OF_ONE_SEX.search(s)] == []


def test_words_are_not_those_of_one_country() -> None:
    """Words that many readers elsewhere would not take as meant (from memory, to be confirmed)."""
    local = re.compile(r"\b(?:coger\w*|coja|encimera|vale|ordenador|vosotros|bata|mesada)\b", re.I)
    assert [s for _, s in PAIRS if local.search(s)] == []


# --- As it is said --------------------------------------------------------------------------


def test_dates() -> None:
    assert date_words(DAY, SPANISH) == "2 de marzo de 2026"
    assert full_date_words(DAY, SPANISH) == "lunes 2 de marzo de 2026"
    week = [short_day_words(DAY + dt.timedelta(days=n), SPANISH) for n in range(7)]
    assert week == ["lun 2", "mar 3", "mié 4", "jue 5", "vie 6", "sáb 7", "dom 8"]
    assert days_words(("mon", "wed", "fri"), 2, SPANISH) == "2 de estos días: lun, mié, vie"


@pytest.mark.parametrize(
    ("value", "english", "spanish"),
    [(2.5, "2.5", "2,5"), (34.0, "34", "34"), (0.25, "0.25", "0,25")],
)
def test_decimal_mark(value: float, english: str, spanish: str) -> None:
    assert number_words(value, ENGLISH) == english
    assert number_words(value, SPANISH) == spanish


@pytest.mark.parametrize(("text", "told"), [("lunes", "Lunes"), ("", ""), ("Monday", "Monday")])
def test_a_line_begins_with_a_capital(text: str, told: str) -> None:
    assert line_start(text) == told


def test_one_and_many() -> None:
    assert doses.sets_words(1, 15, SPANISH) == "1 serie de 15 repeticiones"
    assert doses.sets_words(2, 1, SPANISH) == "2 series de 1 repetición"
    assert doses.minutes_words(1, SPANISH) == "1 minuto"
    assert doses.often_words(3, SPANISH) == "3 veces por semana"


def test_the_panel_of_the_plate() -> None:
    part = snapshot_of()["weeks"][0]["plate"] | {"setting": 1.5, "frequency_hz": 12.5}
    assert plate_page.setting_words(part, SPANISH) == "12,5 Hz, número 1,5"
    assert "30 segundos" in plate_page.rounds_words(part, SPANISH)


def test_a_whole_handout() -> None:
    held = snapshot_of()
    told = handout_of(held, words=SPANISH)
    assert told.first.title == "Semana 1: desde el lunes 2 de marzo de 2026"
    assert told.week_days[0].name == "Lunes"
    assert told.issue.born == "14 de agosto de 1960"
    assert told.plate is not None
    assert told.plate.heads[0] == "Semanas"


def test_a_part_that_a_clinician_typed_stays_as_typed() -> None:
    held = snapshot_of()
    for week in held["weeks"]:
        week["plate"]["posture"] = "upright; on both heels"
    told = handout_of(held, words=SPANISH)
    assert told.plate is not None
    assert "On both heels" in told.plate.stand
    assert "Mantenga el cuerpo derecho y mire al frente." in told.plate.stand


def test_what_the_signature_means_is_told_in_spanish_where_it_is_known() -> None:
    from programs.actions.signing import MEANING
    from tests.programs.papers import SIGNER

    ours = handout_of(snapshot_of(signer=SIGNER | {"meaning": MEANING}), words=SPANISH)
    assert any(line.startswith("La firma significa: He revisado") for line in ours.about.tell)
    other = handout_of(snapshot_of(signer=SIGNER | {"meaning": "As agreed."}), words=SPANISH)
    assert "La firma significa: As agreed." in other.about.tell


def test_other_papers() -> None:
    held = snapshot_of()
    session = plate_session(held, SPANISH)
    assert session is not None
    assert dict(session.settings)["Desplazamiento"] == "1 mm de pico a pico"
    assert dict(session.settings)["Aceleración máxima"] == "1,26 g"
    week = week_page(held["weeks"][1], held, SPANISH)
    assert week.then == "Luego descanse y llámenos al 01 000 000."
    form = questionnaire(SPANISH)
    assert form.days[0] == "Lunes"
