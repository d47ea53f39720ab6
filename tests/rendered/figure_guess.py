"""All figures without words on one sheet, and the guess test: each with four wordings.

    python -m tests.rendered.figure_guess

Writes tests/output/figures-without-words.html and tests/output/figures-guess.html, to be printed.
A person who has not seen the program ticks one wording for each figure; the key is on the last
page. A figure that one in five guesses wrong is to be drawn anew. The order and the three wrong
wordings are the same each time, and come from the same kind of exercise where there are enough.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterator, Sequence
from html import escape
from pathlib import Path

import django

from programs.exercises import EXERCISES
from programs.exercises.exercise import Exercise
from programs.figures import figure_svg, poses_of

OUTPUT = Path(__file__).resolve().parents[1] / "output"
WORDINGS = 4
SEED = 13
STYLE = (
    "@page{size:A4;margin:15mm}body{font:14pt sans-serif}"
    "section{break-inside:avoid;border-top:1pt solid;padding:3mm 0}"
    "svg{max-width:150mm;max-height:60mm}ol{list-style:upper-alpha;margin:2mm 0}"
    ".all{columns:2}.all section{border:0}.key{break-before:page;columns:3}"
)


def wordless(code: str) -> str:
    """Return a figure with no word in it or under it."""
    return figure_svg(code, "", ("",) * poses_of(code))


def told(exercise: Exercise) -> str:
    """Return what an exercise asks for, without its name: how to begin, and the first steps."""
    return " ".join((exercise.start, *exercise.steps[:3]))


def choices(code: str, draw: random.Random) -> tuple[list[str], int]:
    """Return four exercises in an order of chance, and the place of the right one."""
    own = EXERCISES[code]
    kin = [one for one in EXERCISES.values() if one.modality == own.modality]
    others = sorted({told(one): one.code for one in kin if told(one) != told(own)}.values())
    picked = [code, *draw.sample(others, min(WORDINGS - 1, len(others)))]
    draw.shuffle(picked)
    return picked, picked.index(code)


def questions() -> Iterator[tuple[str, Sequence[str], int]]:
    """Yield each figure's code in an order of chance, its wordings, and the right one's place."""
    draw = random.Random(SEED)
    codes = sorted(EXERCISES)
    draw.shuffle(codes)
    for code in codes:
        yield (code, *choices(code, draw))


def sheet() -> str:
    """Return all figures without a word, numbered as in the guess test."""
    cells = (
        f"<section><p>{number}</p>{wordless(code)}</section>"
        for number, (code, _, _) in enumerate(questions(), start=1)
    )
    return f'<meta charset="utf-8"><style>{STYLE}</style><div class="all">{"".join(cells)}</div>'


def guess_test() -> str:
    """Return the questions and, on a page of its own, the key."""
    asked, key = [], []
    for number, (code, wordings, right) in enumerate(questions(), start=1):
        lines = "".join(f"<li>{escape(told(EXERCISES[one]))}</li>" for one in wordings)
        asked.append(f"<section><p>{number}</p>{wordless(code)}<ol>{lines}</ol></section>")
        key.append(f"<p>{number}: {'ABCD'[right]} ({code})</p>")
    body = f'{"".join(asked)}<div class="key">{"".join(key)}</div>'
    return f'<meta charset="utf-8"><style>{STYLE}</style>{body}'


def write() -> None:
    """Write both files."""
    OUTPUT.mkdir(exist_ok=True)
    (OUTPUT / "figures-without-words.html").write_text(sheet())
    (OUTPUT / "figures-guess.html").write_text(guess_test())


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings_test")
    django.setup()
    write()
