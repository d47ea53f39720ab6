"""Spanish as it is said: as to a stranger, whoever it is, and in no one country's words."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from programs.actions.papers import words_of
from programs.papers import ENGLISH, doses, plate_page
from programs.papers.first_plate_session import plate_session
from programs.papers.numbers import line_start, number_words
from programs.papers.questionnaire import questionnaire
from programs.papers.weeks import (
    brief_date_words,
    date_words,
    days_words,
    full_date_words,
    short_day_words,
    told_date_words,
)
from tests.programs.papers.catalogues import written
from tests.programs.sample_papers import OF_TODAY, handout_of, program_of, snapshot_of, week_of

SPANISH = words_of("es")
PAIRS = written("es").pairs
DAY = dt.date(2026, 3, 2)


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
    local = re.compile(r"\b(?:coger\w*|coja|vale|ordenador|vosotros|bata)\b", re.I)
    assert [s for _, s in PAIRS if local.search(s)] == []


def test_a_worktop_is_no_counter_of_a_shop() -> None:
    """A mostrador stands in a shop (a clinician's reading); what holds for all says it twice."""
    said = [s for _, s in PAIRS]
    assert [s for s in said if "mostrador" in s] == []
    assert sum("encimera (mesada, tope)" in s for s in said) == 2


# --- As it is said --------------------------------------------------------------------------


def test_dates() -> None:
    assert date_words(DAY, SPANISH) == "2 de marzo de 2026"
    told = [told_date_words(text, SPANISH) for text in ("1941", "1941-03", "1941-03-07")]
    assert told == ["1941", "marzo de 1941", "7 de marzo de 1941"]
    assert full_date_words(DAY, SPANISH) == "lunes 2 de marzo de 2026"
    week = [short_day_words(DAY + dt.timedelta(days=n), SPANISH) for n in range(7)]
    assert week == ["lun 2", "mar 3", "mié 4", "jue 5", "vie 6", "sáb 7", "dom 8"]
    brief = [brief_date_words(dt.date(2026, month, 2), SPANISH) for month in (1, 5, 8, 12)]
    assert brief == ["2 ene 2026", "2 may 2026", "2 ago 2026", "2 dic 2026"]
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


def test_the_panel_of_the_plate() -> None:
    plate = program_of(snapshot_of()).weeks[0].plate
    assert plate is not None
    part = replace(plate, setting=1.5, frequency_hz=12.5)
    assert plate_page.setting_words(part, SPANISH) == "12,5 Hz, número 1,5"
    assert "30 segundos" in plate_page.rounds_words(part, SPANISH)


def test_a_whole_handout() -> None:
    held = snapshot_of()
    told = handout_of(held, words=SPANISH)
    assert told.sheets[0].title == "Semana 1: desde el lunes 2 de marzo de 2026"
    assert told.sheets[0].days[0] == "Lun 2"
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


def test_other_papers() -> None:
    held = snapshot_of()
    session = plate_session(program_of(held), SPANISH)
    assert session is not None
    assert dict(session.settings)["Desplazamiento"] == "1 mm de pico a pico"
    assert dict(session.settings)["Aceleración máxima"] == "1,26 g"
    week = week_of(held, 2, SPANISH)
    assert week.alarm.phone == "01 000 000"
    form = questionnaire(SPANISH, OF_TODAY)
    assert form.days[0] == "Lunes"
