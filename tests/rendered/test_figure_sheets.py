"""All figures on contact sheets: made as PDF, turned into pictures, and looked at."""

import base64
import re
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from weasyprint import HTML

from programs.exercises import EXERCISES
from programs.figures import GAP, LINE_MM, figure_svg

pytestmark = pytest.mark.rendered

OUTPUT = Path(__file__).resolve().parents[1] / "output"
COLUMNS, ROWS = 2, 4
A_SHEET = COLUMNS * ROWS
DOTS_PER_MM = 8
CODES = tuple(EXERCISES)
BELOW = ("Start", "End")


@cache
def drawn(code):
    return figure_svg(code, EXERCISES[code].name, BELOW)


def size_mm(code):
    """Return the printed width and height of a figure."""
    return tuple(float(n) for n in re.findall(r'(?:width|height)="([\d.]+)mm"', drawn(code))[:2])


def units(code):
    """Return the width of a figure in its own units."""
    return float(re.search(r'viewBox="0 0 ([\d.]+)', drawn(code))[1])


def place(index):
    """Return where a figure stands on its sheet, mm from the left and the top."""
    row, column = divmod(index % A_SHEET, COLUMNS)
    return 5.0 + column * 103.0, 14.0 + row * 70.0


def cell(index, code):
    left, top = place(index)
    exercise = EXERCISES[code]
    picture = base64.b64encode(drawn(code).encode()).decode()
    width, height = size_mm(code)
    return (
        f'<p style="position:absolute;left:{left}mm;top:{top - 5.5}mm">{code}</p>'
        f'<img alt="{exercise.name}" style="position:absolute;left:{left}mm;top:{top}mm;'
        f'width:{width}mm;height:{height}mm" src="data:image/svg+xml;base64,{picture}">'
    )


@pytest.fixture(scope="module")
def sheets():
    """Return the sheets as grey pictures and their text."""
    pages = [
        "".join(cell(start + i, code) for i, code in enumerate(CODES[start : start + A_SHEET]))
        for start in range(0, len(CODES), A_SHEET)
    ]
    style = (
        "@page{size:A4;margin:0}body{margin:0;font:8pt sans-serif}p{margin:0}"
        ".s{position:relative;height:297mm;overflow:hidden;break-after:page}"
        ".s:last-child{break-after:auto}"
    )
    sheets = "".join(f'<div class="s">{page}</div>' for page in pages)
    pdf = HTML(string=f"<style>{style}</style>{sheets}").write_pdf()
    OUTPUT.mkdir(exist_ok=True)
    (OUTPUT / "figures.pdf").write_bytes(pdf)
    document = pypdfium2.PdfDocument(pdf)
    pictures, texts = [], []
    for number, page in enumerate(document, start=1):
        image = page.render(scale=DOTS_PER_MM * 25.4 / 72).to_pil().convert("L")
        image.save(OUTPUT / f"figures-{number}.png")
        pictures.append(np.asarray(image))
        texts.append(page.get_textpage().get_text_range())
    document.close()
    return pictures, texts


def figure(pictures, index):
    left, top = place(index)
    width, height = size_mm(CODES[index])
    page = pictures[index // A_SHEET]
    rows = slice(round(top * DOTS_PER_MM), round((top + height) * DOTS_PER_MM))
    columns = slice(round(left * DOTS_PER_MM), round((left + width) * DOTS_PER_MM))
    return page[rows, columns]


def test_every_figure_is_on_a_sheet(sheets):
    pictures, texts = sheets
    assert len(pictures) == -(-len(CODES) // A_SHEET)
    words = set(" ".join(texts).split())
    assert words == {*CODES, *BELOW}


@pytest.mark.parametrize("index", range(len(CODES)), ids=CODES)
def test_ink_in_both_panels_and_none_at_the_edge(sheets, index):
    picture = figure(sheets[0], index)
    half = picture.shape[1] // 2
    for panel in (picture[:, :half], picture[:, half:]):
        inked = (panel < 128).mean()
        assert 0.01 < inked < 0.25
    edge = round(0.25 * DOTS_PER_MM)
    ring = (picture[:edge], picture[-edge:], picture[:, :edge], picture[:, -edge:])
    assert all(side.min() > 200 for side in ring)


def test_the_two_panels_differ_wherever_the_pose_changes(sheets):
    alike = []
    for index, code in enumerate(CODES):
        # The words below differ in any case.
        picture = figure(sheets[0], index)[: -round(LINE_MM * DOTS_PER_MM)]
        shift = round((units(code) + GAP) / 2 / units(code) * picture.shape[1])
        width = picture.shape[1] - shift
        first, second = picture[:, :width].astype(int), picture[:, shift:].astype(int)
        if (abs(first - second) > 96).mean() < 0.002:
            alike.append(code)
    assert alike == []
