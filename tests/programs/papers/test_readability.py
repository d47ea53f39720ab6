"""How hard the Spanish of her papers is to read: INFLESZ, counted by the project itself.

The formula is that of Szigriszt Pazos with the bands of Barrio-Cantalejo (2008), from memory:
206.835 less 62.3 times the syllables a word, less the words a sentence; 80 and more is very easy.
"""

from __future__ import annotations

import re

import pytest

from programs.actions.papers import words_of
from programs.papers.questionnaire import questionnaire
from tests.plain_language import sentences, words
from tests.programs.papers.test_words import lines
from tests.programs.sample_papers import OF_TODAY, PEOPLE, handout_of, snapshot_of

VERY_EASY = 80.0
SPANISH = words_of("es")
#: Vowels that are heard as one: a weak one beside another, unless it bears the accent.
_STRONG, _WEAK = "aeoáéíóú", "iuü"
_GROUP = re.compile(r"[aeiouáéíóúü]+")


def spanish_syllables(word: str) -> int:
    """Return the syllables of a Spanish word by rule; a numeral counts as one."""
    plain = re.sub(r"qu|gu(?=[eiéí])", "q", word.lower())
    found = 0
    for group in _GROUP.findall(plain):
        strong = sum(sign in _STRONG for sign in group)
        found += max(strong, 1)
    return max(found, 1)


def inflesz(text: str) -> float:
    """Return how easy a Spanish text is; 100 and more is the easiest."""
    held = words(text)
    syllables = sum(map(spanish_syllables, held)) / len(held)
    return 206.835 - 62.3 * syllables - len(held) / len(sentences(text))


@pytest.mark.parametrize(
    ("word", "count"),
    [
        *(("casa", 2), ("rodilla", 3), ("equilibrio", 4), ("pie", 1), ("siéntese", 3)),
        *(("caída", 3), ("despacio", 3), ("guía", 2), ("que", 1), ("agua", 2), ("24", 1)),
    ],
)
def test_syllables(word: str, count: int) -> None:
    assert spanish_syllables(word) == count


def test_a_text_by_hand() -> None:
    """Six words, 13 syllables, two sentences, counted by ear."""
    assert inflesz("Siéntese despacio. Mire la rodilla hoy.") == pytest.approx(
        206.835 - 62.3 * 13 / 6 - 3
    )


@pytest.mark.parametrize("person", PEOPLE)
def test_her_paper_is_very_easy(person: str) -> None:
    told = handout_of(snapshot_of(person), words=SPANISH)
    assert inflesz("\n".join(text for _, text in lines(told))) >= VERY_EASY


def test_the_blank_form_is_easy() -> None:
    form = questionnaire(SPANISH, OF_TODAY)
    asked = [line.text for one in (*form.tables, form.falls, form.help) for line in one.asked]
    assert inflesz("\n".join(asked)) >= 65
