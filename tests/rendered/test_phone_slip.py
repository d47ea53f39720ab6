"""The slip with the code of her phone as PDF: large enough, with its quiet zone, and read back."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import page as pdf_rules
import pypdfium2
import pytest
import segno
from PIL import ImageFilter

from programs.actions.papers import phone_slip_pdf
from programs.papers.phone_slip import CodeOnSlip
from programs.phone.qr import QUIET
from tests.programs.phone import qr_reader
from tests.rendered import reading

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]
ADDRESS = "https://calcar.clinic.example/week/en/abcdefghijklmnopqrstuvwxy2/"
HELD = CodeOnSlip(
    picture=ADDRESS,
    address="calcar.clinic.example/week/",
    code="abcde-fghij-klmno-pqrst-uvwxy-2",
    until=dt.datetime(2026, 3, 5, 9, 5, tzinfo=dt.UTC),
    phone="01 000 000",
)
#: Of a photocopy's picture.
DPI, MM = 150, 25.4
#: The left column of the slip, and what is dark and what is paper on such a copy.
COLUMN_MM, DARK, WHITE = 74, 150, 225
SMALLEST_MM = 25


Picture = np.ndarray[Any, Any]


def copied(pdf: bytes) -> Picture:
    """Return the page as the picture of a photocopy: soft, and grey where it was black."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        assert len(document) == 1
        sharp = document[0].render(scale=DPI / 72).to_pil().convert("L")
    finally:
        document.close()
    return 60 + np.asarray(sharp.filter(ImageFilter.GaussianBlur(1.5)), dtype=float) * 0.7


def box_of_code(picture: Picture) -> tuple[int, int, int, int]:
    """Return left, top, right and bottom of the code: the tallest thing in the left column."""
    dark = picture[:, : int(COLUMN_MM / MM * DPI)] < DARK
    rows = np.flatnonzero(dark.any(axis=1))
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    tallest = max(runs, key=len)
    top, bottom = int(tallest[0]), int(tallest[-1]) + 1
    columns = np.flatnonzero(dark[top:bottom].any(axis=0))
    return int(columns[0]), top, int(columns[-1]) + 1, bottom


def modules_in(picture: Picture, box: tuple[int, int, int, int], count: int) -> list[list[bool]]:
    """Return what stands in the middle of each module."""
    left, top, right, bottom = box
    xs = (left + (np.arange(count) + 0.5) * (right - left) / count).astype(int)
    ys = (top + (np.arange(count) + 0.5) * (bottom - top) / count).astype(int)
    return [[bool(one) for one in row] for row in picture[np.ix_(ys, xs)] < DARK]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "This week on your phone"), ("es", "Esta semana en su teléfono")],
)
def test_h05_it_is_large_enough_and_reads_back(language: str, words: str, paper: str) -> None:
    """H05: printed too small or too dense to be read."""
    pdf = phone_slip_pdf(HELD, language=language, paper=paper)
    assert pdf_rules.is_pdf_compliant_bytes(pdf, profile="ua1")
    assert reading.missing_glyphs(pdf) == 0
    text = reading.squeezed(reading.text_of(pdf))
    for part in (words, HELD.address, HELD.code, "01 000 000"):
        assert reading.squeezed(part) in text
    wanted = [list(map(bool, row)) for row in segno.make(ADDRESS, error="m").matrix]
    picture = copied(pdf)
    box = left, top, right, bottom = box_of_code(picture)
    assert min(right - left, bottom - top) / DPI * MM >= SMALLEST_MM
    assert modules_in(picture, box, len(wanted)) == wanted
    assert qr_reader.read(modules_in(picture, box, len(wanted))) == ADDRESS
    # Soft edges reach two dots into the quiet zone.
    quiet, soft = round(QUIET * (right - left) / len(wanted)) - 1, 3
    for side in (
        picture[top - quiet : top - soft, left - quiet : right + quiet],
        picture[bottom + soft : bottom + quiet, left - quiet : right + quiet],
        picture[top - quiet : bottom + quiet, left - quiet : left - soft],
        picture[top - quiet : bottom + quiet, right + soft : right + quiet],
    ):
        assert side.min() > WHITE
