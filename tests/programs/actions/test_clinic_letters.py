"""Typefaces of the clinic's own, for letters of names that the bundled ones lack."""

import io
import logging
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from programs.actions import clinic_letters, pdf_process, printing
from programs.actions.printing import printable, unprintable

WANG = "王"


def typeface(path: Path, letters: str) -> None:
    """Write a typeface in which each of some letters is a box."""
    names = [".notdef", *(f"u{ord(sign):X}" for sign in letters)]
    pen = TTGlyphPen(None)
    for at in ((0, 0), (0, 700), (700, 700), (700, 0)):
        (pen.lineTo if pen.points else pen.moveTo)(at)
    pen.closePath()
    box = pen.glyph()
    made = FontBuilder(1000, isTTF=True)
    made.setupGlyphOrder(names)
    made.setupCharacterMap({ord(sign): f"u{ord(sign):X}" for sign in letters})
    made.setupGlyf(dict.fromkeys(names, box))
    made.setupHorizontalMetrics(dict.fromkeys(names, (1000, 0)))
    made.setupHorizontalHeader(ascent=800, descent=-200)
    made.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    made.setupOS2()
    made.setupPost()
    made.save(path)


@pytest.fixture
def folder(settings: Any, tmp_path: Path) -> Path:
    settings.FONTS_DIR = tmp_path
    return tmp_path


def test_without_a_folder_nothing_is_added(settings: Any, tmp_path: Path) -> None:
    for nowhere in (None, tmp_path / "none"):
        settings.FONTS_DIR = nowhere
        assert clinic_letters.places() == {}
        assert unprintable(f"{WANG} Wei") == (WANG,)
    assert clinic_letters.sheet('"Any"', {}) == ""


def test_its_letters_come_after_the_bundled_ones() -> None:
    sheet = clinic_letters.sheet('"Any"', {"fonts/clinic/0.ttf": "/somewhere/names.ttf"})
    assert 'src: url("/static/fonts/clinic/0.ttf")' in sheet
    assert sheet.endswith('html { font-family: "Any", "Clinic Letters 1" !important; }\n')


def test_a_letter_of_the_clinics_typeface_can_be_printed(folder: Path) -> None:
    typeface(folder / "names.ttf", WANG)
    assert unprintable(f"{WANG}小") == ("小",)
    assert printable(WANG) == WANG
    assert clinic_letters.places() == {"fonts/clinic/0.ttf": str(folder / "names.ttf")}


def test_a_file_that_is_no_typeface_is_passed_over(
    folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    (folder / "a.ttf").write_bytes(b"no typeface")
    (folder / "readme.txt").write_text("not looked at")
    typeface(folder / "b.otf", WANG)
    with caplog.at_level(logging.WARNING):
        assert clinic_letters.places() == {"fonts/clinic/1.otf": str(folder / "b.otf")}
    assert "a.ttf is not a typeface" in caplog.text
    assert unprintable(WANG) == ()


def test_a_typeface_put_in_later_counts_at_once(folder: Path) -> None:
    assert unprintable(WANG) == (WANG,)
    typeface(folder / "names.ttf", WANG)
    assert unprintable(WANG) == ()


@pytest.mark.rendered
def test_the_paper_shows_the_letter(
    folder: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    typeface(folder / "names.ttf", f" {WANG}")
    for name, value in pdf_process.bundled_fonts_alone(folder).items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(pdf_process, "apart", pdf_process.print_page)
    monkeypatch.setattr(
        printing,
        "render_to_string",
        lambda template, shown: (
            f'<html lang="en"><title>A</title><link rel=stylesheet href="/static/handout.css">'
            f"<p>Wei {WANG} and <strong>{WANG}</strong></p>"
        ),
    )
    made = printing.pdf("any", {}, issue=None, language="en", paper="A4", type_pt=16)
    with pypdfium2.PdfDocument(io.BytesIO(made)) as document:
        assert document[0].get_textpage().get_text_range().count(WANG) == 2
    assert [one for one in caplog.records if one.name.startswith("weasyprint")] == []
