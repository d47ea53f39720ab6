"""The handout in Spanish, in French, and in a made-up language whose texts are 40 % longer."""

import datetime as dt
import io
import re
from functools import cache
from gettext import NullTranslations
from itertools import cycle

import pikepdf
import pytest
from django.utils.translation import trans_real

from programs.actions import printing
from programs.actions.papers import words_of
from programs.papers import Words, issue_of
from programs.papers.first_plate_session import plate_session
from programs.papers.questionnaire import questionnaire
from programs.signed.snapshot import Document
from tests.programs.patient_texts import texts
from tests.programs.sample_papers import (
    DIGEST,
    OF_TODAY,
    handout_of,
    program_of,
    sheet_of,
    snapshot_of,
)
from tests.rendered import reading
from tests.rendered import test_handout as in_english
from tests.rendered.reading import squeezed
from tests.rendered.test_handout import Printed

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

SPANISH = words_of("es")
#: Each size of paper with each size of letters, among the people with most to do and to read.
LAYOUTS = (
    ("es", "hip_first", "A4", 20),
    ("es", "hip_first", "Letter", 16),
    ("es", "vertebral_fracture", "A4", 16),
    ("es", "vertebral_fracture", "Letter", 20),
    ("fr", "hip_first", "A4", 16),
    ("fr", "vertebral_fracture", "Letter", 20),
)
#: What each language says at the head of the file and of each page.
HEADS = {
    "es": ("Programa de ejercicios de Orla Testwick", "fecha de nacimiento: 14 de agosto de 1960"),
    "fr": ("Programme d’exercices de Orla Testwick", "date de naissance\u202f: 14 août 1960"),
}
#: Translations into other languages of Europe are longer by about so much (common practice).
LONGER = 1.4


def print_in(held: Document, words: Words, language: str, paper: str, type_pt: int) -> Printed:
    told = handout_of(held, words=words, last_week=in_english.WEEKS)
    made = printing.pdf(
        "handout.html",
        {"handout": told},
        issue=told.issue,
        language=language,
        paper=paper,
        type_pt=type_pt,
    )
    pages = reading.pages_of(made)
    return Printed(held=held, told=told, pdf=made, pages=pages, type_pt=type_pt)


@cache
def in_language(language: str, person: str, paper: str, type_pt: int) -> Printed:
    return print_in(snapshot_of(person), words_of(language), language, paper, type_pt)


@pytest.fixture(params=LAYOUTS, ids=lambda param: "-".join(map(str, param)))
def printed(request: pytest.FixtureRequest) -> Printed:
    return in_language(*request.param)


def test_nothing_it_says_is_lost(printed: Printed) -> None:
    in_english.test_nothing_it_says_is_lost(printed)
    in_english.test_the_plates_table_stands_as_set(printed)


def test_it_keeps_to_the_page_as_english_does(printed: Printed) -> None:
    in_english.test_all_of_it_stands_inside_the_margins(printed)
    in_english.test_no_letter_is_small(printed)
    in_english.test_no_block_is_split(printed)
    in_english.test_page_one_says_when_to_stop(printed)


def test_it_passes_the_machine_rules_of_pdf_ua(printed: Printed) -> None:
    in_english.test_it_passes_the_machine_rules_of_pdf_ua(printed)
    in_english.test_fonts_are_ours_and_embedded(printed)
    in_english.test_its_structure_is_that_of_a_text(printed)


def test_it_names_itself_and_its_language(printed: Printed) -> None:
    with pikepdf.open(io.BytesIO(printed.pdf)) as document:
        title, born = HEADS[str(document.Root.Lang)]
        with document.open_metadata() as metadata:
            assert metadata["dc:title"] == title
    for page in printed.pages:
        assert squeezed(born) in squeezed(page.text)


def test_its_numbers_are_those_that_were_signed(printed: Printed) -> None:
    text = squeezed("".join(page.text for page in printed.pages))
    for week in printed.held["weeks"][: in_english.WEEKS]:
        # Where a clearance has ended there is none.
        if plate := week["plate"]:
            assert squeezed(f"{plate['frequency_hz']:g} Hz".replace(".", ",")) in text
        for one in week["resistance"]["exercises"]:
            kg = one["load_kg"]
            assert kg is None or squeezed(f"{kg:g} kg".replace(".", ",")) in text


def test_a_half_kilogram_has_a_decimal_comma() -> None:
    held = snapshot_of("hip_first")
    held["weeks"] = held["weeks"][:4]
    for week in held["weeks"]:
        week["resistance"]["exercises"][0]["load_kg"] = 17.5
    text = reading.text_of(print_in(held, SPANISH, "es", "A4", 16).pdf)
    assert "17,5kg" in text
    assert "17.5" not in text


@pytest.mark.parametrize(
    ("language", "paper", "type_pt"), [("es", "A4", 16), ("es", "Letter", 20), ("fr", "Letter", 20)]
)
def test_no_english_is_left(language: str, paper: str, type_pt: int) -> None:
    """No line of the English text that is long enough to be no chance."""
    told = reading.text_of(in_language(language, "vertebral_fracture", paper, type_pt).pdf)
    lines = {squeezed(text.english) for text in texts() if text.context == "" and not text.plural}
    found = {line for line in lines if len(line) > 12 and line in told}
    assert found == set()


# --- Other papers ---------------------------------------------------------------------------


@pytest.mark.parametrize("week", [0, 12, 25])
def test_a_week_for_the_fridge_door_is_a_sheet_of_its_own(week: int) -> None:
    held = snapshot_of("vertebral_fracture")
    issue = issue_of(program_of(held), SPANISH, digest=DIGEST, zone=dt.UTC)
    made = printing.pdf(
        "paper/sheets.html",
        {"sheets": (sheet_of(held, week + 1, SPANISH),)},
        issue=issue,
        language="es",
        paper="Letter",
        type_pt=20,
    )
    page, *backs = reading.pages_of(made)
    assert squeezed(f"Semana {week + 1}: desde el") in squeezed(page.text)
    assert squeezed("Pare, descanse y llámenos: 01 000 000") in squeezed(page.text)
    # Names hold commas, so that another sign stands between them.
    assert any(";" in back.text for back in backs)
    assert min(letter.size_pt for letter in reading.letters_of(made)) >= 20 - 0.01


@pytest.mark.parametrize("person", ["hip_first", "gentle_plate", "tilting_plate"])
def test_the_record_of_the_first_session_is_one_page(person: str) -> None:
    held = snapshot_of(person)
    session = plate_session(program_of(held), SPANISH)
    issue = issue_of(program_of(held), SPANISH, digest=DIGEST, zone=dt.UTC)
    made = printing.pdf(
        "paper/plate_session.html",
        {"session": session},
        issue=issue,
        language="es",
        paper="Letter",
        type_pt=10,
    )
    (page,) = reading.pages_of(made)
    assert squeezed("Primera sesión en la plataforma, con vigilancia") in squeezed(page.text)


@pytest.mark.parametrize(("paper", "type_pt"), [("A4", 16), ("Letter", 20)])
def test_the_blank_form(paper: str, type_pt: int) -> None:
    form = questionnaire(SPANISH, OF_TODAY)
    made = printing.pdf(
        "paper/questionnaire.html",
        {"form": form},
        issue=None,
        language="es",
        paper=paper,
        type_pt=type_pt,
    )
    text = reading.text_of(made)
    pages = [squeezed(page.text) for page in reading.pages_of(made)]
    for table in (*form.tables, form.falls, form.help):
        for line in table.asked:
            assert squeezed(line.text) in text
            assert squeezed(line.written) in text
        title, first = squeezed(table.title), squeezed(table.asked[0].text)
        assert any(title in page and first in page for page in pages), "a title left behind"
    assert reading.missing_glyphs(made) == 0


# --- Longer texts ---------------------------------------------------------------------------


class Longer(NullTranslations):
    """English whose texts are each followed by more words, so that all are 40 % longer."""

    def gettext(self, message: str) -> str:
        return longer(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return longer(msgid1 if n == 1 else msgid2)

    def to_language(self) -> str:
        """Return its code, as Django asks for it."""
        return "xx"


def longer(text: str) -> str:
    """Return the text and more words; what has no word in it, such as a mark, stays."""
    if not re.search(r"[^\W\d]{3}", text):
        return text
    more = cycle(("yet", "so", "further", "on", "still"))
    made = text
    while len(made) < LONGER * len(text):
        made += f" {next(more)}"
    return made


def test_longer_is_longer() -> None:
    assert longer("Stand tall.") == "Stand tall. yet so"
    assert longer("A, P, N") == "A, P, N"
    assert len(longer("x" * 100)) >= 140


@pytest.mark.parametrize(
    ("person", "paper", "type_pt"),
    [LAYOUTS[0][1:], LAYOUTS[3][1:]],
    ids=lambda value: str(value).replace("_", "-"),
)
def test_longer_texts_find_room(
    person: str, paper: str, type_pt: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(trans_real._translations, "xx", Longer())
    printed = print_in(snapshot_of(person), Longer(), "xx", paper, type_pt)
    assert "yet" in printed.pages[0].text
    in_english.test_all_of_it_stands_inside_the_margins(printed)
    in_english.test_no_block_is_split(printed)
    in_english.test_nothing_it_says_is_lost(printed)
