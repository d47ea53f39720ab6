"""French as it is said and set: as to a stranger, whoever it is, with its own spaces."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from programs.actions.papers import words_of
from programs.papers import ENGLISH, doses, plate_page
from programs.papers.numbers import number_words
from programs.papers.questionnaire import questionnaire
from programs.papers.weeks import (
    brief_date_words,
    date_words,
    days_words,
    full_date_words,
    short_day_words,
    short_months,
    told_date_words,
)
from tests.programs.papers.catalogues import written
from tests.programs.sample_papers import OF_TODAY, handout_of, program_of, snapshot_of

FRENCH = words_of("fr")
PAIRS = written("fr").pairs
DAY = dt.date(2026, 3, 2)
#: The space that stands before a mark and does not break.
NARROW = "\u202f"


# --- As it is written -------------------------------------------------------------------------


def test_marks_stand_after_a_narrow_space() -> None:
    lacks = re.compile(rf"[^{NARROW}\s][;?!»]|[^{NARROW}\d\s]:|«[^{NARROW}]|[ \u00a0][:;?!»]")
    assert [s for _, s in PAIRS if lacks.search(s)] == []
    assert sum(NARROW in s for _, s in PAIRS) > 80


def test_no_straight_apostrophe_is_left() -> None:
    assert [s for _, s in PAIRS if "'" in s or '"' in s] == []


# --- To whom ----------------------------------------------------------------------------------

#: Who is spoken to as a friend.
NOT_VOUS = re.compile(r"\b(?:tu|toi|te|ton|ta|tes)\b", re.IGNORECASE)
#: Words that would say that the reader is a man or a woman.
OF_ONE_SEX = re.compile(
    r"\bvous\s+(?:êtes|étiez|sentez|sentiez)\s+(?:très\s+|bien\s+)?\w+(?:é|ée|is|ise|u|ue)\b"
    r"|\b(?:tenez-vous|restez|asseyez-vous|soyez)\s+(?:bien\s+)?(?:droite?|assise?|seule?|prête?)\b"
    r"|\b(?:(?<!un )seule?|allongée?|couchée?|fatiguée?|essoufflée?|tombée?|née?)\b(?!e?s)"
    r"|\bvous\s+(?:avez|ai)\s+été\b|\(e\)",
    re.IGNORECASE,
)


@pytest.mark.parametrize(
    "text", ["Restez droit.", "si vous êtes fatiguée", "né(e) le", "Ne restez pas seul."]
)
def test_words_of_one_sex_are_found(text: str) -> None:
    assert OF_ONE_SEX.search(text)


def test_the_reader_is_spoken_to_as_vous_whoever_it_is() -> None:
    assert [s for _, s in PAIRS if NOT_VOUS.search(s)] == []
    assert [s for _, s in PAIRS if OF_ONE_SEX.search(s)] == []


def test_each_not_is_a_not() -> None:
    """What English forbids is forbidden: a sentence with a not has one in French as well."""
    forbids = re.compile(r"^(?:Do not|Never)\b")
    denies = re.compile(r"\b(?:ne|n’|pas|jamais|aucun|aucune|rien|sans)\b|\bn’", re.IGNORECASE)
    held = [(e, s) for e, s in PAIRS if forbids.search(e)]
    assert len(held) > 100
    assert [e for e, s in held if not denies.search(s)] == []


def test_what_is_told_to_do_is_not_forbidden() -> None:
    """A sentence of an exercise without a not in English has none in French."""
    starts = re.compile(
        r"^(?:Hold|Push|Lift(?! no)|Bend|Lower|Press|Step|Place|Sit|Call|Stop|Stand)\b"
    )
    denial = re.compile(r"^(?:Ne |N’)")
    held = [(e, s) for e, s in PAIRS if starts.search(e)]
    assert len(held) > 150
    assert [e for e, s in held if denial.search(s)] == []


# --- As it is said ----------------------------------------------------------------------------


def test_dates() -> None:
    assert date_words(DAY, FRENCH) == "2 mars 2026"
    told = [told_date_words(text, FRENCH) for text in ("1941", "1941-03", "1941-03-07")]
    assert told == ["1941", "mars 1941", "7 mars 1941"]
    assert full_date_words(DAY, FRENCH) == "lundi 2 mars 2026"
    week = [short_day_words(DAY + dt.timedelta(days=n), FRENCH) for n in range(7)]
    assert week == ["lun 2", "mar 3", "mer 4", "jeu 5", "ven 6", "sam 7", "dim 8"]
    assert days_words(("mon", "wed"), 2, FRENCH) == "lun, mer"


def test_the_first_of_a_month_has_its_own_word() -> None:
    first = dt.date(2026, 3, 1)
    assert full_date_words(first, FRENCH) == "dimanche 1er mars 2026"
    assert brief_date_words(first, FRENCH) == "1er mars 2026"
    assert told_date_words("1941-03-01", FRENCH) == "1er mars 1941"
    assert date_words(first, ENGLISH) == "1 March 2026"


def test_june_and_july_have_short_names_of_their_own() -> None:
    assert len(set(short_months(FRENCH))) == 12
    told = [brief_date_words(dt.date(2026, month, 2), FRENCH) for month in (6, 7)]
    assert told == ["2 juin 2026", "2 juil 2026"]


@pytest.mark.parametrize(("value", "told"), [(2.5, "2,5"), (34.0, "34"), (0.25, "0,25")])
def test_decimal_mark(value: float, told: str) -> None:
    assert number_words(value, FRENCH) == told


def test_one_and_many() -> None:
    assert doses.sets_words(1, 15, FRENCH) == "1 série de 15 répétitions"
    assert doses.sets_words(2, 1, FRENCH) == "2 séries de 1 répétition"
    assert doses.minutes_words(1, FRENCH) == "1 minute"


def test_the_panel_of_the_plate() -> None:
    plate = program_of(snapshot_of()).weeks[0].plate
    assert plate is not None
    part = replace(plate, setting=1.5, frequency_hz=12.5)
    assert plate_page.setting_words(part, FRENCH) == "12,5 Hz, numéro 1,5"
    assert "30 secondes" in plate_page.rounds_words(part, FRENCH)


def test_a_whole_handout() -> None:
    told = handout_of(snapshot_of(), words=FRENCH)
    assert told.sheets[0].title == f"Semaine 1{NARROW}: à partir du lundi 2 mars 2026"
    assert told.sheets[0].days[0] == "Lun 2"
    assert told.issue.born == "14 août 1960"
    assert questionnaire(FRENCH, OF_TODAY).days[0] == "Lundi"
