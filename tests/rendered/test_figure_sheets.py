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
from programs.figures import LINE_MM, figure_svg, poses_of
from tests.rendered import figure_guess

pytestmark = pytest.mark.rendered

OUTPUT = Path(__file__).resolve().parents[1] / "output"
COLUMNS, ROWS = 1, 4
A_SHEET = COLUMNS * ROWS
DOTS_PER_MM = 8
CODES = tuple(EXERCISES)
BELOW = ("Start", "Then", "End")


@cache
def drawn(code):
    under = BELOW[: poses_of(code)]
    return figure_svg(code, EXERCISES[code].name, under, EXERCISES[code].muscles)


def size_mm(code):
    """Return the printed width and height of a figure."""
    return tuple(float(n) for n in re.findall(r'(?:width|height)="([\d.]+)mm"', drawn(code))[:2])


def units(code):
    """Return the width of a figure in its own units."""
    return float(re.search(r'viewBox="0 0 ([\d.]+)', drawn(code))[1])


def middles(code):
    """Return the middle of each panel in the figure's own units."""
    return [float(x) for x in re.findall(r"translate\(([\d.]+) [^>]+><text", drawn(code))]


def place(index):
    """Return where a figure stands on its sheet, mm from the left and the top."""
    row, column = divmod(index % A_SHEET, COLUMNS)
    return 5.0 + column * 200.0, 14.0 + row * 71.0


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
def test_ink_in_each_panel_and_none_at_the_edge(sheets, index):
    picture = figure(sheets[0], index)
    count = poses_of(CODES[index])
    share = picture.shape[1] // count
    for number in range(count):
        inked = (picture[:, number * share : (number + 1) * share] < 128).mean()
        assert 0.01 < inked < 0.3
    edge = round(0.25 * DOTS_PER_MM)
    ring = (picture[:edge], picture[-edge:], picture[:, :edge], picture[:, -edge:])
    assert all(side.min() > 200 for side in ring)


def test_the_two_panels_differ_wherever_the_pose_changes(sheets):
    """The first and the last pose, each in a window around the middle of its panel."""
    alike = []
    for index, code in enumerate(CODES):
        picture = figure(sheets[0], index)[: -round(LINE_MM * DOTS_PER_MM)].astype(int)
        first, *_, last = (*middles(code), *middles(code)[-1:])
        if poses_of(code) > 1:
            half = round(18.0 * picture.shape[1] / units(code))
            one, other = (
                picture[:, at - half : at + half]
                for at in (round(x * picture.shape[1] / units(code)) for x in (first, last))
            )
            if (abs(one - other) > 96).mean() < 0.002:
                alike.append(code)
    assert alike == []


def test_a_hard_black_and_white_copy_keeps_each_figure(sheets):
    """Nothing but the shade of the pose before, and the grey of cloth, is lost in it."""
    for index in range(len(CODES)):
        picture = figure(sheets[0], index)
        assert 0.01 < (picture < 150).mean() < 0.3


def test_no_two_figures_look_alike(sheets):
    """Findings on the figures: four heel raises, three stamps and two plates were the same."""
    seen = {}
    for index, code in enumerate(CODES):
        picture = figure(sheets[0], index)[: -round(LINE_MM * DOTS_PER_MM)]
        seen.setdefault(picture.shape, []).append((code, picture.astype(int)))
    alike = [
        (one, other)
        for group in seen.values()
        for number, (one, first) in enumerate(group)
        for other, second in group[number + 1 :]
        if (abs(first - second) > 96).mean() < 0.003
    ]
    assert alike == []


def test_the_guess_test_asks_about_each_figure_once_with_one_right_answer():
    asked = list(figure_guess.questions())
    assert sorted(code for code, _, _ in asked) == sorted(CODES)
    for code, wordings, right in asked:
        assert wordings[right] == code
        assert len({figure_guess.told(EXERCISES[one]) for one in wordings}) == len(wordings)
        assert len(wordings) == figure_guess.WORDINGS
    assert list(figure_guess.questions()) == asked


def test_the_sheet_without_words_has_none():
    figure_guess.write()
    sheet = (OUTPUT / "figures-without-words.html").read_text()
    assert len(re.findall("<svg", sheet)) == len(CODES)
    assert re.findall(r"<text[^>]*>[^<]+</text>|<title>[^<]+</title>", sheet) == []
    asked = (OUTPUT / "figures-guess.html").read_text()
    assert asked.count("<li>") == figure_guess.WORDINGS * len(CODES)
